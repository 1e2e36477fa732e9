"""Calibrations of hand torque tools, held against values worked out from the formulas of ISO 6789 (from memory)."""

from datetime import date
from decimal import Decimal

import pytest
from scipy import stats

from torqueaudit.model.wrench.point import Point, outside
from torqueaudit.model.wrench.wrench import NARROW, WIDE
from torqueaudit.workshop.wrenches.wrench import later_by

REFERENCES = tuple(Decimal(text) for text in ("97.2", "98.1", "97.6", "98.4", "97.9"))
POINT = Point(Decimal(100), REFERENCES)


def test_deviations_are_shares_of_the_reference() -> None:
    """Source: a = (X_a - X_r)/X_r, ISO 6789-1:2017, from memory; worked out to six digits."""
    expected = [Decimal(text) for text in ("2.880658", "1.936799", "2.459016", "1.626016", "2.145046")]
    actual = [round(deviation * 100, 6) for deviation in POINT.deviations]

    assert expected == actual
    assert Decimal("2.209507") == round(POINT.deviation * 100, 6)


def test_a_shortfall_of_four_is_more_than_four_percent() -> None:
    """Source: as above; set 100, reference 96.0 is +4.167 %, out at 4 %, though 4 % of the setting."""
    point = Point(Decimal(100), (Decimal("96.0"),))

    assert Decimal("4.167") == round(point.deviation * 100, 3)
    assert len(outside((point,), NARROW)) == 1


@pytest.mark.parametrize(
    ("reference", "out"), [("96.153846", 1), ("96.153847", 0), ("104.166666", 0), ("104.166667", 1)]
)
def test_the_limits_of_the_reference_at_100(reference: str, out: int) -> None:
    """Source: 100/1.04 and 100/0.96 are 96.153846… and 104.166666…, the ends of ±4 %."""
    assert out == len(outside((Point(Decimal(100), (Decimal(reference),)),), NARROW))


@pytest.mark.parametrize(("deviation", "true"), [(WIDE, "101.886792"), (-WIDE, "114.893617")])
def test_what_a_setting_of_108_makes_at_six_percent(deviation: Decimal, true: str) -> None:
    """Source: X_r = X/(1 + a), from the definition of the deviation."""
    reference = 108 / (1 + deviation)

    assert Decimal(true) == round(reference, 6)
    assert round(deviation, 20) == round(Point(Decimal(108), (reference,)).deviation, 20)


def test_the_interval_of_a_budget() -> None:
    """Source: w = b/(2√3), w_re = s/(mean·√n), W = 2·√Σw², W′ = |a| + W + |b_ep|, ISO 6789-2:2017, from memory.

    Budget .5 .9 .6 .4 .8 %, W_md 1.0 %; the scatter of the references by scipy.
    """
    rectangular = [float(b) / (2 * 3**0.5) for b in ("0.5", "0.9", "0.6", "0.4", "0.8")]
    references = [float(reference) for reference in REFERENCES]
    w_re = 100 * float(stats.sem(references)) / (sum(references) / len(references))
    w_c = sum(w**2 for w in (*rectangular, w_re, 0.5)) ** 0.5
    expanded = round(Decimal(2 * w_c), 12)
    stated = POINT._replace(expanded=expanded / 100, loading_point=Decimal("0.001"))

    assert round(w_c, 6) == 0.692461
    assert Decimal("1.384921") == round(expanded, 6)
    assert Decimal("3.694428") == round((stated.uncorrected or Decimal(0)) * 100, 6)
    assert expanded / 100 == stated.without_deviation


@pytest.mark.parametrize(
    ("on", "months", "due"),
    [
        ("2024-02-29", 12, "2025-02-28"),
        ("2024-02-29", 48, "2028-02-29"),
        ("2031-12-31", 2, "2032-02-29"),
        ("2031-04-02", 12, "2032-04-02"),
        ("2031-12-15", 1, "2032-01-15"),
    ],
)
def test_months_end_on_the_same_day_or_the_last_of_the_month(on: str, months: int, due: str) -> None:
    """Source: 12 months from 2024-02-29 is 2025-02-28, as calendars count."""
    assert date.fromisoformat(due) == later_by(date.fromisoformat(on), months)
