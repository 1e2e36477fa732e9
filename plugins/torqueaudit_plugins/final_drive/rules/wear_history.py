"""The wear of one chain over a vehicle's jobs: its points, the line through them, and where that meets the limit."""

from datetime import datetime
from decimal import Decimal
from typing import NamedTuple

from torqueaudit.plugin import Around, Job, Measured, Measurement, VehicleMeasurement, VehiclePart
from torqueaudit_plugins.final_drive.calc.wear import Span
from torqueaudit_plugins.final_drive.table.content import CHAIN, WEAR, Stated

UNTOLD_PERCENT = 0.1  # U of a wear whose uncertainty nobody told: 0.3 mm over 18 pitches of 15.875 mm (ours, no source)


class Worn(NamedTuple):
    """A chain's points (km, %), when it came on and off, how many values have no distance, and all of them."""

    points: tuple[tuple[float, float], ...]
    on: VehiclePart | None
    off: VehiclePart | None
    without_distance: int
    taken: tuple[VehicleMeasurement, ...]


def percent_of(value: Decimal, unit: str, stated: Stated) -> Decimal | None:
    """A wear in percent; a length over the pins of the printed limit is turned into one. None where it cannot be."""
    if unit == "mm" and stated.pitch_mm is not None and stated.wear_pins is not None:
        value -= Span(stated.wear_pins, stated.pitch_mm).nominal_mm
    return share_percent(value, unit, stated)


def limit_percent(item: Measurement, stated: Stated) -> Decimal | None:
    """The model's own limit in percent, None where none is stated."""
    return None if item.upper is None else percent_of(item.upper, item.unit, stated)


def worn_chain(job: Job, around: Around, stated: Stated) -> Worn:
    """The chain whose wear this job measured last, over all jobs on the vehicle while it was on."""
    own = [each for each in around.measured if each.kind == WEAR and each.job == job.number]
    at = own[-1].happened_at if own else around.now
    chains = [each for each in around.fitted if each.key in stated.parts[CHAIN]]
    on = next((each for each in reversed(chains) if each.happened_at <= at), None)
    off = next((each for each in chains if each.happened_at > at), None)
    taken = tuple(each for each in around.measured if each.kind == WEAR and _between(each, on, off, around.now))
    wears = [(each.odometer_m, percent_of(each.value, each.unit, stated)) for each in taken]
    points = tuple((metres / 1000, float(wear)) for metres, wear in wears if metres is not None and wear is not None)
    return Worn(points=points, on=on, off=off, without_distance=len(taken) - len(points), taken=taken)


def passed_limit(job: Job, around: Around, stated: Stated) -> bool:
    """Whether the chain that is on was ever measured past the limit that this job holds it against."""
    limits = [limit_percent(item, stated) for item in job.procedure.measurements() if item.kind == WEAR]
    chain = worn_chain(job, around, stated)
    wears = [percent_of(each.value, each.unit, stated) for each in chain.taken] if not chain.off else []
    return any(wear > limit for limit in limits if limit is not None for wear in wears if wear is not None)


def sure_percent(job: Job, stated: Stated) -> tuple[float, bool]:
    """How sure a reading of wear is, U with k = 2 in percent, and whether this job told it for its last one."""
    told = [each for each in job.record.of(Measured) if each.kind == WEAR and each.expanded]
    if not told or told[-1].expanded is None:
        return UNTOLD_PERCENT, False
    sure = share_percent(told[-1].expanded, told[-1].unit, stated)
    return (UNTOLD_PERCENT, False) if sure is None else (float(sure), True)


def share_percent(length: Decimal, unit: str, stated: Stated) -> Decimal | None:
    """A difference of wears in percent, told in percent or over the pins of the printed limit."""
    if unit == "%":
        return length
    if unit != "mm" or stated.pitch_mm is None or stated.wear_pins is None:
        return None
    return Span(stated.wear_pins, stated.pitch_mm).share_percent(length)


def _between(each: VehicleMeasurement, on: VehiclePart | None, off: VehiclePart | None, now: datetime) -> bool:
    end = off.happened_at if off else now
    return (on is None or each.happened_at > on.happened_at) and each.happened_at <= end
