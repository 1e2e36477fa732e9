"""What the owner tells through a label's link, without an account: it may bring a re-check forward, and nothing else.

No word of a stranger's own is kept, as the ledger forgets nothing: figures, days, and what is chosen of a list. Nothing
is dated back, and no more is taken on a day than an owner would tell (`Attempt.require_few`, decision 0102).
"""

import re
from collections.abc import Callable
from typing import TYPE_CHECKING

from flask import redirect, request

from torqueaudit.book.errors import IdUsed
from torqueaudit.model.act import BY_LABEL, Refused, Say
from torqueaudit.model.job.road import Half
from torqueaudit.model.register.permits import OWNER
from torqueaudit.read.day import read_day
from torqueaudit.web.addresses import way_up
from torqueaudit.web.bench.odometer import read_typed_run
from torqueaudit.web.owner_page import LOOSENED, page_of_owner
from torqueaudit.web.typed import Typed
from torqueaudit.workshop.recheck.asking import ask_day
from torqueaudit.workshop.recheck.owner import owner_view
from torqueaudit.workshop.recheck.road import report_ride
from torqueaudit.workshop.register.labels import vehicle_of
from torqueaudit.workshop.vehicles.present import vehicle_view
from torqueaudit.workshop.vehicles.vehicle import report_all_loosened

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.web.by_token import ByToken
    from torqueaudit.workshop.door.workshop import Workshop

OWN_ID = re.compile(r"[0-9a-f]{32}")  # as this page gave it to its form
SENT_BEFORE = "this was sent before with something else in it. Tell it again below"


def add_owner_forms(app: "Flask", workshop: "Workshop", by_token: "ByToken") -> None:
    """Add the addresses that take what the owner tells."""

    @app.post("/r/<token>/ridden")
    def ridden(token: str) -> "ResponseReturnValue":
        """Take what its instrument shows after a ride."""
        number, typed = by_token.job(token), Typed(request.form)
        return _told(workshop, number, "ridden", lambda: _ride(workshop, number, typed))

    @app.post("/r/<token>/day")
    def day(token: str) -> "ResponseReturnValue":
        """Take the day on which the owner would like to come."""
        number, typed = by_token.job(token), Typed(request.form)
        return _told(workshop, number, "day", lambda: _day(workshop, number, typed))

    @app.post("/r/<token>/loosened")
    def loosened(token: str) -> "ResponseReturnValue":
        """Take that somebody undid a fastener, or all of them where nobody knows which."""
        number, typed = by_token.job(token), Typed(request.form)
        return _told(workshop, number, "loosened", lambda: _undone(workshop, number, typed))

    @app.get("/r/<token>/")
    @app.get("/r/<token>/ridden")
    @app.get("/r/<token>/day")
    @app.get("/r/<token>/loosened")
    def opened_again(token: str) -> "ResponseReturnValue":
        """Lead to the page: a form that was refused leaves its own address in the browser."""
        number = by_token.job(token)
        return redirect(f"{way_up(request.path)}r/{workshop.record(number).token}", 303)


def _told(workshop: "Workshop", number: str, what: str, tell: Callable[[], None]) -> "ResponseReturnValue":
    """Record what was told and say so on the page; or the page with why it was not taken."""
    try:
        tell()
    except IdUsed:
        return page_of_owner(workshop, number, Refused(SENT_BEFORE)), 409
    except Refused as refused:
        return page_of_owner(workshop, number, refused), 422
    return redirect(f"{way_up(request.path)}r/{workshop.record(number).token}?told={what}", 303)


def _ride(workshop: "Workshop", number: str, typed: Typed) -> None:
    report_ride(workshop, _waited(workshop, number), read_typed_run(typed), "", _say(typed))


def _day(workshop: "Workshop", number: str, typed: Typed) -> None:
    try:
        on = read_day(typed.one("on") or "a day")
    except ValueError as error:
        raise Refused(str(error)) from None
    ask_day(workshop, _waited(workshop, number), on, Half(typed.chosen("half", tuple(Half))), _say(typed))


def _waited(workshop: "Workshop", number: str) -> str:
    """The job whose re-check the owner is waited for with, whichever label of the vehicle was read."""
    back = owner_view(workshop, number).back
    if back is None:
        raise Refused("nobody waits for it now; call the workshop")
    return back.job


def _undone(workshop: "Workshop", number: str, typed: Typed) -> None:
    vehicle = vehicle_view(workshop, vehicle_of(workshop, number))
    subjects = [each.fastener.subject for each in vehicle.fasteners]
    key = typed.chosen("place", ("", *(each.key for each in subjects)))
    why = LOOSENED[typed.chosen("why", LOOSENED)]
    positions = [each.position for each in subjects if key in ("", each.key)]
    report_all_loosened(workshop, vehicle.number, positions, f"told by the label: {why}", _say(typed))


def _say(typed: Typed) -> Say:
    """Who says it: anybody who has the label, now, and neither sure nor again."""
    told = typed.one("id")
    return Say(OWNER, id=told if OWN_ID.fullmatch(told) else "", came=BY_LABEL)
