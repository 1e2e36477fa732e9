"""How far a wrench moved from one calibration to the next, and how long the time between them should be.

The drift from as left to the next as found is held against the uncertainties of both: |Δ|/√(W1² + W2²), as the En
number of ISO/IEC 17043 (from memory) holds two values with U (k = 2) against each other. Above 1 the wrench moved by
more than both leave open. The interval follows the staircase of ILAC-G24 (method 1, from memory): longer where the
wrench was found within 80 % of what is permitted, shorter where it was found outside. It is proposed, and never set.
"""

from datetime import date
from decimal import Decimal
from itertools import pairwise
from typing import NamedTuple

from torqueaudit.model.torque.units import to_decimal
from torqueaudit.model.wrench.figures import figures_at
from torqueaudit.model.wrench.order import is_after
from torqueaudit.model.wrench.point import outside, widest
from torqueaudit.model.wrench.wrench import Calibration, Wrench

WELL_WITHIN = Decimal("0.8")  # of the permissible deviation: ILAC-G24, from memory
MONTHS_OF_YEAR = 12


class Drift(NamedTuple):
    """What a wrench moved at one point, as a fraction; `expanded` is √(W1² + W2²), None where one states no W."""

    at: str
    shown_nm: Decimal
    left_on: date
    found_on: date
    moved: Decimal
    expanded: Decimal | None

    @property
    def normalised(self) -> Decimal | None:
        """The drift as a share of the uncertainty of both calibrations."""
        return abs(self.moved) / self.expanded if self.expanded else None


class Interval(NamedTuple):
    """The months a wrench was last calibrated for, those proposed, and how much of what is permitted it was off by."""

    months: int
    proposed: int
    share: Decimal
    out: bool  # found outside, then or at an interim check since it was left


def drifts_of(wrench: Wrench) -> list[Drift]:
    """From each calibration to the next, at the points of that which the one before spans."""
    return [drift for before, after in _pairs(wrench) for drift in _between(wrench, before, after)]


def interval_of(wrench: Wrench, longest: int) -> Interval | None:
    """What the newest calibration that says how the wrench was found makes of the months before it.

    The workshop's `longest` is never passed. A step is half of the months (ours, no source). None before there are two.
    """
    before, after = next(((b, a) for b, a in reversed(_pairs(wrench)) if a.as_found), (None, None))
    if before is None or after is None:
        return None
    months = _months(before.on, before.due_on)
    share = widest(after.as_found)[0] / wrench.permissible
    failed = any(each.failed and is_after(each, before) and not is_after(each, after) for each in wrench.checks)
    out = failed or bool(outside(after.as_found, wrench.permissible))
    step = max(months // 2, 1)
    if out:
        proposed = max(months - step, 1)
    else:
        proposed = min(months + step, longest) if share <= WELL_WITHIN else min(months, longest)
    return Interval(months=months, proposed=proposed, share=share, out=out)


def _pairs(wrench: Wrench) -> list[tuple[Calibration, Calibration]]:
    return [(before, after) for before, after in pairwise(wrench.calibrations) if is_after(after, before)]


def _between(wrench: Wrench, before: Calibration, after: Calibration) -> list[Drift]:
    found = []
    for point in after.as_found:
        left, now = (figures_at(each, wrench.permissible, point.shown_nm) for each in (before.points, after.as_found))
        if left is None or now is None:
            continue
        stated = left.expanded is not None and now.expanded is not None
        squares = (left.expanded or Decimal(0)) ** 2 + (now.expanded or Decimal(0)) ** 2
        drift = Drift(
            at=point.at,
            shown_nm=point.shown_nm,
            left_on=before.on,
            found_on=after.on,
            moved=to_decimal(now.deviation - left.deviation),
            expanded=squares.sqrt() if stated else None,
        )
        found.append(drift)
    return found


def _months(first: date, last: date) -> int:
    """The months from one day to another, rounded to whole ones, at least one."""
    months = (last.year - first.year) * MONTHS_OF_YEAR + last.month - first.month
    return max(months, 1)
