"""What a calibration, or any look at a wrench, says of it at one setting: deviation, W, b_ep, scatter of one pass."""

from collections.abc import Callable, Sequence
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple

from torqueaudit.model.torque.decimals import decimal_text
from torqueaudit.model.torque.units import to_decimal
from torqueaudit.model.wrench.point import Point

SCATTER = "scatter of one pass"  # with which each line of a budget begins that is one
_ROOT_3 = Decimal(3).sqrt()
LEAST_READINGS = 2  # that show a scatter


class Figures(NamedTuple):
    """At one setting, all as shares of it.

    `deviation` is a, exact, `expanded` W (None where the points state no usable one), `loading_point` |b_ep|, `scatter`
    the standard deviation of one pass; `from_readings`: it is that of the readings, else what the class leaves.
    """

    deviation: Fraction
    expanded: Decimal | None
    loading_point: Decimal
    scatter: Decimal
    from_readings: bool


def rectangular(limit: Decimal) -> Decimal:
    """The standard uncertainty of a limit ±`limit` with nothing known inside it (JCGM 100:2008, 4.3.7)."""
    return limit / _ROOT_3


def figures_at(points: Sequence[Point], permissible: Decimal, shown_nm: Decimal) -> Figures | None:
    """What the points say at a setting, on straight lines between neighbours; None outside of them.

    W counts only where every point states one. `permissible` is the wrench's own, as a fraction.
    """
    deviation = _along(points, shown_nm, _deviation)
    if deviation is None:
        return None

    def share(value: Callable[[Point], Decimal]) -> Decimal:
        return to_decimal(_along(points, shown_nm, lambda point: Fraction(value(point))) or Fraction(0))

    stated = all(_is_usable(point) for point in points)
    return Figures(
        deviation=deviation,
        expanded=share(lambda point: point.without_deviation or Decimal(0)) if stated else None,
        loading_point=share(lambda point: abs(point.loading_point or Decimal(0))),
        scatter=share(lambda point: scatter_of(point, permissible)),
        from_readings=all(len(point.references_nm) >= LEAST_READINGS for point in points),
    )


def scatter_of(point: Point, permissible: Decimal) -> Decimal:
    """The standard deviation of one pass, as a fraction: that of the readings, divided by their mean.

    Where there is one reading only, or a mean without its readings, the class stands in: every reading of a wrench that
    passed lies within its permissible deviation, so the scatter around its mean is no more than what that leaves, taken
    as even and rectangular. One that is outside is held by nothing narrower than the permissible deviation itself.
    """
    references = point.references_nm
    if len(references) < LEAST_READINGS:
        left = permissible - abs(point.deviation)
        return rectangular(left if left >= 0 else permissible)
    mean = sum(references, Decimal(0)) / len(references)
    variance = sum(((each - mean) ** 2 for each in references), Decimal(0)) / (len(references) - 1)
    return variance.sqrt() / mean


def scatter_name(figures: Figures, permissible: Decimal) -> str:
    """What the scatter rests on, as a line of a budget names it."""
    if figures.from_readings:
        return f"{SCATTER}, from the readings"
    percent = decimal_text(permissible * 100)
    return f"{SCATTER}, without readings: what ±{percent} % leaves beside the deviation, rectangular"


def _is_usable(point: Point) -> bool:
    """Whether a W is stated that can be: above zero, and no W′ too narrow to hold the point's own deviation."""
    return bool(point.without_deviation) and (point.interval is None or point.interval > abs(point.deviation))


def _deviation(point: Point) -> Fraction:
    """The mean deviation of a point, exact: one reading of 97.2 at 100 makes 97.2 of 100 again."""
    shown, references = Fraction(point.shown_nm), [Fraction(each) for each in point.references_nm]
    return sum(((shown - each) / each for each in references), Fraction(0)) / len(references)


def _along(points: Sequence[Point], shown_nm: Decimal, value: Callable[[Point], Fraction]) -> Fraction | None:
    """A value at a setting, on the straight line between the two points around it; None outside of all."""
    at_a_point = next((value(point) for point in points if point.shown_nm == shown_nm), None)
    if at_a_point is not None:
        return at_a_point
    for below, above in pairwise(points):
        if below.shown_nm < shown_nm < above.shown_nm:
            share = Fraction(shown_nm - below.shown_nm) / Fraction(above.shown_nm - below.shown_nm)
            return value(below) + share * (value(above) - value(below))
    return None
