"""A look at a wrench: what a calibration and an interim check have in common, what it answers for, how bad it is."""

from datetime import date, datetime
from decimal import Decimal
from typing import Any, NamedTuple

from torqueaudit.model.wrench.point import Point, widest

CALIBRATION, INTERIM_CHECK = "calibration", "interim check"


class Look(NamedTuple):
    """A calibration or an interim check, as it found the wrench; without points it says nothing of what was before."""

    on: date
    entry: int
    what: str
    points: tuple[Point, ...]
    out: bool  # found outside the permissible deviation
    at: datetime | None = None  # the moment, where it is known
    failed: bool = False  # left outside it
    adjusted: bool = False

    def answers(self, shown_nm: Decimal | None) -> bool:
        """Whether it says what a pass at a setting was worth: between its points, and nowhere else."""
        return shown_nm is not None and self.spans(shown_nm, shown_nm)

    def spans(self, lowest_nm: Decimal, highest_nm: Decimal) -> bool:
        """Whether its points reach from one setting to another."""
        return bool(self.points) and self.points[0].shown_nm <= lowest_nm and highest_nm <= self.points[-1].shown_nm

    @property
    def ends(self) -> bool:
        """Whether nobody can tell any more what a pass was worth for which it does not answer."""
        return self.what == CALIBRATION and (self.adjusted or not self.points)

    def worse(self, shown_nm: Decimal | None) -> tuple[Any, ...]:
        """A rank by what it makes of a pass of before: found out, then what nobody can tell; the higher, the worse."""
        ended = self.ends and not self.answers(shown_nm)
        return self.out, self.failed, ended, *widest(self.points), self.adjusted, self.at is None, self.what
