"""The torque at the seat of a self-locking nut against JCGM 100 and the `uncertainties` package."""

from decimal import Decimal
from fractions import Fraction
from math import sqrt

import pytest
from uncertainties import ufloat

from torqueaudit.model.torque.correction import BudgetLine
from torqueaudit.model.torque.drag import Drag
from torqueaudit.model.wrench.figures import rectangular
from torqueaudit.model.wrench.seat import at_seat, turn_line
from torqueaudit.model.wrench.uncertainty import Applied, expanded_of

CLICK = BudgetLine("permissible deviation ±4 %, rectangular", rectangular(Decimal("0.04")))
DIAL = BudgetLine("permissible deviation ±6 %, rectangular", rectangular(Decimal("0.06")))


def division(nm: float) -> BudgetLine:
    """A division of 0.5 N·m at a reading."""
    return BudgetLine("scale division 0.5 N·m", Decimal(0.5 / sqrt(12) / nm))


def applied(nm: int, *lines: BudgetLine) -> Applied:
    """A torque with its U."""
    return Applied(Fraction(nm), expanded_of(Fraction(nm), lines), lines)


def test_a_drag_read_on_another_wrench_widens_what_is_known_of_the_seat() -> None:
    """Reference section 3: 40 ± 4 with drag 8, dial ±6 %, division 0.5, ±20 % along a turn: U 2.22 → 2.95."""
    torque = applied(48, CLICK)
    lines = (DIAL, division(8), *turn_line(Decimal("6.4"), Decimal("9.6")))
    left = at_seat(torque, Drag(Fraction(8), Decimal("6.4"), Decimal("9.6"), lines))
    drag = 8 * ufloat(1, 0.06 / sqrt(3)) + ufloat(0, 0.5 / sqrt(12)) + ufloat(0, 1.6 / sqrt(3))
    seat = 48 * ufloat(1, 0.04 / sqrt(3)) - drag

    assert left.exact == 40
    assert left.expanded_nm is not None
    assert (Decimal("2.22"), Decimal("2.95")) == (
        round(torque.expanded_nm or Decimal(0), 2),
        round(left.expanded_nm, 2),
    )
    assert pytest.approx(2 * seat.std_dev, rel=1e-9) == float(left.expanded_nm)


def test_one_wrench_for_both_errs_by_the_difference_alone() -> None:
    """JCGM 100:2008, 5.2: U_rel·(T - M_d); its division is read twice, at the torque and at the drag."""
    torque = applied(48, DIAL, division(48))
    left = at_seat(torque, Drag(Fraction(8), Decimal(8), Decimal(8), (division(8),), same=True))
    errs = ufloat(1, 0.06 / sqrt(3))
    seat = (48 * errs + ufloat(0, 0.5 / sqrt(12))) - (8 * errs + ufloat(0, 0.5 / sqrt(12)))
    alone = at_seat(applied(48, DIAL), Drag(Fraction(8), Decimal(8), Decimal(8), same=True))

    assert pytest.approx(2 * seat.std_dev, rel=1e-9) == float(left.expanded_nm or 0)
    assert pytest.approx(2 * 0.06 / sqrt(3) * 40, rel=1e-9) == float(alone.expanded_nm or 0)


def test_a_deviation_left_in_adds_as_it_stands() -> None:
    """No variance: 2 % of what both read on one wrench, 2 % of 48 where the drag was read on another."""
    known = BudgetLine("deviation left in", Decimal("0.02"), adds=True)
    one = at_seat(applied(48, known), Drag(Fraction(8), Decimal(8), Decimal(8), same=True))
    other = at_seat(applied(48, known), Drag(Fraction(8), Decimal(8), Decimal(8)))

    assert (Decimal("0.8"), Decimal("0.96")) == (one.expanded_nm, other.expanded_nm)
