"""`torqueaudit settings`: what the workshop has chosen."""

from typing import Any

import click

from torqueaudit.cli.common import json_option, plain, print_json, say_of, who_says, workshop_here
from torqueaudit.workshop.keeping import settle


@click.group()
def settings() -> None:
    """Show or change what the workshop has chosen."""


@settings.command("show")
@json_option
def show(*, as_json: bool) -> None:
    """Show the settings in force."""
    with workshop_here() as workshop:
        chosen = workshop.settings
    if as_json:
        print_json(chosen)
        return
    for name, value in plain(chosen).items():
        click.echo(f"{name.replace('_', ' '):<24} {value}")


@settings.command("change")
@click.option("--zone")
@click.option("--address", "base_address")
@click.option(
    "--own-tolerance", "own_tolerance_percent", metavar="PERCENT", help="For sources that print no tolerance."
)
@click.option("--late-minutes", type=click.IntRange(1))
@click.option("--untouched-days", type=click.IntRange(1))
@click.option("--due-soon-days", type=click.IntRange(0))
@click.option("--single-handed/--several", default=None)
@who_says
def change(*, by: str, at: str | None, ago: int, act_id: str, **chosen: Any) -> None:  # click's options
    """Change settings; what is not named stays."""
    said = {name: value for name, value in chosen.items() if value is not None}
    if not said:
        raise click.UsageError("nothing to change; name a setting, see --help")
    with workshop_here() as workshop:
        settle(workshop, said, say_of(workshop, by, at, ago, act_id))
    click.echo(f"changed: {', '.join(said)}")
