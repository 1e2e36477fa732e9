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
        typed, own = Typed(request.form), read_program_number(number)
        try:
            withdraw_program(workshop, say_of(g.asking, typed), own, typed.one("why"))
        except Refused as refused:
            return _page(workshop, str(refused), typed, own), 422
        return redirect(f"{way_up(request.path)}programs", 303)


def _day(text: str) -> date:
    with refused_if_unreadable():
        return read_day(text)


def _page(workshop: "Workshop", says: str = "", typed: Typed | None = None, of: str = "") -> str:
    """The page; where a form was refused with why not, what was `typed`, and which program it withdraws."""
    zone, new = workshop.settings.timezone, typed if typed and not of else None
    seen = [(each, each.last_seen.astimezone(zone) if each.last_seen else None) for each in show_programs(workshop)]
    return render_template(
        "signing/programs.html",
        programs=seen,
        roles=list(ProgramRole),
        chosen=new.one("role") if new else ProgramRole.READS.value,
        name=new.one("name") if new else "",
        until=new.one("until") if new else workshop.today() + PROPOSED,
        says=says,
        typed=typed,
        refused_of=of,
        act_id=workshop.new_id(),
        up=way_up(request.path),
    )
