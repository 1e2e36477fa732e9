"""`torqueaudit person`: people who record and check."""

import click

from torqueaudit.cli.common import answer, json_option, print_json, say_of, who_says, workshop_here
from torqueaudit.cli.values import PERSON, OneOf
from torqueaudit.model.register.permits import ROLES
from torqueaudit.reports.json.register import person_json
from torqueaudit.workshop.door.ledger import forget
from torqueaudit.workshop.door.lists import people
from torqueaudit.workshop.register.people import add_person


@click.group()
def person() -> None:
    """People who record and check. Names stay outside the ledger."""


@person.command("add")
@click.argument("name")
@click.option("--role", "roles", multiple=True, required=True, type=OneOf(ROLES))
@click.option("--supervisor", type=PERSON, default="", help="Who answers for a trainee.")
@who_says
@json_option
def add(
    *, name: str, roles: tuple[str, ...], supervisor: str, by: str, at: str | None, ago: int, act_id: str, as_json: bool
) -> None:
    """Enter somebody. The first foreman is entered --by setup."""
    with workshop_here() as workshop:
        number = add_person(workshop, name, roles, supervisor, say_of(workshop, by, at, ago, act_id))
    answer({"person": number}, f"{number}: {', '.join(roles)}", as_json=as_json)


@person.command("list")
@json_option
def list_all(*, as_json: bool) -> None:
    """List everybody."""
    with workshop_here() as workshop:
        rows = people(workshop)
    if as_json:
        print_json([person_json(row, name) for row, name in rows])
        return
    for row, name in rows:
        click.echo(
            f"{row.person:<6} {name or 'mechanic ' + row.person:<24} {row.roles} {row.supervisor or ''}".rstrip()
        )


@person.command("forget")
@click.argument("number", metavar="PERSON", type=PERSON)
@click.confirmation_option(prompt="The name is erased for good. Go on?")
def forget_one(*, number: str) -> None:
    """Erase a person's name; what they recorded stays under their number."""
    with workshop_here() as workshop:
        forget(workshop, f"person/{number}")
    click.echo(f"{number}: the name is erased")
