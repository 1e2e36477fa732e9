"""`torqueaudit program`: other programs that read this book."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

import click

from torqueaudit.cli.common import (
    Who,
    answer,
    as_typed,
    by_option,
    json_option,
    print_json,
    said_by,
    say_of,
    who_says,
    why_option,
    workshop_here,
)
from torqueaudit.cli.values import PROGRAM, OneOf
from torqueaudit.model.register.programs import ProgramRole
from torqueaudit.read.day import read_day
from torqueaudit.reports.json.register import let_in_json, program_json
from torqueaudit.workshop.signing.programs import ProgramView, let_in, show_programs, withdraw_program

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo

ROLES = tuple(role.value for role in ProgramRole)


@click.group()
def program() -> None:
    """Other programs that read this book by `torqueaudit serve`. Each is let in by a foreman, up to a day."""


@program.command("admit")
@click.option("--name", required=True, help="What it is called, such as “accounts”; name nobody.")
@click.option(
    "--role",
    type=OneOf(ROLES),
    default=ROLES[0],
    show_default=True,
    help="What it is given: “reads names” is given names, plates and contacts too, and each time is noted.",
)
@click.option("--until", required=True, metavar="DAY", help="The last day on which its key holds, such as 2031-12-31.")
@by_option("Who lets it in: a foreman's number. Default: setup, who keeps the book.")
@json_option
def admit(*, name: str, role: str, until: str, by: str, as_json: bool) -> None:
    """Let a program in, and print its key: this once, for it is kept nowhere."""
    last_day = as_typed(read_day, until)
    with workshop_here() as workshop:
        given = let_in(workshop, said_by(workshop, by), name, ProgramRole(role), last_day)
    if as_json:
        print_json(let_in_json(given, role, last_day))
        return
    click.echo(f"{given.program}: let in up to {last_day}; it {ProgramRole(role).says}.")
    click.echo("Its key, which is shown this once. Whoever has it is given the same, so hand it to nobody else:")
    click.echo(f"  {given.key}")
    click.echo("It is shown with each question, as the header `Authorization: Bearer KEY`, and over https alone.")


@program.command("list")
@json_option
def list_all(*, as_json: bool) -> None:
    """List every program that was let in, also those that have ended or were withdrawn."""
    with workshop_here() as workshop:
        rows, zone = show_programs(workshop), workshop.settings.timezone
    if as_json:
        print_json([program_json(row) for row in rows])
        return
    for row in rows:
        click.echo(f"{row.program.number:<6} {row.program.name:<24} {'; '.join(_facts(row, zone))}")


def _facts(row: ProgramView, zone: "ZoneInfo") -> Iterator[str]:
    program = row.program
    yield f"{program.role}, let in on {program.admitted_on} by {program.admitted_by}"
    if program.withdrawn:
        yield f"WITHDRAWN on {program.withdrawn.on}"
        return
    yield f"holds up to {program.last_day}" if row.is_let_in else f"ENDED on {program.last_day}"
    if row.last_seen:
        yield f"last seen {row.last_seen.astimezone(zone):%Y-%m-%d %H:%M}"
    if not row.has_key:
        yield "this book does not know its key: let it in anew, and withdraw this number"


@program.command("withdraw")
@click.argument("number", metavar="PROGRAM", type=PROGRAM)
@why_option("Why it is withdrawn", "“we keep accounts elsewhere now”")
@who_says
@json_option
def withdraw(*, number: str, why: str, who: Who, as_json: bool) -> None:
    """Let a program in no more: its key opens nothing from now on. By a foreman."""
    with workshop_here() as workshop:
        withdraw_program(workshop, say_of(workshop, who), number, why)
    answer({"program": number}, f"{number}: withdrawn; its key opens nothing any more", as_json=as_json)
