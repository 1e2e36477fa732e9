"""One point of a calibration, or of any look at a wrench: what was shown, and what the reference read.

Deviation of a reading, ISO 6789-1:2017 (from memory): a = (X_a - X_r)/X_r, X_a set or shown, X_r the reference. A
positive deviation means that the wrench shows too much, so the fastener got less.
"""

from collections.abc import Sequence
from decimal import Decimal
from typing import NamedTuple

from torqueaudit.model.torque.units import NEWTON_METRE, format_number
from torqueaudit.model.torque.words import torque_text

TOLD_DIGITS = 10  # more than anybody writes, fewer than a conversion there and back spoils


class Point(NamedTuple):
    """One calibration point: what was set or shown, and what the reference read, once for each reading. In N·m.

    `expanded` is the certificate's relative expanded uncertainty W (k = 2) without the deviation, `interval` its W′
    with it, `loading_point` the share b_ep of the point of loading; all as fractions, None where it states none. `unit`
    is the symbol it was told in, `unit_nm` one of it in N·m.
    """

    shown_nm: Decimal
    references_nm: tuple[Decimal, ...]
    expanded: Decimal | None = None
    interval: Decimal | None = None
    loading_point: Decimal | None = None
    unit: str = NEWTON_METRE.symbol
    unit_nm: Decimal = Decimal(1)

    @property
    def at(self) -> str:
        """The setting in words, as it was told: "100 N·m", "80 lbf·ft (108.5 N·m)"."""
        told = torque_text(self.shown_nm)
        return told if self.unit_nm == 1 else f"{self.in_own_unit(self.shown_nm):f} {self.unit} ({told})"

    def in_own_unit(self, nm: Decimal) -> Decimal:
        """A torque of this point in the unit it was told in."""
        return Decimal(format_number(nm / self.unit_nm, TOLD_DIGITS))

    @property
    def deviations(self) -> tuple[Decimal, ...]:
        """The deviation of each reading, as a fraction."""
        return tuple((self.shown_nm - reference) / reference for reference in self.references_nm)

    @property
    def deviation(self) -> Decimal:
        """The mean deviation, as a fraction."""
        return sum(self.deviations, Decimal(0)) / len(self.references_nm)

    @property
    def uncorrected(self) -> Decimal | None:
        """W′ for a wrench used as it is: as stated, else |a| + W + |b_ep|."""
        if self.interval is not None or self.expanded is None:
            return self.interval
        return abs(self.deviation) + self.expanded + abs(self.loading_point or Decimal(0))

    @property
    def without_deviation(self) -> Decimal | None:
        """W alone: as stated, else what W′ holds beside |a| and |b_ep|."""
        if self.expanded is not None or self.interval is None:
            return self.expanded
        left = self.interval - abs(self.deviation) - abs(self.loading_point or Decimal(0))
        return left if left > 0 else None


def widest(points: Sequence[Point]) -> tuple[Decimal, Decimal]:
    """How far the readings of some points lie off at the most, to either side, and how far where it shows too much."""
    every = [each for point in points for each in point.deviations] or [Decimal(0)]
    return max(map(abs, every)), max(every)


def outside(points: Sequence[Point], permissible: Decimal) -> tuple[tuple[Point, Decimal], ...]:
    """The points with a reading beyond the permissible deviation, each with its worst one."""
    worst = [(point, max(point.deviations, key=abs)) for point in points]
    return tuple((point, deviation) for point, deviation in worst if abs(deviation) > permissible)
