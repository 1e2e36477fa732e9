"""A motorcycle entered by whoever it comes to: a foreman from the office, a mechanic from the bench."""

from typing import TYPE_CHECKING

from flask import request

from torqueaudit.model.act import Say
from torqueaudit.model.judged.sentences import with_capital
from torqueaudit.model.vehicle.instrument import Instrument
from torqueaudit.read.number import read_vehicle_number
from torqueaudit.web.office.told import AtField, Sent, page_of_office, told
from torqueaudit.web.typed import Typed
from torqueaudit.workshop.vehicles.vehicle import add_vehicle, called_alike

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.workshop.door.workshop import Workshop

FIRST_YEAR, LAST_YEAR = 1900, 2200
PERSONAL = ("plate", "frame_number", "contact")
INSTRUMENTS = {kind.value: with_capital(kind.says) for kind in Instrument}


def add_new_motorcycle(app: "Flask", workshop: "Workshop") -> None:
    """Add the page on which a motorcycle is entered."""

    @app.get("/motorcycle/new")
    def new_motorcycle() -> str:
        """Ask for a motorcycle, behind the one that was entered just now."""
        return _page(workshop)

    @app.post("/motorcycle/new")
    def new_motorcycle_entered() -> "ResponseReturnValue":
        """Enter a motorcycle, and say so."""
        return told(workshop, "", {"enter": _entered}, _page, workshop)


def read_year(typed: Typed) -> int | None:
    """The year of manufacture that a form tells, None where it was left empty. Raises Refused at its field."""
    if not typed.one("year"):
        return None
    year = typed.number("year")
    if not FIRST_YEAR <= year <= LAST_YEAR:
        raise AtField("year", f"{year}: a year of manufacture lies between {FIRST_YEAR} and {LAST_YEAR}")
    return year


def _page(workshop: "Workshop", sent: Sent | None = None) -> str:
    asked = read_vehicle_number(request.args.get("entered", ""))
    return page_of_office(
        workshop,
        "new_motorcycle.html",
        sent,
        entered=workshop.vehicle(asked) if asked else None,
        alike=called_alike(workshop, asked) if asked else (),
        instruments=INSTRUMENTS,
    )


def _entered(workshop: "Workshop", typed: Typed, say: Say) -> str:
    personal = {field: typed.one(field) for field in PERSONAL}
    kind = Instrument(typed.chosen("instrument", INSTRUMENTS))
    number = add_vehicle(workshop, typed.one("tag"), typed.one("model"), read_year(typed), personal, say, kind)
    return f"motorcycle/new?entered={number}"
