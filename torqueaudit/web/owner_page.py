"""What a label opens for its owner: may it be ridden, when to come back, what to look at. Nothing of the inside.

There is no account: whoever has the link may be anybody who stood beside the motorcycle.
"""

from datetime import date, timedelta
from typing import TYPE_CHECKING, NamedTuple

from flask import g, redirect, render_template, request

from torqueaudit.model.act import Refused
from torqueaudit.model.job.road import Ride
from torqueaudit.model.shown.access import seen_by
from torqueaudit.model.shown.label import JOB, record_address
from torqueaudit.model.shown.owner import OwnerView, Safety, call_of, day_text, when_back
from torqueaudit.web.addresses import way_up
from torqueaudit.web.kept_pages import fresh_id, kept_page
from torqueaudit.web.told import Told, page_of
from torqueaudit.workshop.recheck.owner import owner_view
from torqueaudit.workshop.register.labels import vehicle_of

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.web.by_token import ByToken
    from torqueaudit.workshop.door.workshop import Workshop

DAY = timedelta(days=1)
# What is said before the day of the re-check.
FIRST = {Safety.COME_BACK: "Now", Safety.DO_NOT_RIDE: "Call us first"}
WEIGHT = {
    Safety.RIDE: "good",
    Safety.NOT_KNOWN: "caution",
    Safety.COME_BACK: "caution",
    Safety.DO_NOT_RIDE: "stop",
}
# What the owner told just now, by the word that the address carries.
NOTED = {
    "ridden": "Your {figures} are noted. Thank you.",
    "day": "Your day is noted. We call you, or you call us.",
    "loosened": "It is noted. Thank you. Do not ride before we have looked at it.",
}
# What may be told of a fastener. A stranger's own words stay nowhere, so these are ours.
LOOSENED = {
    "wheel": "A wheel was out",
    "elsewhere": "Another workshop worked on it",
    "own": "I turned it",
    "line": "Its painted line is broken",
    "unknown": "I do not know",
}
NO_DAY = Told("Nothing for a calendar", "No day is waited for. Open the label again: it says what is due.", 404)


class OwnerPage(NamedTuple):
    """The page in its words. `call` is the telephone as a link has it, "" where there is none.

    `when` is when to come back, by day and by distance where it is `both`; `first` is said before it where that is not
    all, or is past, and `due` is the sentence then. While neither is there, it is `to_come`;
    once one is, it is `reached`. `next_day` is the day after the one that was asked on.
    """

    view: OwnerView
    headline: str
    weight: str
    when: str
    both: bool
    first: str
    due: str
    to_come: bool
    reached: bool
    next_day: date
    left: str
    call: str
    asked: str


def add_owner_pages(app: "Flask", workshop: "Workshop", by_token: "ByToken") -> None:
    """Add what the label of a job opens, /r/TOKEN, and the day of the re-check for a calendar."""

    @app.get("/r/<token>")
    def owner(token: str) -> "ResponseReturnValue":
        """Show the owner's page; a device of the workshop is led to the workshop's own pages."""
        number = by_token.job(token)
        if g.asking.person:
            return redirect(f"{way_up(request.path)}vehicle/{vehicle_of(workshop, number)}", 303)
        if g.asking.device:
            asked = request.query_string.decode("latin-1")
            return redirect(f"{token}/record{'?' if asked else ''}{asked}", 303)
        return shown(number)

    @kept_page(workshop)
    def shown(number: str) -> str:
        return page_of_owner(workshop, number)

    @app.get("/r/<token>/re-check.ics")
    def calendar(token: str) -> "ResponseReturnValue":
        """Give the day of the re-check as a file for a calendar."""
        from torqueaudit.reports.calendar import MEDIA_TYPE, calendar_file, recheck_event  # the server starts without

        view = owner_view(workshop, by_token.job(token))
        event = recheck_event(view, record_address(workshop.settings, JOB, view.token), workshop.clock())
        if event is None:
            return page_of(NO_DAY, form=False)
        return calendar_file(event), {"Content-Type": MEDIA_TYPE}


def page_of_owner(workshop: "Workshop", number: str, refused: Refused | None = None) -> str:
    """The owner's page of a job; with why something that was told was not taken."""
    page = owner_page(seen_by("stranger", owner_view(workshop, number)))
    return render_template(
        "owner.html",
        page=page,
        noted=_noted(workshop, page, request.args.get("told", "")),
        refused=refused.says if refused else "",
        loosened=LOOSENED,
        up=f"{way_up(request.path)}r/{page.view.token}",
        day_id=fresh_id(workshop),
        ride_id=fresh_id(workshop),
        loosened_id=fresh_id(workshop),
    )


def _noted(workshop: "Workshop", page: OwnerPage, told: str) -> str:
    """What is said to be noted: an address may be opened by whoever told nothing, and later."""
    back = page.view.back
    stands = {
        "ridden": back is not None and bool(workshop.record(back.job).of(Ride)),
        "day": bool(page.asked),
        "loosened": page.weight == "stop",
    }
    return NOTED[told].format(figures=page.view.instrument.figures) if stands.get(told) else ""


def owner_page(view: OwnerView, *, dated: bool = False) -> OwnerPage:
    """Put a vehicle into the words of its owner's page; `dated` where it may be read years later."""
    today = None if dated else view.asked_on
    back = view.back
    wish = back.asked if back else None
    words = when_back(view, dated=dated)
    return OwnerPage(
        view=view,
        headline=f"{view.safety[0].upper()}{view.safety[1:]}",
        weight=WEIGHT[view.safety],
        when=words.when,
        both=words.both,
        first=FIRST.get(view.safety, ""),
        due=words.due,
        to_come=words.to_come,
        reached=words.reached,
        next_day=view.asked_on + DAY,
        left=day_text(view.left_on, today) if view.left_on else "",
        call=call_of(view.telephone),
        asked=f"{day_text(wish.on, today)}, in the {wish.half}" if wish else "",
    )
