"""`torqueaudit today`: what a foreman decides now."""

import click

from torqueaudit.cli.common import json_option, print_json, workshop_here
from torqueaudit.cli.folds import print_folds
from torqueaudit.cli.sites import each_site


@click.command()
@json_option
@each_site()
def today(*, as_json: bool) -> None:
    """Show what is to be decided now, the most urgent first: whom to call, what to look at, what to release.

    It is what tonight's report would say at this hour; nothing is verified, recorded or written.
    """
    from torqueaudit.reports.json.night import today_json
    from torqueaudit.workshop.night.today import today_of

    with workshop_here() as workshop:
        told = today_of(workshop)
        if as_json:
            print_json(today_json(told))
            return
        demo = " (demo: an invented workshop)" if told.demo else ""
        click.echo(f"{told.site}, {told.asked_at:%Y-%m-%d at %H:%M}{demo}")
        print_folds(told, empty=False)
        if not any(section.lines for section in told.sections):
            click.echo("Nothing is to be decided.")
        click.echo(told.judged)
