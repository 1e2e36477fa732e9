"""The foreman's page of other programs: let one in, see what each is given and when it last asked, withdraw it."""

from datetime import date, timedelta
from typing import TYPE_CHECKING

from flask import g, redirect, render_template, request

from torqueaudit.model.act import Refused
from torqueaudit.model.register.programs import ProgramRole
from torqueaudit.read.day import read_day
from torqueaudit.read.number import read_program_number
from torqueaudit.web.addresses import way_up
from torqueaudit.web.forms import say_of
from torqueaudit.web.typed import Typed
from torqueaudit.workshop.door.refusal import refused_if_unreadable
from torqueaudit.workshop.signing.programs import let_in, show_programs, withdraw_program

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.workshop.door.workshop import Workshop

PROPOSED = timedelta(days=365)
ROLES = {role.value: role for role in ProgramRole}


def add_program_pages(app: "Flask", workshop: "Workshop") -> None:
    """Add what a foreman keeps of other programs."""

    @app.get("/programs")
    def programs() -> "ResponseReturnValue":
        """List the programs."""
        return _page(workshop)

    @app.post("/programs")
    def let_program_in() -> "ResponseReturnValue":
        """Let one in, and show its key, once."""
        typed = Typed(request.form)
        try:
            role, last_day = ROLES[typed.chosen("role", ROLES)], _day(typed.one("until"))
            given = let_in(workshop, say_of(g.asking, typed), typed.one("name"), role, last_day)
        except Refused as refused:
            return _page(workshop, str(refused), typed), 422
        return render_template(
            "signing/program_key.html",
            given=given,
            says=role.says,
            last_day=last_day,
            secure=request.is_secure,
            up=way_up(request.path),
        )

    @app.post("/programs/<number>/withdraw")
    def withdraw_a_program(number: str) -> "ResponseReturnValue":
        """Let one in no more."""
        typed = Typed(request.form)
        try:
            withdraw_program(workshop, say_of(g.asking, typed), read_program_number(number), typed.one("why"))
        except Refused as refused:
            return _page(workshop, str(refused)), 422
        return redirect(f"{way_up(request.path)}programs", 303)


def _day(text: str) -> date:
    with refused_if_unreadable():
        return read_day(text)


def _page(workshop: "Workshop", says: str = "", typed: Typed | None = None) -> str:
    zone = workshop.settings.timezone
    seen = [(each, each.last_seen.astimezone(zone) if each.last_seen else None) for each in show_programs(workshop)]
    return render_template(
        "signing/programs.html",
        programs=seen,
        roles=list(ProgramRole),
        chosen=typed.one("role") if typed else ProgramRole.READS.value,
        name=typed.one("name") if typed else "",
        until=typed.one("until") if typed else workshop.today() + PROPOSED,
        says=says,
        act_id=workshop.new_id(),
        up=way_up(request.path),
    )
