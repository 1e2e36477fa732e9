"""Is what was measured of a chain's wear true? A chain grows with every ride; it never shrinks.

chain wear: 0.3 % now, and 0.95 % before on the same chain (job 3). A chain does not get shorter: …
"""

from collections.abc import Iterator
from decimal import Decimal
from math import hypot

from torqueaudit.plugin import (
    ActName,
    Around,
    Finding,
    Job,
    Measured,
    Measurement,
    Next,
    VehicleMeasurement,
    Weight,
    subject_of,
    told_beside,
)
from torqueaudit_plugins.final_drive.calc.wear import MOST_BELIEVED
from torqueaudit_plugins.final_drive.rules.wear_history import (
    UNTOLD_PERCENT,
    limit_percent,
    percent_of,
    share_percent,
    worn_chain,
)
from torqueaudit_plugins.final_drive.table.content import WEAR, Stated


def review_wear(job: Job, around: Around, stated: Stated) -> Iterator[Finding]:
    """Of each wear as it was measured last."""
    for item in job.procedure.measurements():
        taken = job.record.measured(item.key) if item.kind == WEAR else None
        wear = percent_of(taken.value, taken.unit, stated) if taken else None
        if taken is None or wear is None:
            continue
        if wear > MOST_BELIEVED and taken.inside is not False:  # outside its limit the stop says so
            says = f"{wear:.3g} % is hardly true. Count the pins again, and measure again."
            yield Finding(
                rule="final_drive/wear-hardly-true",
                weight=Weight.CAUTION,
                about=subject_of(item),
                words=says,
                entry=taken.noted.entry,
            )
        yield from _fell(job, around, stated, item, taken, wear)


def _fell(
    job: Job, around: Around, stated: Stated, item: Measurement, taken: Measured, wear: Decimal
) -> Iterator[Finding]:
    """A smaller value after a larger one; a limit that was passed stays passed until somebody says what was wrong."""
    chain = worn_chain(job, around, stated)
    if chain.off:
        return
    before = _most_before(chain.taken, taken.noted.entry, stated)
    if before is None or before[0] <= wear:
        return
    most, earlier = before
    limit = limit_percent(item, stated)
    passed = limit is not None and most > limit >= wear
    sure = _sure(job, stated, taken.noted.entry, earlier.entry)
    if not passed and float(most - wear) <= sure:
        return
    where = "earlier on this job" if earlier.job == job.number else f"on job {earlier.job}"
    over = f", past the limit of {told_beside(limit, 3, wear, most)} %," if passed and limit is not None else ""
    says = (
        f"{told_beside(wear, 3, limit, most)} % now, but {told_beside(most, 3, limit, wear)} %{over} was measured "
        f"{where}, and a chain does not get shorter. Count and measure again at the worst place; then have the wrong "
        "value struck, or record the chain that was fitted since."
    )
    yield Finding(
        rule="final_drive/wear-fell",
        weight=Weight.STOP if passed else Weight.CAUTION,
        about=subject_of(item),
        words=says,
        entry=taken.noted.entry,
        answer=Next(ActName.MEASURE, item.key),
    )


def _most_before(
    taken: tuple[VehicleMeasurement, ...], entry: int, stated: Stated
) -> tuple[Decimal, VehicleMeasurement] | None:
    """The largest wear measured before an entry in the order of the work, in percent."""
    entries = [each.entry for each in taken]
    earlier = taken[: entries.index(entry)] if entry in entries else ()
    wears = [(wear, each) for each in earlier if (wear := percent_of(each.value, each.unit, stated)) is not None]
    return max(wears, key=lambda each: each[0], default=None)


def _sure(job: Job, stated: Stated, *entries: int) -> float:
    """U of the difference of two wears in percent, where this job told that of both; else what stands in for it."""
    own = {each.noted.entry: each for each in job.record.of(Measured) if each.expanded}
    told = [
        share_percent(own[entry].expanded or Decimal(0), own[entry].unit, stated) if entry in own else None
        for entry in entries
    ]
    known = [float(each) for each in told if each is not None]
    return hypot(*known) if len(known) == len(entries) else max(UNTOLD_PERCENT, *known, 0.0)
