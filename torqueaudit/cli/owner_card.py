"""`torqueaudit vehicle owner`: the card of a motorcycle's owner."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

import click

from torqueaudit.cli.common import by_option, json_option, print_json, said_by, workshop_here
from torqueaudit.cli.values import VEHICLE

if TYPE_CHECKING:
    from torqueaudit.model.shown.customer import CustomerView, Told


@click.command("owner")
@click.argument("number", metavar="VEHICLE", type=VEHICLE)
@by_option("Who is shown it; that is kept. Default: setup, who keeps the book.")
@json_option
def owner(*, number: str, by: str, as_json: bool) -> None:
    """Show what is known of a vehicle's owner, what is due, and what was said on either side.

    Who was shown it is kept (`torqueaudit disclosures`). `vehicle change` puts plate and contact right, `vehicle
    contact` begins and ends reminders and hands it to a new owner, `vehicle forget` erases all of it.
    """
    from torqueaudit.workshop.customers.card import customer_card

    with workshop_here() as workshop:
        view = customer_card(workshop, number, said_by(workshop, by))
    if as_json:
        from torqueaudit.reports.json.customer import customer_json

        print_json(customer_json(view))
        return
    click.echo("\n".join(_lines(view)))


def _lines(view: "CustomerView") -> Iterator[str]:
    if view.demo:
        yield "DEMO: every name and value here is invented."
    yield f"Owner of {view.vehicle} · {view.tag} ({view.model})"
    yield from (f"  {each.field:<14}{each.value}" for each in view.known)
    if not view.known:
        yield "  Nothing is known of the owner."
    yield view.consent
    if view.others:
        yield f"The same owner: {', '.join(f'{each.number} {each.tag}' for each in view.others)}"
    yield from (f"{each}." for each in view.due)
    if not view.due:
        yield "No re-check is waited for."
    yield from _told("What was said", view.said)
    yield from _told("Reminders", view.reminders)
    if view.disclosed:
        yield "Was shown before:"
        yield from (f"  {each}" for each in view.disclosed)


def _told(title: str, told: "tuple[Told, ...]") -> Iterator[str]:
    if told:
        yield f"{title}:"
    for each in told:
        job = f"job {each.job}, " if each.job else ""
        yield f"  {each.on}  {job}{each.says}  #{each.entry}"
