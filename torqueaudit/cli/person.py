"""`torqueaudit person`: people who record and check."""

from collections.abc import Iterator, Sequence
from pathlib import Path

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
    words_left_line,
    workshop_here,
)
from torqueaudit.cli.values import LOCKED, PERSON, OneOf
from torqueaudit.model.register.acts import PersonChange
from torqueaudit.model.register.people import Person
from torqueaudit.model.register.permits import ROLES, SETUP
from torqueaudit.read.day import read_day
from torqueaudit.reports.json.register import ended_json, person_json
from torqueaudit.workshop.door.lists import people
from torqueaudit.workshop.door.words import words_left
from torqueaudit.workshop.register.people import Ended, add_person, change_person, end_person, forget_person
from torqueaudit.workshop.signing.pins import is_locked, set_pin, unlock

PIN_FILE = click.Path(exists=True, dir_okay=False, path_type=Path)


@click.group()
def person() -> None:
    """People who record and check. Names stay outside the ledger."""


@person.command("add")
@click.argument("name")
@click.option("--role", "roles", multiple=True, required=True, type=OneOf(ROLES))
@click.option("--supervisor", type=PERSON, default="", help="Who answers for a trainee.")
@click.option("--start", metavar="DATE", help="The first day here; before it nothing is recorded under the number.")
@who_says
@json_option
def add(
    *,
    name: str,
    roles: tuple[str, ...],
    supervisor: str,
    start: str | None,
    who: Who,
    as_json: bool,
) -> None:
    """Enter somebody. The first foreman is entered --by setup."""
    first = as_typed(read_day, start) if start else None
    with workshop_here() as workshop:
        number = add_person(workshop, name, roles, supervisor, say_of(workshop, who), first)
    answer({"person": number}, f"{number}: {', '.join(roles)}", as_json=as_json)


@person.command("change")
@click.argument("number", metavar="PERSON", type=PERSON)
@click.option("--role", "roles", multiple=True, type=OneOf(ROLES), help="Replaces all roles; may be repeated.")
@click.option("--supervisor", type=PERSON, help="Who answers for the work from now on.")
@click.option("--no-supervisor", is_flag=True, help="Nobody answers for the work any more.")
@click.option("--name", default="", help="The right name, which stays outside the ledger.")
@click.option("--start", metavar="DATE", help="The first day here; it brings back who had left.")
@who_says
@json_option
def change(
    *,
    number: str,
    roles: tuple[str, ...],
    supervisor: str | None,
    no_supervisor: bool,
    name: str,
    start: str | None,
    who: Who,
    as_json: bool,
) -> None:
    """Change somebody's roles, supervisor, name or first day. By a foreman."""
    if not (roles or supervisor or no_supervisor or name.strip() or start):
        raise click.UsageError("say what changes: --role, --supervisor, --no-supervisor, --name or --start")
    if supervisor and no_supervisor:
        raise click.UsageError("give --supervisor or --no-supervisor, not both")
    told = PersonChange(
        roles=tuple(dict.fromkeys(roles)) or None,
        supervisor="" if no_supervisor else supervisor,
        start=as_typed(read_day, start) if start else None,
        name=name.strip(),
    )
    with workshop_here() as workshop:
        now = change_person(workshop, number, told, say_of(workshop, who))
        known = workshop.book.personal_of(f"person/{number}").get("name", "")
        locked = is_locked(workshop, number)
    if as_json:
        print_json(person_json(now, known, locked=locked))
        return
    click.echo(f"{number}: {'; '.join(_facts(now, ()))}{'; the name is changed' if told.name else ''}")


@person.command("end")
@click.argument("number", metavar="PERSON", type=PERSON)
@click.option("--on", "on", metavar="DATE", help="The last day here. Default: today.")
@click.option("--why", default="", help="Why, where it is to be kept; name nobody.")
@who_says
@json_option
def end(*, number: str, on: str | None, why: str, who: Who, as_json: bool) -> None:
    """Record that somebody has left: from now on nothing is recorded or signed under the number. By a foreman."""
    day = as_typed(read_day, on) if on else None
    with workshop_here() as workshop:
        ended = end_person(workshop, number, day, why, say_of(workshop, who))
    if as_json:
        print_json(ended_json(ended))
        return
    for line in _ended(ended):
        click.echo(line)


