"""What a wrench moved between two calibrations, and the interval that is proposed of that.

Outside checks: the En number of ISO/IEC 17043 and the staircase of ILAC-G24 (method 1), both from memory, not read in
the standards; the figures worked out by hand.
"""

from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

import pytest

from torqueaudit.model.wrench.drift import Interval, drifts_of, interval_of
from torqueaudit.model.wrench.point import Point
from torqueaudit.model.wrench.words import interval_text
from torqueaudit.model.wrench.wrench import Calibration, InterimCheck, Wrench

LEFT, FOUND = date(2030, 4, 1), date(2031, 3, 20)


def point(reference: str, shown: str = "100", w: str | None = "0.012") -> Point:
    """One reading of the reference, with W."""
    return Point(Decimal(shown), (Decimal(reference),), Decimal(w) if w else None)


def calibrated(on: date, *found: Point, left: tuple[Point, ...] = (), months: int = 12) -> Calibration:
    """A calibration that holds for some months."""
    year, month = divmod(on.month - 1 + months, 12)
    return Calibration(
        entry=on.toordinal(),
        recorded_at=datetime(2032, 1, 1, tzinfo=UTC),
        on=on,
        due_on=date(on.year + year, month + 1, on.day),
        certificate="C",
        laboratory="",
        decision_rule="",
        as_found=found,
        as_left=left,
        adapters=(),
        paper=None,
    )


def wrench(*calibrations: Calibration, **more: Any) -> Wrench:
    """A wrench of 20 to 200 N·m, so that it may be off by 4 %."""
    return Wrench(
        number="W-1",
        kind="setting",
        tag="blue",
        min_nm=Decimal(20),
        max_nm=Decimal(200),
        lever_mm=None,
        due_on=None,
        withdrawn="",
        calibrations=calibrations,
        **more,
    )


def test_a_drift_is_held_against_the_uncertainty_of_both_calibrations() -> None:
    """Left at 0, found at +2.0408 % (98 of 100); W 1.2 % and 0.9 % make 1.5 %: 1.3605 times that."""
    before = calibrated(LEFT, point("90"), left=(point("100"),))
    (drift,) = drifts_of(wrench(before, calibrated(FOUND, point("98", w="0.009"))))

    assert (LEFT, FOUND, "100 N·m") == (drift.left_on, drift.found_on, drift.at)
    assert Decimal("0.020408") == round(drift.moved, 6)
    assert Decimal("0.015") == drift.expanded
    assert Decimal("1.3605") == round(drift.normalised or Decimal(0), 4)


def test_a_drift_is_told_where_both_have_points_and_nowhere_else() -> None:
    """Between the points of the one before; without a W it is told, and not held against anything."""
    before = calibrated(LEFT, point("50", "50"), point("100", "100"))
    after = calibrated(FOUND, point("20", "20"), point("74.257426", "75", w=None), point("150", "150"))
    (drift,) = drifts_of(wrench(before, after))

    assert (Decimal(75), Decimal("0.01"), None) == (drift.shown_nm, round(drift.moved, 6), drift.normalised)


def test_of_two_calibrations_of_one_day_without_hours_no_drift_is_told() -> None:
    """Nobody knows which came first."""
    assert [] == drifts_of(wrench(calibrated(FOUND, point("100")), calibrated(FOUND, point("98"))))


@pytest.mark.parametrize(
    ("found", "months", "expected"),
    [
        ("100", 6, (6, 9)),
        ("96.899225", 6, (6, 9)),  # +3.2 %, just within 80 % of 4 %
        ("96.80", 6, (6, 6)),  # +3.306 %
        ("95", 12, (12, 6)),
        ("95", 1, (1, 1)),
        ("100", 12, (12, 12)),  # no longer than the workshop allows
        ("100", 9, (9, 12)),
    ],
)
def test_the_interval_climbs_and_falls_as_on_a_staircase(found: str, months: int, expected: tuple[int, int]) -> None:
    """Longer within 80 % of what is permitted, shorter outside of it, else as it was."""
    told = wrench(calibrated(LEFT, point("100"), months=months), calibrated(FOUND, point(found)))
    interval = interval_of(told, 12)

    assert expected == (interval and (interval.months, interval.proposed))


def test_a_failed_check_since_it_was_left_shortens_the_interval() -> None:
    """Whatever the laboratory found afterwards."""
    check = InterimCheck(5, date(2030, 9, 1), "bench", (point("90"),), failed="outside")
    interval = interval_of(wrench(calibrated(LEFT, point("100")), calibrated(FOUND, point("100")), checks=(check,)), 12)

    assert (True, 6) == (interval and (interval.out, interval.proposed))


def test_nothing_is_proposed_before_a_second_calibration_that_says_how_it_was_found() -> None:
    """One alone tells of no time, and as left alone of no drift."""
    one = calibrated(LEFT, point("100"))

    assert [None, None] == [
        interval_of(wrench(*each), 12) for each in ((one,), (one, calibrated(FOUND, left=(point("100"),))))
    ]


@pytest.mark.parametrize(
    ("interval", "says"),
    [
        (
            Interval(12, 6, Decimal("1.3"), out=True),
            "found outside its permissible deviation, calibrated for 12",
        ),
        (
            Interval(6, 9, Decimal("0.47"), out=False),
            "found at 47 % of its permissible deviation, calibrated for 6",
        ),
        (Interval(1, 1, Decimal("0.9"), out=False), "calibrated for 1 month; it may stay at 1"),
        (Interval(12, 6, Decimal("1.3"), out=True), "6 are proposed"),
    ],
)
def test_an_interval_is_said_with_its_reason(interval: Interval, says: str) -> None:
    """Proposed, and never set."""
    assert says in interval_text(interval)
