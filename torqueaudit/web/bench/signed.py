"""The foreman's page of what was signed for in some days, on paper and as a table too."""

from datetime import date, timedelta
from threading import Lock
from typing import TYPE_CHECKING

from flask import make_response, render_template, request

from torqueaudit.model.act import Refused
from torqueaudit.read.day import read_day
from torqueaudit.reports.sign_off.page import MOST_JOBS, sign_off_pdf
from torqueaudit.reports.sign_off.table import sign_off_csv
from torqueaudit.web.addresses import way_up
from torqueaudit.web.typed import Typed
from torqueaudit.workshop.door.lists import people
from torqueaudit.workshop.door.refusal import refused_if_unreadable
from torqueaudit.workshop.sign_off.sign_off import sign_off_of, with_head

if TYPE_CHECKING:
    from flask import Flask, Response
    from flask.typing import ResponseReturnValue

    from torqueaudit.model.shown.sign_off import SignOff
    from torqueaudit.workshop.door.workshop import Workshop

KINDS = {"pdf": "application/pdf", "csv": "text/csv; charset=utf-8"}


def add_signed_pages(app: "Flask", workshop: "Workshop") -> None:
    """Add the sign-off of some days. Setting a PDF takes a processor for a second, so one is set after the other."""
    one_by_one = Lock()

    @app.get("/signed")
    def signed() -> "ResponseReturnValue":
        """Show what was signed for in the days that are asked for, or in last week."""
        try:
            return _page(workshop, _told(workshop))
        except Refused as refused:
            return _page(workshop, sign_off_of(workshop), str(refused)), 422

    @app.get("/signed.pdf")
    def signed_pdf() -> "ResponseReturnValue":
        """Give the same on paper."""
        told = with_head(workshop, _told(workshop))
        with one_by_one:
            pdf = sign_off_pdf(told)
        return _file(told, pdf, "pdf", "inline")

    @app.get("/signed.csv")
    def signed_csv() -> "ResponseReturnValue":
        """Give the same as a table."""
        told = _told(workshop)
        return _file(told, sign_off_csv(told), "csv", "attachment")


def _told(workshop: "Workshop") -> "SignOff":
    """The days that the address asks for. Raises Refused."""
    typed = Typed(request.args)
    return sign_off_of(workshop, _day(typed.one("from")), _day(typed.one("to")))


def _day(text: str) -> date | None:
    if not text:
        return None
    with refused_if_unreadable():
        return read_day(text)


def _page(workshop: "Workshop", told: "SignOff", refused: str = "") -> str:
    typed, days = Typed(request.args), (told.last - told.first) + timedelta(days=1)
    return render_template(
        "bench/signed.html",
        told=told,
        first=typed.one("from") if refused else told.first,
        last=typed.one("to") if refused else told.last,
        before=(told.first - days, told.last - days),
        after=(told.first + days, told.last + days) if told.last < workshop.today() else (),
        people=[(each.number, name) for each, name in people(workshop) if name],
        refused=refused,
        most=MOST_JOBS,
        up=way_up(request.path),
    )


def _file(told: "SignOff", data: bytes, ending: str, shown: str) -> "Response":
    answer = make_response(data)
    answer.headers["Content-Type"] = KINDS[ending]
    answer.headers["Content-Disposition"] = f'{shown}; filename="signed-{told.first}-{told.last}.{ending}"'
    return answer
