"""`torqueaudit find`: anything in the book, by words."""

from typing import TYPE_CHECKING

import click

from torqueaudit.cli.common import by_option, json_option, print_json, said_by, workshop_here
from torqueaudit.cli.sites import each_site

if TYPE_CHECKING:
    from collections.abc import Iterator

    from torqueaudit.model.shown.found import Hit

OPENED = {"job": "job show", "vehicle": "vehicle show", "wrench": "wrench show", "procedure": "procedure show"}


@click.command()
@click.argument("words", nargs=-1, required=True, metavar="WORDS…")
@click.option("--most", type=click.IntRange(1, 200), default=20, show_default=True, help="So many hits at most.")
@by_option("Who is shown it; that is kept with what is shown of anybody. Default: setup, who keeps the book.")
@json_option
@each_site()
def find(*, words: tuple[str, ...], most: int, by: str, as_json: bool) -> None:
    """Find anything by words, each with the reason: first where a word begins as it was typed, then the newest.

    Three letters of a plate suffice. Plate, frame number, name, telephone in any spelling, tag and model, job, wrench,
    person, part and lot, a day (2031-04-02, 2.4.2031), and every word written. Several words all meet in what is found:
    “AB 12 axle” is the job on that motorcycle in which axle was written. A word may say what another one is: “lot
    C-24”. What is shown of people and of owners is kept (`torqueaudit disclosures`).
    """
    from torqueaudit.reports.json.found import found_json
    from torqueaudit.workshop.search.find import find as found_by

    with workshop_here() as workshop:
        found = found_by(workshop, " ".join(words), said_by(workshop, by), most)
    if as_json:
        print_json(found_json(found))
        return
    for hit in found.hits:
        for line in _lines(hit):
            click.echo(line)
    if found.says:
        click.echo(found.says)


def _lines(hit: "Hit") -> "Iterator[str]":
    """What it is, why it was found, and what to type to see it."""
    on = f" (on {hit.vehicle})" if hit.vehicle else ""
    yield f"{hit.name}  {hit.title}{on}".rstrip()
    for why in hit.whys:
        yield f"  {why.told}"
    entries = [why.entry for why in hit.whys if why.entry]
    if hit.noun in OPENED:
        yield f"  torqueaudit {OPENED[hit.noun]} {hit.number}"
    elif entries:
        yield f"  torqueaudit ledger show {entries[0]}"
