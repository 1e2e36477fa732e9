"""`torqueaudit wrench`: torque wrenches."""

from decimal import Decimal, InvalidOperation

import click

from torqueaudit.cli.common import day_of, json_option, print_json, say_of, told, who_says, workshop_here
from torqueaudit.workshop.keeping import KINDS, NewWrench, add_wrench, withdraw_wrench
from torqueaudit.workshop.listing import wrenches

LONGEST_LEVER_MM = 5000


@click.group()
def wrench() -> None:
    """Torque wrenches (ISO 6789): setting ones click, indicating ones show."""


@wrench.command("add")
@click.argument("tag")
@click.option("--kind", required=True, type=click.Choice(KINDS))
@click.option("--range", "ends", nargs=2, default=("", ""), metavar="LOWEST HIGHEST", help="“20 N·m” “200 N·m”.")
@click.option("--lever", metavar="MM", help="Drive centre to hand mark, for adapters.")
@click.option("--due", metavar="DATE", help="The last day its calibration holds.")
@who_says
@json_option
def add(
    *,
    tag: str,
    kind: str,
    ends: tuple[str, str],
    lever: str | None,
    due: str | None,
    by: str,
    at: str | None,
    ago: int,
    act_id: str,
    as_json: bool,
) -> None:
    """Enter a wrench."""
    entered = NewWrench(kind, tag, *ends, _lever(lever), day_of(due) if due else None)
    with workshop_here() as workshop:
        number = add_wrench(workshop, entered, say_of(workshop, by, at, ago, act_id))
    told({"wrench": number}, f"{number}: {tag}", as_json=as_json)


@wrench.command("list")
@json_option
def list_all(*, as_json: bool) -> None:
    """List every wrench."""
    with workshop_here() as workshop:
        rows = wrenches(workshop)
    if as_json:
        print_json(rows)
        return
    for each in rows:
        reach = f"{each.min_nm:f} … {each.max_nm:f} N·m" if each.min_nm is not None and each.max_nm is not None else ""
        state = f"withdrawn: {each.withdrawn}" if each.withdrawn else f"calibration due {each.due_on or 'not known'}"
        click.echo(f"{each.number:<6} {each.tag:<20} {each.kind:<11} {reach:<18} {state}")


@wrench.command("withdraw")
@click.argument("number")
@click.option("--why", required=True)
@who_says
def withdraw(*, number: str, why: str, by: str, at: str | None, ago: int, act_id: str) -> None:
    """Take a wrench out of use."""
    with workshop_here() as workshop:
        withdraw_wrench(workshop, number, why, say_of(workshop, by, at, ago, act_id))
    click.echo(f"{number}: withdrawn")


def _lever(text: str | None) -> Decimal | None:
    if text is None:
        return None
    try:
        lever = Decimal(text.replace(",", "."))
    except InvalidOperation:
        lever = Decimal(0)
    if not 0 < lever < LONGEST_LEVER_MM:
        raise click.UsageError(f"{text}: a lever is given in mm, such as 480")
    return lever
