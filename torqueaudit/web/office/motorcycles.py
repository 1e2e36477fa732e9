"""Motorcycles of the office: the newest, what was entered wrong of one put right, and one that will not come back."""

from collections.abc import Mapping
from datetime import datetime
from typing import TYPE_CHECKING

from torqueaudit.book import queries
from torqueaudit.model.act import Say
from torqueaudit.model.vehicle.acts import VehicleChange
from torqueaudit.model.vehicle.instrument import Instrument
from torqueaudit.model.vehicle.vehicle import standing_events
from torqueaudit.read.number import read_vehicle_number
from torqueaudit.web.office.new_motorcycle import INSTRUMENTS, read_year
from torqueaudit.web.office.told import Sent, TellOf, entry_asked, page_of_office, told
from torqueaudit.web.typed import Typed
from torqueaudit.workshop.vehicles.corrections import change_vehicle, said_in, strike_of_vehicle, what_changed
from torqueaudit.workshop.vehicles.gone import gone

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.ledger.entry import Entry
    from torqueaudit.workshop.door.workshop import Workshop

MOST_EVENTS = 12  # that can be taken back here, the newest first
NEWEST = 30  # that are listed; any other is found by its name, its plate or its number


def add_motorcycle_office(app: "Flask", workshop: "Workshop") -> None:
    """Add the list of motorcycles, and the page on which one is put right."""

    @app.get("/office/motorcycles")
    def office_motorcycles() -> str:
        """List the newest motorcycles."""
        return _list(workshop)

    @app.get("/office/motorcycle/<number>")
    def office_motorcycle(number: str) -> str:
        """Show what is known of a motorcycle itself, and what a change has made of its jobs."""
        return _page(workshop, read_vehicle_number(number))

    @app.post("/office/motorcycle/<number>")
    def office_motorcycle_told(number: str) -> "ResponseReturnValue":
        """Record what a form tells of a motorcycle."""
        own = read_vehicle_number(number)
        return told(workshop, f"vehicle/{own}", TELLS, _page, workshop, own)


def _list(workshop: "Workshop") -> str:
    last = workshop.book.next_number("vehicle") - 1
    numbers = [f"V-{each}" for each in range(last, max(last - NEWEST, 0), -1)]
    tags = queries.tags_of(workshop.book, numbers)
    newest = [(number, tags[number]) for number in numbers if number in tags]
    return page_of_office(workshop, "motorcycles.html", newest=newest, more=last > NEWEST)


def _page(workshop: "Workshop", own: str, sent: Sent | None = None) -> str:
    vehicle, entries = workshop.vehicle(own), workshop.book.entries(f"vehicle/{own}")
    events = sorted(standing_events(vehicle, entries), key=lambda each: each.sequence, reverse=True)[:MOST_EVENTS]
    changed = entry_asked(workshop, f"vehicle/{own}", "changed", "changed")
    return page_of_office(
        workshop,
        "motorcycle.html",
        sent,
        subject=f"vehicle/{own}",
        vehicle=vehicle,
        instruments=INSTRUMENTS,
        events={str(each.sequence): _event(workshop, each) for each in events},
        rejudged=what_changed(workshop, changed).rejudged if changed else (),
    )


def _event(workshop: "Workshop", event: "Entry") -> str:
    """Something that was told of it, with its day and who said it: "2031-04-02: it arrived (P-2)"."""
    return f"{workshop.local_day(datetime.fromisoformat(event.happened_at))}: {said_in(event)} ({event.who})"


def _put_right(workshop: "Workshop", own: str, typed: Typed, say: Say) -> str:
    typed.chosen("instrument", INSTRUMENTS)
    kind = typed.other("instrument")
    change = VehicleChange(
        tag=typed.one("tag"),
        model=typed.one("model"),
        year=read_year(typed),
        instrument=Instrument(kind) if kind else None,
    )
    return f"office/motorcycle/{own}?changed={change_vehicle(workshop, own, change, say).entry}"


def _gone(workshop: "Workshop", own: str, typed: Typed, say: Say) -> str:
    gone(workshop, own, typed.one("why"), say)
    return f"office/motorcycle/{own}"


def _struck(workshop: "Workshop", own: str, typed: Typed, say: Say) -> str:
    strike_of_vehicle(workshop, own, typed.number("entry"), typed.one("why"), say)
    return f"office/motorcycle/{own}"


TELLS: Mapping[str, TellOf] = {"put-right": _put_right, "gone": _gone, "strike": _struck}
