"""What a wrench's label opens: whether it may be used today, and what is known of it. No person, no job, no lender."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from flask import g, redirect, render_template, request

from torqueaudit.model.act import Refused
from torqueaudit.model.shown.access import seen_by
from torqueaudit.model.shown.wrench import CalibrationView, WrenchView
from torqueaudit.model.torque.units import format_number
from torqueaudit.model.wrench.classes import SETTING
from torqueaudit.read.number import read_wrench_number
from torqueaudit.web.addresses import way_up
from torqueaudit.web.forms import say_of
from torqueaudit.web.told import Told, page_of
from torqueaudit.web.typed import Typed
from torqueaudit.workshop.wrenches.view import IN_USE, show_wrench
from torqueaudit.workshop.wrenches.wrench import mishandle

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.workshop.door.workshop import Workshop

UNKNOWN = Told(
    "No such wrench here",
    "This book holds no wrench of that number. Compare it with the label, or type the token of a job.",
    404,
)


def add_wrench_page(app: "Flask", workshop: "Workshop") -> None:
    """Add /w/NUMBER. Numbers can be guessed, so the page shows nothing that the wrench's label could not carry.

    See decision 0040.
    """

    @app.get("/w/<number>")
    def wrench(number: str) -> "ResponseReturnValue":
        """Show a wrench."""
        try:
            view = seen_by("stranger", show_wrench(workshop, read_wrench_number(number)))
        except Refused:
            return page_of(UNKNOWN)
        good = view.state == IN_USE
        return render_template("wrench.html", wrench=view, good=good, facts=list(_facts(view)), up=way_up(request.path))

    @app.post("/w/<number>/aside")
    def aside(number: str) -> "ResponseReturnValue":
        """Put a wrench aside that was dropped or overloaded, as anybody at the bench may."""
        typed, own = Typed(request.form), read_wrench_number(number)
        try:
            mishandle(workshop, own, typed.one("what"), typed.one("why"), say_of(g.asking, typed))
        except Refused as refused:
            return page_of(Told("Not recorded", f"{refused}.", 422), form=False, back=f"w/{own}")
        return redirect(f"{way_up(request.path)}w/{own}", 303)


def _facts(view: WrenchView) -> Iterator[tuple[str, str]]:
    yield "Calibration ends", view.due_on.isoformat() if view.due_on else "not known"
    yield "Cycles since", f"at least {view.cycles} of {view.cycles_allowed}"
    yield "Kind", "setting (type II, it clicks)" if view.kind == SETTING else "indicating (type I, it shows)"
    yield "Range", view.reach or "not known"
    yield "Permissible deviation", f"±{format_number(view.permissible_percent, 3)} % (ISO 6789)"
    if view.calibration:
        yield from _calibration(view.calibration)
    for asked in view.order_asked:
        yield "Order asked", asked.says
    if view.doubtful:
        passes = f"{len(view.doubtful)} pass{'es' * (len(view.doubtful) > 1)}"
        yield "In doubt", f"{passes} done before it was found outside its permissible deviation"


def _calibration(done: CalibrationView) -> Iterator[tuple[str, str]]:
    named = " ".join(filter(None, (done.certificate, done.laboratory and f"by {done.laboratory}")))
    yield "Calibrated on", f"{done.on}{f', {named}' if named else ''}"
    for point in done.as_left or done.as_found:
        yield f"At {point.at}", f"deviation {point.deviation_percent:+.2f} %"