@person.command("list")
@json_option
def list_all(*, as_json: bool) -> None:
    """List everybody, also who has left."""
    with workshop_here() as workshop:
        rows = people(workshop)
        locked = {row.number for row, _ in rows if is_locked(workshop, row.number)}
    if as_json:
        print_json([person_json(row, name, locked=row.number in locked) for row, name in rows])
        return
    left = [row.number for row, _ in rows if row.left]
    for row, name in rows:
        says = [*_facts(row, left), *(["LOCKED after wrong PINs"] if row.number in locked else [])]
        click.echo(f"{row.number:<6} {name or 'mechanic ' + row.number:<24} {'; '.join(says)}")


@person.command("pin")
@click.argument("number", metavar="PERSON", type=PERSON)
@click.option("--pin-file", type=PIN_FILE, metavar="FILE", help="The file that holds the PIN, in place of being asked.")
@click.option("--secrets-lost", is_flag=True, help="The file of secrets is lost: every PIN set before ends.")
@by_option("Who sets it: a foreman's number. Default: setup, who keeps the book.")
def pin(*, number: str, pin_file: Path | None, secrets_lost: bool, by: str) -> None:
    """Set somebody's PIN, six digits, which is asked for twice. They are signed out everywhere, and unlocked."""
    from torqueaudit.cli.pin import new_pin, pin_in

    with workshop_here() as workshop:
        say = said_by(workshop, by)
        told = pin_in(pin_file) if pin_file else new_pin(number)
        set_pin(workshop, say, number, told, secrets_lost=secrets_lost)
    click.echo(f"{number}: the PIN is set. Whoever has it signs as {number}: let nobody else see it.")


@person.command("unlock")
@click.argument("number", metavar="PERSON|DEVICE", type=LOCKED)
@who_says
@json_option
def unlock_one(*, number: str, who: Who, as_json: bool) -> None:
    """Unlock somebody, or a device such as D-3, after too many wrong PINs. By a foreman."""
    with workshop_here() as workshop:
        unlock(workshop, say_of(workshop, who), number)
    answer({"unlocked": number}, f"{number}: unlocked", as_json=as_json)


@person.command("forget")
@click.argument("number", metavar="PERSON", type=PERSON)
@click.option(
    "--by", type=PERSON, default=SETUP, help="Who erases it: a foreman's number. Default: setup, who keeps the book."
)
@click.confirmation_option(prompt="The name is erased for good. Go on?")
def forget_one(*, number: str, by: str) -> None:
    """Erase a person's name and PIN; what they recorded stays under their number, which nobody uses any more."""
    with workshop_here() as workshop:
        left = words_left(workshop, f"person/{number}")
        forget_person(workshop, number, said_by(workshop, by))
    click.echo(f"{number}: the name is erased; who had it has left, and signs nothing more under {number}")
    for line in words_left_line(f"told by {number}", left):
        click.echo(line)


def _facts(row: Person, left: Sequence[str]) -> Iterator[str]:
    """Roles, supervisor, start and end of somebody, each in a few words; `left` are the numbers of who has left."""
    yield row.role
    if row.supervisor:
        yield f"supervisor {row.supervisor}{', WHO HAS LEFT: name another' if row.supervisor in left else ''}"
    if row.starts_on:
        yield f"since {row.starts_on}"
    if row.left:
        why = f" ({row.left.why})" if row.left.why else ""
        yield f"LEFT on {row.left.on}{why}"


def _ended(ended: Ended) -> Iterator[str]:
    yield f"{ended.person}: left on {ended.on}; records and signs nothing more"
    for trainee in ended.trainees:
        yield (
            f"{trainee} has nobody now who answers for the work, and records nothing until another is named: "
            f"`torqueaudit person change {trainee} --supervisor P-…`"
        )
    if ended.entries:
        told = ", ".join(f"#{entry}" for entry in ended.entries)
        yield f"Look at {told}: told under {ended.person} of a day after that. Ask who did it."
