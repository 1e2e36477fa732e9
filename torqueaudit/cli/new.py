"""`torqueaudit new`: a book for a workshop."""

import click

from torqueaudit.cli.common import TERMINAL, book_place, note_made
from torqueaudit.workshop.opening import new_workshop


@click.command()
@click.option("--site", prompt="Short name of the site, in capitals", help="Such as YARD.")
@click.option("--zone", prompt="Time zone, such as Europe/Vienna", help="Such as Europe/Vienna.")
@click.option(
    "--address", prompt="Base address that labels open, such as http://192.168.1.20:8080", help="What labels open."
)
@click.option(
    "--single-handed", is_flag=True, help="One person works here alone; self re-inspections are recorded as such."
)
def new(*, site: str, zone: str, address: str, single_handed: bool) -> None:
    """Make a book for a workshop and record its first settings."""
    place = book_place()
    chosen = {"zone": zone, "base_address": address.rstrip("/"), "single_handed": single_handed}
    new_workshop(place, site, chosen, came=TERMINAL)
    note_made(f"{place} is a new book")
    click.echo(f"{place}: a new book for {site}.")
    click.echo("Next: enter the foreman with `torqueaudit person add NAME --role foreman --by setup`.")
