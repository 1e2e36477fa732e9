"""The two pages: the form that takes a token, and the record it leads to."""

import re
from typing import TYPE_CHECKING

from flask import g, redirect, render_template, request

from torqueaudit.model.register.token import TokenError, grouped, read_token
from torqueaudit.model.shown.access import seen_by
from torqueaudit.model.shown.label import WRENCH
from torqueaudit.web.addresses import way_up
from torqueaudit.web.kept_pages import kept_page
from torqueaudit.web.misses import Misses
from torqueaudit.web.record_page import record_page
from torqueaudit.web.refusal import RETRY_AFTER
from torqueaudit.web.told import Told, page_of
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.register.labels import job_of_token, vehicle_of
from torqueaudit.workshop.vehicles.present import show_vehicle

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.workshop.door.workshop import Workshop

WRENCH_NUMBER = re.compile(r"[Ww]-[0-9]{1,9}")
LONGEST_ECHO = 60  # characters of what was typed that are shown again

TOO_MANY = Told("Too many tokens were tried", "Wait ten seconds, and try the label again.", 429)
UNKNOWN = (
    "The token is complete and well written, so it was printed on a label; but this book holds no job under it.",
    "The label may belong to another workshop, or to a book that was replaced by an older backup.",
    "Compare the address printed on the label with the one of this page, and ask the workshop whose label it is.",
)


def add_pages(app: "Flask", workshop: "Workshop") -> None:
    """Add the form at / and the record at /r/TOKEN."""
    misses = Misses()

    @app.get("/")
    def form() -> "ResponseReturnValue":
        """Ask for a token, and lead to its record once one is typed."""
        typed = request.args.get("token", "").strip()
        if typed:
            return _typed_record(typed)
        if g.asking.device:
            return redirect("bench", 303)
        return render_template("form.html", demo=workshop.settings.demo, typed="", up="./")

    @app.get("/r/<token>")
    def record(token: str) -> "ResponseReturnValue":
        """Show the record that a label opens."""
        try:
            known = read_token(token)
        except TokenError as error:
            return _mistyped(token, error)
        number = job_of_token(workshop, known)
        if number is None:
            return _unknown(known) if misses.one_more() else (*page_of(TOO_MANY), [RETRY_AFTER])
        if g.asking.person and "record" not in request.args:
            return redirect(f"{way_up(request.path)}vehicle/{vehicle_of(workshop, number)}", 303)
        return shown(number)

    @kept_page(workshop)
    def shown(number: str) -> str:
        view = show_job(workshop, number)
        vehicle = seen_by("stranger", show_vehicle(workshop, view.vehicle))
        return render_template("record.html", page=record_page(seen_by("stranger", view), vehicle))


def _unknown(token: str) -> "ResponseReturnValue":
    return _no_record("No record under this token in this book", UNKNOWN, grouped(token))


def _typed_record(typed: str) -> "ResponseReturnValue":
    """Lead to the record of a token, a wrench's number, or a label's whole address, which ends in one of them."""
    last = typed.rstrip("/").rpartition("/")[2]
    if WRENCH_NUMBER.fullmatch(last):
        return redirect(f"{WRENCH}/{last.upper()}", 303)
    try:
        return redirect(f"r/{read_token(last)}", 303)
    except TokenError as error:
        return _mistyped(typed, error)


def _mistyped(typed: str, error: TokenError) -> "ResponseReturnValue":
    sentence = str(error)
    says = (sentence[0].upper() + sentence[1:], "It is printed in groups under the label's square code.")
    return _no_record("This is not a token as labels carry it", says, typed[:LONGEST_ECHO])


def _no_record(title: str, says: tuple[str, ...], typed: str) -> "ResponseReturnValue":
    return render_template("trouble.html", title=title, says=says, typed=typed, form=True, up=way_up(request.path)), 404
