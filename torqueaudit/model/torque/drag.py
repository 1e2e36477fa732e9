"""The drag of a self-locking nut (prevailing torque, ISO 2320), and what is left of a torque at its seat."""

from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from torqueaudit.model.torque.correction import BudgetLine
from torqueaudit.model.torque.units import to_decimal


class Drag(NamedTuple):
    """What a self-locking nut needs to turn at all, in N·m: the mean of the least and the most over a turn.

    `exact` is it at the nut, `least_nm` and `most_nm` are as they were read, alike where one value was told. `lines`
    are the contributions to its uncertainty, relative to it. `same`: it was read on the wrench that tightened, whose
    errors are then in both. `not_proved` says why nothing is known of how true it is, "" where something is.
    """

    exact: Fraction
    least_nm: Decimal
    most_nm: Decimal
    lines: tuple[BudgetLine, ...] = ()
    same: bool = False
    not_proved: str = ""

    @property
    def nm(self) -> Decimal:
        """It as a decimal, rounded once."""
        return to_decimal(self.exact)


class Seat(NamedTuple):
    """The torque at the seat of a nut, its drag taken off, in N·m.

    `expanded_nm` is its U (k = 2), None for the reason in `not_proved`.
    """

    nm: Decimal
    expanded_nm: Decimal | None
    not_proved: str = ""
