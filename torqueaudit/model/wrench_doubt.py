"""What a wrench found outside its permissible deviation has done before (ISO 9001:2015, 7.1.5.2; ISO 10012).

Everything since its last good look is listed, corrected by 1/(1 + a) with the deviation a as found, and judged again.
"""

from datetime import date
from decimal import Decimal
from typing import NamedTuple

from torqueaudit.model.facts import Tightening
from torqueaudit.model.specification import within
from torqueaudit.model.wrench import Point, Wrench, between, outside


class Look(NamedTuple):
    """A calibration or an interim check, as it found the wrench; without points it says nothing of what was before."""

    on: date
    entry: int
    what: str  # "calibration" or "interim check"
    points: tuple[Point, ...]
    out: bool  # found outside the permissible deviation

    def follows(self, day: date, entry: int) -> bool:
        """Whether the wrench was looked at after a pass; on one day the order in which they were told decides."""
        return (self.on, self.entry) > (day, entry)


class Doubt(NamedTuple):
    """A pass of a wrench that was found out at the next look: what reached the fastener in N·m, and if it is inside."""

    look: Look
    deviation: Decimal  # at the setting of the pass, or at the point nearest to it
    applied_nm: Decimal
    inside: bool


def looks_of(wrench: Wrench) -> list[Look]:
    """Every look at a wrench, in the order of the days."""
    found = [(each.on, each.entry, "calibration", each.as_found) for each in wrench.calibrations]
    found += [(each.on, each.entry, "interim check", each.points) for each in wrench.checks]
    return sorted(Look(*each, bool(outside(each[-1], wrench.permissible))) for each in found)


def doubt_of(wrench: Wrench, day: date, done: Tightening) -> Doubt | None:
    """What the first look after a pass makes of it; None where that found the wrench in order, or says nothing."""
    look = next((each for each in looks_of(wrench) if each.follows(day, done.noted.entry)), None)
    if look is None or not look.out or done.shown_nm is None or done.applied_nm is None:
        return None
    deviation = deviation_at(look.points, done.shown_nm)
    applied_nm = done.shown_nm * done.corrected_by / (1 + deviation)
    return Doubt(look, deviation, applied_nm, within(applied_nm, done.lower_nm, done.upper_nm))


def deviation_at(points: tuple[Point, ...], shown_nm: Decimal) -> Decimal:
    """The mean deviation at a setting, on straight lines between the points, and beyond them that of the last one."""
    nearest = min(max(shown_nm, points[0].shown_nm), points[-1].shown_nm)
    found = between(points, nearest, [point.deviation for point in points])
    return points[0].deviation if found is None else found
