"""A job's page as it stood at an entry of the record, with its course, from act to act."""

from typing import TYPE_CHECKING

from flask import redirect, render_template, request

from torqueaudit.read.number import read_entry_number
from torqueaudit.web.addresses import way_up
from torqueaudit.web.record_page import record_page
from torqueaudit.workshop.door.refusal import refused_if_unreadable
from torqueaudit.workshop.life.job_then import last_act_of, show_job_then

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.workshop.door.workshop import Workshop


def add_job_then(app: "Flask", workshop: "Workshop") -> None:
    """Add /job/NUMBER/as-of/ENTRY, and the way to the newest act from /job/NUMBER/as-of."""

    @app.get("/job/<number>/as-of")
    def job_course(number: str) -> "ResponseReturnValue":
        """Lead to the job as it stood behind its newest act, or behind the entry that was typed."""
        typed = request.args.get("entry", "").strip()
        entry = entry_of(typed) if typed else last_act_of(workshop, number)
        return redirect(f"{way_up(request.path)}job/{number}/as-of/{entry}", 303)

    @app.get("/job/<number>/as-of/<entry>")
    def job_then(number: str, entry: str) -> str:
        """Show a job as it stood at an entry."""
        told = show_job_then(workshop, number, entry_of(entry))
        page = record_page(told.job, told.vehicle)
        return render_template("bench/job_then.html", told=told, page=page, then=True, up=way_up(request.path))


def entry_of(text: str) -> int:
    """The entry that an address names. Raises Refused."""
    with refused_if_unreadable():
        return read_entry_number(text)
