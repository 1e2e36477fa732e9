"""The form that takes a token, and the workshop's record of a job."""

import re
from typing import TYPE_CHECKING

from flask import g, redirect, render_template, request

from torqueaudit.model.register.token import TokenError, read_token
from torqueaudit.model.shown.access import seen_by
from torqueaudit.model.shown.label import WRENCH
from torqueaudit.web.by_token import ByToken, mistyped
from torqueaudit.web.kept_pages import kept_page
from torqueaudit.web.record_page import record_page
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.vehicles.present import show_vehicle

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.workshop.door.workshop import Workshop

WRENCH_NUMBER = re.compile(r"[Ww]-[0-9]{1,9}")


def add_pages(app: "Flask", workshop: "Workshop", by_token: ByToken) -> None:
    """Add the form at / and the record at /r/TOKEN/record; what a label opens first is the owner's page."""

    @app.get("/")
    def form() -> "ResponseReturnValue":
        """Ask for a token, and lead to its record once one is typed."""
        typed = request.args.get("token", "").strip()
        if typed:
            return _typed_record(typed)
        if g.asking.device:
            return redirect("bench", 303)
        return render_template("form.html", demo=workshop.settings.demo, typed="", up="./")

    @app.get("/r/<token>/record")
    def record(token: str) -> "ResponseReturnValue":
        """Show the workshop's record of a job."""
        return shown(by_token.job(token))

    @kept_page(workshop)
    def shown(number: str) -> str:
        view = show_job(workshop, number)
        vehicle = seen_by("stranger", show_vehicle(workshop, view.vehicle))
        return render_template("record.html", page=record_page(seen_by("stranger", view), vehicle))


def _typed_record(typed: str) -> "ResponseReturnValue":
    """Lead to the record of a token, a wrench's number, or a label's whole address, which ends in one of them."""
    last = typed.rstrip("/").rpartition("/")[2]
    if WRENCH_NUMBER.fullmatch(last):
        return redirect(f"{WRENCH}/{last.upper()}", 303)
    try:
        return redirect(f"r/{read_token(last)}", 303)
    except TokenError as error:
        return mistyped(typed, error)
