"""`torqueaudit settings`: what the workshop has chosen."""

from typing import Any

import click

from torqueaudit.cli.common import Who, json_option, print_json, say_of, who_says, workshop_here
from torqueaudit.model.register.setting_words import value_text
from torqueaudit.reports.json.register import settings_json
from torqueaudit.workshop.register.settings import settle


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
        print_json(settings_json(chosen))
        return
    for name, value in chosen._asdict().items():
        click.echo(f"{name.replace('_', ' '):<24} {value_text(name, value)}")


@settings.command("change")
@click.option("--zone")
@click.option("--address", "base_address", metavar="URL", help="What labels open, from home too.")
@click.option(
    "--workshop-address", metavar="URL", help="Of the workshop's own pages: bench, devices; empty: that of the labels."
)
@click.option(
    "--own-tolerance", "own_tolerance_percent", metavar="PERCENT", help="For sources that print no tolerance."
)
@click.option("--late-minutes", type=click.IntRange(1))
@click.option("--untouched-days", type=click.IntRange(1))
@click.option("--due-soon-days", type=click.IntRange(0))
@click.option("--check-seconds", type=int, help="`signed` tells of checks entered closer to each other; 0: of none.")
@click.option("--single-handed/--several", default=None)
@click.option(
    "--guard-factor", metavar="R", help="A torque is accepted only inside its limits by R times its uncertainty."
)
@click.option(
    "--correct-deviation/--leave-deviation",
    default=None,
    help="Correct what a wrench shows by the deviation that its calibration states.",
)
@click.option("--calibration-months", type=int, help="How long a calibration holds.")
@click.option("--calibration-cycles", type=int, help="How many cycles a calibration holds.")
@click.option("--wrench-due-soon-days", type=int, help="From when a calibration is called due soon.")
@click.option("--backup-days", type=int, help="After so many days without a backup the night tells it; 0: never.")
@click.option(
    "--labels-published/--labels-served",
    default=None,
    help="What labels open are published files, so reminders are ended by answering the mail, and not on a page.",
)
@click.option("--weekly-reminders", type=int, help="At most so many weekly reminders once a re-check was missed.")
@click.option("--quiet-from", type=int, metavar="HOUR", help="From this hour nobody is reminded.")
@click.option("--quiet-until", type=int, metavar="HOUR", help="Until this hour; the same hour twice: no quiet.")
@click.option("--disclosure-days", type=int, help="How long it is kept who was shown plate, name or contact of whom.")
@click.option("--telephone", help="The workshop's own, printed on the owner's tag.")
@click.option("--mail", "mail_address", metavar="ADDRESS", help="The workshop's own, to which owners write.")
@click.option(
    "--label-printer", metavar="NAME", help="Print labels from the pages on this printer, by `lp`; empty: open a PDF."
)
@click.option(
    "--label-stock", metavar="NAME", help="What the pages print labels on: a name of `label stocks`, or a .toml file."
)
@click.option(
    "--upper-case-labels/--lower-case-labels",
    default=None,
    help="Write a label's address in capitals: smaller symbols, which some cameras do not open.",
)
@click.option(
    "--pin-at-terminal/--no-pin-at-terminal",
    default=None,
    help="Ask at the command line for the PIN of whoever says something (TORQUEAUDIT_PIN_FILE for scripts).",
)
@click.option("--block", multiple=True, metavar="PLUGIN", help="Load this plugin no more.")
@click.option("--unblock", multiple=True, metavar="PLUGIN")
@click.option("--expect", multiple=True, metavar="PLUGIN", help="Its absence stops every job.")
@click.option("--forgo", multiple=True, metavar="PLUGIN", help="Expect this plugin no more.")
@who_says
def change(*, who: Who, **chosen: Any) -> None:  # click's options
    """Change settings; what is not named stays."""
    words = {name: chosen.pop(name) for name in ("block", "unblock", "expect", "forgo")}
    said = {name: value for name, value in chosen.items() if value is not None}
    with workshop_here() as workshop:
        now = workshop.settings
        if words["block"] or words["unblock"]:
            said["blocked_plugins"] = sorted({*now.blocked_plugins, *words["block"]} - {*words["unblock"]})
        if words["expect"] or words["forgo"]:
            said["expected_plugins"] = sorted({*now.expected_plugins, *words["expect"]} - {*words["forgo"]})
        if not said:
            raise click.UsageError("nothing to change; name a setting, see --help")
        settle(workshop, said, say_of(workshop, who))
    click.echo(f"changed: {', '.join(name.replace('_', ' ') for name in said)}")
