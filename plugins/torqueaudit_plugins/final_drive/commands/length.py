"""The commands `torqueaudit chain length` and `ratio`: what fits each other, and what it does to the gearing."""

from decimal import Decimal
from typing import Any

import click

from torqueaudit_plugins.final_drive.calc.length import centre_at, even_links, links_at, links_within, straight_run_mm
from torqueaudit_plugins.final_drive.calc.sprockets import (
    Drive,
    ratio,
    ratio_change_percent,
    require_links,
    require_teeth,
    turns_to_meet_again,
)
from torqueaudit_plugins.final_drive.commands.answer import (
    AS_A_SET,
    MM,
    Answer,
    Calculator,
    drive_from,
    drive_options,
    exact,
    json_option,
    places,
    show,
)

RANGE_ENDS = 2


@click.command(cls=Calculator, name="length")
@drive_options
@click.option("--links", type=int, metavar="NUMBER", help="Links of the chain: answers with the centre distance.")
@click.option(
    "--centre",
    "centres",
    type=MM,
    multiple=True,
    metavar="MM",
    help="Centre distance: answers with the links. Twice, for both ends of the adjusters: which even numbers fit.",
)
@json_option
def length(
    *,
    front: int,
    rear: int,
    pitch: Decimal | None,
    size: str | None,
    links: int | None,
    centres: tuple[Decimal, ...],
    as_json: bool,
) -> None:
    """Links of a chain from the centre distance, or the reverse."""
    drive = drive_from(front, rear, pitch, size)
    if (links is None) == (not centres) or len(centres) > RANGE_ENDS:
        raise ValueError("give --links, or --centre once, or --centre twice for both ends of the adjusters")
    if links is not None:
        answer = _centre_of(drive, links)
    elif len(centres) == 1:
        answer = _links_of(drive, float(centres[0]))
    else:
        answer = _fitting(drive, *map(float, centres))
    show(answer, as_json=as_json)


def _centre_of(drive: Drive, links: int) -> Answer:
    centre = centre_at(drive, links)
    content = {
        "centre_distance_mm": exact(centre),
        "straight_run_mm": exact(straight_run_mm(drive, centre)),
        "links": exact(links),
    }
    line = f"{links} links around {drive.front} and {drive.rear} teeth are taut at a centre distance of {centre:.2f} mm"
    return Answer(content, (line,))


def _links_of(drive: Drive, centre: float) -> Answer:
    links = links_at(drive, centre)
    even = even_links(links)
    taut = centre_at(drive, even)
    content = {"links": exact(links), "even_links": even, "even_centre_distance_mm": exact(taut)}
    lines = (
        f"{centre:g} mm around {drive.front} and {drive.rear} teeth takes {links:.3f} links",
        f"the next even number is {even}, which is taut at {taut:.2f} mm",
    )
    return Answer(content, lines)


def _fitting(drive: Drive, least: float, most: float) -> Answer:
    fitting = list(links_within(drive, least, most))
    content: dict[str, Any] = {
        "least_links": exact(links_at(drive, least)),
        "most_links": exact(links_at(drive, most)),
        "fitting_links": fitting,
    }
    between = f"between {least:g} and {most:g} mm"
    if not fitting:
        return Answer(content, (f"no even number of links is taut {between}: other sprockets are needed",))
    each = [f"{links} links, taut at {centre_at(drive, links):.2f} mm" for links in fitting]
    return Answer(content, (f"taut {between}: {'; '.join(each)}",))


@click.command(cls=Calculator, name="ratio")
@click.option("--front", type=int, required=True, metavar="TEETH", help="Teeth of the front sprocket.")
@click.option("--rear", type=int, required=True, metavar="TEETH", help="Teeth of the rear sprocket.")
@click.option("--links", type=int, metavar="NUMBER", help="Say also when the same link meets the same tooth.")
@click.option("--old-front", type=int, metavar="TEETH", help="Teeth before: say also what changes.")
@click.option("--old-rear", type=int, metavar="TEETH", help="As --old-front.")
@json_option
def ratio_(
    *, front: int, rear: int, links: int | None, old_front: int | None, old_rear: int | None, as_json: bool
) -> None:
    """Ratio, what it changes, and when link and tooth meet again."""
    for teeth, which in ((front, "front"), (rear, "rear"), (old_front, "old front"), (old_rear, "old rear")):
        if teeth is not None:
            require_teeth(teeth, which)
    new = ratio(front, rear)
    answer = Answer({"ratio": exact(new)}, (f"{rear}/{front} = {places(new, 4)}",))
    if links is not None:
        answer = _joined(answer, _meeting(front, rear, links))
    if old_front is not None or old_rear is not None:
        answer = _joined(answer, _change(front, rear, old_front or front, old_rear or rear))
    show(answer, as_json=as_json)


def _joined(first: Answer, second: Answer) -> Answer:
    return Answer(first.content | second.content, first.lines + second.lines, first.warnings + second.warnings)


def _meeting(front: int, rear: int, links: int) -> Answer:
    require_links(links)
    at_front, at_rear = turns_to_meet_again(front, links), turns_to_meet_again(rear, links)
    line = (
        f"the same link meets the same tooth every {at_front} turns of the front sprocket and every {at_rear} of the "
        "rear one; more wears more evenly (common practice, no source)"
    )
    return Answer({"front_turns": at_front, "rear_turns": at_rear}, (line,))


def _change(front: int, rear: int, old_front: int, old_rear: int) -> Answer:
    before = ratio(old_front, old_rear)
    change = ratio_change_percent(before, ratio(front, rear))
    content = {
        "old_ratio": exact(before),
        "ratio_change_percent": exact(change),
        "speed_reading_change_percent": exact(change),
    }
    by = f"{'+' if change > 0 else ''}{places(change, 2)} %"
    lines = (
        f"before {old_rear}/{old_front} = {places(before, 4)}: the ratio changes by {by}",
        f"a speed taken at the gearbox or front sprocket reads {by} against before, one taken at a wheel as before",
    )
    return Answer(content, lines, (AS_A_SET,))
