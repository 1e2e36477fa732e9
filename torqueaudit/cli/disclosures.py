"""`torqueaudit disclosures`: who was shown what is known of whom."""

from datetime import datetime

import click

from torqueaudit.cli.common import json_option, print_json, workshop_here
from torqueaudit.cli.values import KNOWN


@click.command()
@click.argument("number", metavar="[VEHICLE|PERSON]", type=KNOWN, default="")
@click.option("--most", type=click.IntRange(1), default=50, show_default=True, help="So many at most.")
@json_option
def disclosures(*, number: str, most: int, as_json: bool) -> None:
    """Show who was shown plate, name or contact of whom, the newest first; of one vehicle or person, or of all.

    Each line tells when, who, by which door and which fields, and never what stood in them. It goes with what is
    forgotten, and after the days that `settings change --disclosure-days` names.
    """
    from torqueaudit.reports.json.register import disclosure_json
    from torqueaudit.workshop.search.disclosures import disclosures_of, subject_of

    with workshop_here() as workshop:
        found = disclosures_of(workshop, subject_of(workshop, number) if number else "", most)
        zone = workshop.settings.timezone
    if as_json:
        print_json([disclosure_json(each) for each in found])
        return
    for each in found:
        at = datetime.fromisoformat(each.at).astimezone(zone)
        of = each.subject.partition("/")[2]
        click.echo(f"{at:%Y-%m-%d %H:%M}  {each.by:<6} {each.door:<9} {of:<6} {', '.join(each.shown)}")
    if not found:
        click.echo(f"Nobody was shown anything that is known of {number or 'anybody'}.")
