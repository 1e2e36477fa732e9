"""`torqueaudit vehicle life`: all visits and jobs of one motorcycle, and what stands on it."""

import click

from torqueaudit.cli.common import entry_of, json_option, print_json, workshop_here
from torqueaudit.cli.values import VEHICLE


@click.command("life")
@click.argument("number", metavar="VEHICLE", type=VEHICLE)
@click.option("--as-of", metavar="ENTRY", default="", help="As it stood at an entry of the record (“#77”).")
@json_option
def life(*, number: str, as_of: str, as_json: bool) -> None:
    """Show the life of a vehicle: every visit and every act of its jobs on one line of time.

    Before that what stands on each fastener now, with its specification and what is open on it; what was measured; and
    the parts with their lots and how far they have run. What was struck says by whom and why, what came late how late.
    """
    from torqueaudit.workshop.life.life import show_life

    entry = entry_of(as_of, "vehicle life") if as_of else None
    with workshop_here() as workshop:
        view = show_life(workshop, number, entry)
    if as_json:
        from torqueaudit.reports.json.life import life_json

        print_json(life_json(view))
        return
    from torqueaudit.cli.life_sheet import lines_of

    click.echo("\n".join(lines_of(view)))
