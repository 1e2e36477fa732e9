"""What the looks at a wrench say of what it did before them (ISO 9001:2015, 7.1.5.2; ISO 10012).

The first look after a pass that answers for it says what it was worth. One that found the wrench outside its
permissible deviation puts the pass in doubt: it is corrected by 1/(1 + a), a the deviation, and judged again. A
calibration that does not say how the wrench was found leaves what came before unknown for good. See decision 0016 and
decision 0017.
"""

from collections.abc import Iterator
from datetime import date, datetime
from decimal import Decimal
from typing import NamedTuple

from torqueaudit.model.job.facts import Noted, Tightening
from torqueaudit.model.torque.specification import within
from torqueaudit.model.wrench.wrench import Point, Wrench, between, outside

CALIBRATION, INTERIM_CHECK = "calibration", "interim check"


class Look(NamedTuple):
    """A calibration or an interim check, as it found the wrench; without points it says nothing of what was before."""

    on: date
    entry: int
    what: str
    points: tuple[Point, ...]
    out: bool  # found outside the permissible deviation
    at: datetime | None = None  # of a check; the hour of a calibration is not told

    def follows(self, day: date, noted: Noted) -> bool:
        """Whether the wrench was looked at after a pass; on one day the moment, else the order of telling decides."""
        if self.on != day or self.at is None:
            return (self.on, self.entry) > (day, noted.entry)
        return (self.at, self.entry) > (noted.happened_at, noted.entry)

    def answers(self, shown_nm: Decimal | None) -> bool:
        """Whether it says what a pass at a setting was worth: a calibration as found, or a check around it."""
        if self.what == CALIBRATION:
            return bool(self.points)
        return shown_nm is not None and self.points[0].shown_nm <= shown_nm <= self.points[-1].shown_nm


class Known(NamedTuple):
    """What is known of one pass today.

    `answer` is the look that answers for it. Without one, `hint` is a check that found it out at other settings, and
    `ended` the calibration after which nobody can tell any more; `mishap` says what happened to the wrench before
    that: "was dropped on 2031-04-02 (off the bench)".
    """

    answer: Look | None
    hint: Look | None = None
    ended: Look | None = None
    mishap: str = ""

    @property
    def good(self) -> bool:
        """Whether the wrench was found in order after it."""
        return self.answer is not None and not self.answer.out


class Doubt(NamedTuple):
    """A pass of a wrench that was found out at a later look: what reached the fastener in N·m, and if it is inside."""

    look: Look
    deviation: Decimal  # at the setting of the pass, or at the point nearest to it
    applied_nm: Decimal
    inside: bool


def looks_of(wrench: Wrench) -> list[Look]:
    """Every look at a wrench, in the order of the days and, on one day, of telling."""
    found = [
        Look(on=c.on, entry=c.entry, what=CALIBRATION, points=c.as_found, out=_out(wrench, c.as_found))
        for c in wrench.calibrations
    ]
    found += [
        Look(on=c.on, entry=c.entry, what=INTERIM_CHECK, points=c.points, out=_out(wrench, c.points), at=c.at)
        for c in wrench.checks
    ]
    return sorted(found, key=lambda look: (look.on, look.entry))


def known_of(wrench: Wrench, day: date, noted: Noted, shown_nm: Decimal | None) -> Known:
    """What the looks after a pass at a setting, done on a local day, say of it."""
    looks = looks_of(wrench)
    hint = None
    for look in (each for each in looks if each.follows(day, noted)):
        if look.answers(shown_nm):
            return Known(look)
        if look.what == CALIBRATION:
            before = [each for each in looks if each is not look and not each.follows(day, noted)]
            return Known(None, hint, look, _mishap(wrench, before, look))
        hint = hint or (look if look.out else None)
    return Known(None, hint)


def doubt_of(wrench: Wrench, day: date, done: Tightening) -> Doubt | None:
    """What a look that found the wrench out makes of a pass; None where it was in order, or nothing is known."""
    known = known_of(wrench, day, done.noted, done.shown_nm)
    look = known.answer or known.hint
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


def _out(wrench: Wrench, points: tuple[Point, ...]) -> bool:
    return bool(outside(points, wrench.permissible))


def _mishap(wrench: Wrench, before: list[Look], ended: Look) -> str:
    """What befell a wrench since the last of some looks and before the calibration that ended what can be known."""
    since = max(((look.on, look.entry) for look in before), default=(date.min, 0))
    return next((says for place, says in sorted(_mishaps(wrench)) if since < place < (ended.on, ended.entry)), "")


def _mishaps(wrench: Wrench) -> Iterator[tuple[tuple[date, int], str]]:
    for each in wrench.mishaps:
        yield (each.on, each.entry), f"was {each.what} on {each.on} ({each.why})"
    for seen in wrench.checks:
        if seen.failed:
            yield (seen.on, seen.entry), f"lay {seen.failed}"
