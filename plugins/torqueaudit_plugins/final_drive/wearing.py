"""The wear of one chain over a vehicle's jobs: its points, the line through them, and where that meets the limit."""

from datetime import datetime
from decimal import Decimal
from typing import NamedTuple

from torqueaudit.model.around import Around, VehicleMeasurement, VehiclePart
from torqueaudit.model.job import Job
from torqueaudit.model.procedure import Measurement
from torqueaudit_plugins.final_drive.kinds import WEAR
from torqueaudit_plugins.final_drive.stated import CHAIN, Stated
from torqueaudit_plugins.final_drive.wear import Span


class Worn(NamedTuple):
    """A chain's points (km, %), when it came on and off, and how many of its values have no distance."""

    points: tuple[tuple[float, float], ...]
    on: VehiclePart | None
    off: VehiclePart | None
    without_distance: int


def percent_of(value: Decimal, unit: str, stated: Stated) -> float | None:
    """A wear in percent; a length over the pins of the printed limit is turned into one. None where it cannot be."""
    if unit == "%":
        return float(value)
    if unit != "mm" or stated.pitch_mm is None or stated.wear_pins is None:
        return None
    span = Span(stated.wear_pins, stated.pitch_mm)
    return float(span.share_percent(value - span.nominal_mm))


def limit_percent(item: Measurement, stated: Stated) -> float | None:
    """The model's own limit in percent, None where none is stated."""
    return None if item.upper is None else percent_of(item.upper, item.unit, stated)


def worn_chain(job: Job, around: Around, stated: Stated) -> Worn:
    """The chain whose wear this job measured last, over all jobs on the vehicle while it was on."""
    own = [each for each in around.measured if each.kind == WEAR and each.job == job.number]
    at = own[-1].happened_at if own else around.now
    chains = [each for each in around.fitted if each.key in stated.parts[CHAIN]]
    on = next((each for each in reversed(chains) if each.happened_at <= at), None)
    off = next((each for each in chains if each.happened_at > at), None)
    taken = [each for each in around.measured if each.kind == WEAR and _between(each, on, off, around.now)]
    wears = [(each.odometer_m, percent_of(each.value, each.unit, stated)) for each in taken]
    points = tuple((metres / 1000, wear) for metres, wear in wears if metres is not None and wear is not None)
    return Worn(points, on, off, len(taken) - len(points))


def _between(each: VehicleMeasurement, on: VehiclePart | None, off: VehiclePart | None, now: datetime) -> bool:
    end = off.happened_at if off else now
    return (on is None or each.happened_at > on.happened_at) and each.happened_at <= end
