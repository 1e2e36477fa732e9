"""What slack, alignment and the adjusters say.

chain slack: move the axle back by 0.29 mm on both sides (1.4 flats of the adjuster), to the middle of 32 … 42 mm.
"""

from collections.abc import Iterator
from decimal import Decimal

from torqueaudit.plugin import Around, Finding, Job, Measured, Measurement, Weight, format_number, subject_of
from torqueaudit_plugins.final_drive.calc.adjuster import wear_for_travel
from torqueaudit_plugins.final_drive.kinds.values import travel_left
from torqueaudit_plugins.final_drive.rules.axle_moves import AGAIN, moves_of
from torqueaudit_plugins.final_drive.rules.drive_set import drive_now
from torqueaudit_plugins.final_drive.rules.wear_history import limit_percent, percent_of
from torqueaudit_plugins.final_drive.table.content import POSITION, SLACK, WEAR, Stated


def review_axle(job: Job, around: Around, stated: Stated) -> Iterator[Finding]:
    """Where the axle goes, tight places, and what is left of the adjusters' travel."""
    for move in moves_of(job, around, stated):
        yield Finding(
            rule="final_drive/axle-to-move",
            weight=Weight.NOTE,
            about=subject_of(move.item),
            words=f"{move.says}. {AGAIN}",
            entry=move.taken.noted.entry,
        )
    for item in job.procedure.measurements():
        taken = job.record.measured(item.key)
        if taken and item.kind == SLACK:
            yield from _tight_places(item, taken)
        elif taken and item.kind == POSITION:
            yield from _travel(job, around, stated, item, taken)
        elif taken and item.kind == WEAR:
            yield from _position_first(job, item)


def _tight_places(item: Measurement, taken: Measured) -> Iterator[Finding]:
    """A chain that is tight here and loose there; the window tells how much of that a drive of this model bears."""
    values = [told.value for told in taken.inputs]
    if item.lower is None or item.upper is None or len(values) < 2:  # noqa: PLR2004 -- two places to compare
        return
    if max(values) - min(values) > item.upper - item.lower:
        says = (
            f"{_mm(min(values))} at its tightest and {_mm(max(values))} at its loosest place. The chain "
            "has worn unevenly or has stiff links: measure its wear and bend every link (common practice, no source)."
        )
        yield Finding(
            rule="final_drive/tight-places",
            weight=Weight.CAUTION,
            about=subject_of(item),
            words=says,
            entry=taken.noted.entry,
        )


def _travel(job: Job, around: Around, stated: Stated, item: Measurement, taken: Measured) -> Iterator[Finding]:
    """Too little travel is left for the wear that the chain may still have."""
    sides = {told.name: told.value for told in taken.inputs}
    known = drive_now(job, around, stated)
    if stated.adjuster_end_mm is None or known is None or not {"left", "right"} <= sides.keys():
        return
    travel = travel_left(sides["left"], sides["right"], stated.adjuster_end_mm)
    left = wear_for_travel(*known, float(travel))
    allowed, worn_at = _wear_allowed(job, stated) or (None, 0)
    if travel == 0 or (allowed is not None and left.least_percent < allowed):
        used = f"used up by about {left.least_percent:.1f} to {left.most_percent:.1f} % more wear (an estimate)"
        so = f", and the chain may wear by {allowed:.1f} % more" if allowed is not None else ""
        says = (
            f"{_mm(travel)} of travel left, {used}{so}. Adjusters so near their end say that the chain is "
            "worn or has a link too many: count and measure it."
        )
        yield Finding(
            rule="final_drive/adjuster-travel",
            weight=Weight.CAUTION,
            about=subject_of(item),
            words=says,
            entry=max(taken.noted.entry, worn_at),
        )


def _wear_allowed(job: Job, stated: Stated) -> tuple[float, int] | None:
    """Wear in percent that the chain may still have, and the entry it was measured in; None where none is known."""
    for item in job.procedure.measurements():
        taken = job.record.measured(item.key) if item.kind == WEAR else None
        limit = limit_percent(item, stated) if taken else None
        now = percent_of(taken.value, taken.unit, stated) if taken else None
        if taken and limit is not None and now is not None:
            return max(float(limit - now), 0.0), taken.noted.entry
    return None


def _position_first(job: Job, wear: Measurement) -> Iterator[Finding]:
    """The chain is tensioned to measure its wear: where the adjusters stood has to be known before."""
    first = {each.key: each.noted for each in reversed(job.record.of(Measured))}
    tensioned = first[wear.key]
    for item in job.procedure.measurements():
        if item.kind == POSITION and (item.key not in first or tensioned.order < first[item.key].order):
            says = (
                "not written down before the chain was tensioned for its wear. Find the old place by its "
                "traces, and measure slack and alignment."
            )
            yield Finding(
                rule="final_drive/position-not-first",
                weight=Weight.CAUTION,
                about=subject_of(item),
                words=says,
                entry=tensioned.entry,
            )


def _mm(value: Decimal) -> str:
    return f"{format_number(value, 5)} mm"
