"""What a night tells of wrenches: due soon, withdrawn today, and what left with the work of one that was found out."""

from datetime import date, time
from typing import Any

import pytest

from torqueaudit.model.act import Say
from torqueaudit.model.job.facts import MarkState
from torqueaudit.model.wrench.acts import Calibrate, CheckWrench, NewWrench
from torqueaudit.workshop.night.night import night_of
from torqueaudit.workshop.register.settings import settle
from torqueaudit.workshop.wrenches.calibrations import calibrate, check_wrench
from torqueaudit.workshop.wrenches.hours import time_look
from torqueaudit.workshop.wrenches.strikes import strike_of_wrench
from torqueaudit.workshop.wrenches.wrench import add_wrench, mishandle

FOREMAN = Say("P-1")


def told(yard: Any, key: str, day: str) -> list[tuple[str, str]]:
    """Job and sentence of each line of one section."""
    night = night_of(yard.workshop, date.fromisoformat(day))
    lines = next(section.lines for section in night.sections if section.key == key)
    return [(line.job, line.says) for line in lines]


def calibrated(yard: Any, on: str, *found: str) -> None:
    """The long one, with what was found; left as it should be."""
    words = Calibrate(date.fromisoformat(on), "C-1", as_found=found, as_left=("40 N·m: 40", "200 N·m: 200"))
    calibrate(yard.workshop, yard.wrench, words, FOREMAN)


def test_a_vehicle_that_left_with_too_little_is_told_once_the_wrench_is_found_out(yard: Any) -> None:
    """100 N·m at +12 % were 89.3: below 90. What stayed inside, and what stands in the workshop, is not told."""
    calibrated(yard, "2031-04-01")
    low = yard.clean(yard.vehicle("courier"))
    yard.day("2031-04-02")
    fine = yard.tightened(yard.vehicle("tourer"), shown="108 N·m")
    yard.check(fine)
    yard.left(fine)
    yard.tightened(yard.vehicle("twin"))
    before = told(yard, "on-the-road", "2031-04-02")
    yard.day("2031-04-09")
    calibrated(yard, "2031-04-09", "100 N·m: 89.285714", "110 N·m: 98.214286")
    ((job, says),) = told(yard, "on-the-road", "2031-04-09")

    assert [] == before
    assert low == job
    assert "so 89.3 N·m ± 4.1 N·m reached it; 90 … 110 N·m is specified. Call the vehicle back, loosen it" in says


def test_the_order_of_two_looks_of_a_day_is_asked_for_night_by_night(yard: Any) -> None:
    """Where one of them found it out; once the hours are told nothing is asked any more."""
    yard.day("2031-04-09")
    calibrated(yard, "2031-04-09", "100 N·m: 89.285714")
    calibrate(yard.workshop, yard.wrench, Calibrate(date(2031, 4, 9), "C-2"), FOREMAN)
    second = yard.workshop.book.head().sequence
    asked = [says for _, says in told(yard, "rest", "2031-04-09") if "in which order" in says]
    yard.day("2031-04-10")
    for entry, hour in ((second - 1, 8), (second, 9)):
        time_look(yard.workshop, yard.wrench, entry, time(hour), FOREMAN)
    answered = [says for _, says in told(yard, "rest", "2031-04-09") if "in which order" in says]

    assert (1, []) == (len(asked), answered)
    assert f"#{second - 1} (calibration) and #{second} (calibration) of 2031-04-09 were done" in asked[0]


def test_tightened_again_it_is_told_no_more(yard: Any) -> None:
    """By a later job that was released."""
    vehicle = yard.vehicle("courier")
    yard.clean(vehicle)
    yard.day("2031-04-09")
    calibrated(yard, "2031-04-09", "100 N·m: 89.285714")
    before = len(told(yard, "on-the-road", "2031-04-09"))
    yard.day("2031-04-10")
    yard.clean(vehicle)

    assert before == 1
    assert [] == told(yard, "on-the-road", "2031-04-10")


def test_a_wrench_dropped_today_names_what_left_with_its_work(yard: Any) -> None:
    """Not what still stands here; on the next night it is told no more, for nothing is late."""
    gone = yard.clean(yard.vehicle("courier"))
    yard.day("2031-04-02")
    here = yard.tightened(yard.vehicle("twin"))
    mishandle(yard.workshop, yard.wrench, "dropped", "from the bench", Say("P-2"))
    yard.day("2031-04-03", 20)
    expected = (
        "Wrench W-1 (the long one): withdrawn (dropped on 2031-04-02: from the bench). Since it was last known to be "
        f"good it worked on job {gone}, and these vehicles have left. Have it calibrated as found, so that they can be "
        "judged."
    )

    assert here != gone
    assert [("", expected)] == told(yard, "rest", "2031-04-02")
    assert [] == told(yard, "rest", "2031-04-03")


def test_a_failed_check_today_is_told_too(yard: Any) -> None:
    """Nothing had left."""
    check_wrench(yard.workshop, yard.wrench, CheckWrench("bench tester", ("100 N·m: 120",)), FOREMAN)
    ((_, says),) = told(yard, "rest", "2031-04-01")

    assert "the interim check on 2031-04-01 (-16.67 % at 100 N·m)" in says
    assert says.endswith("No vehicle left with what it did since it was last known to be good.")


def test_a_wrench_withdrawn_by_what_was_found_is_not_sent_to_be_found_again(yard: Any) -> None:
    """Its calibration has said how it was found, and what it did is judged by that."""
    calibrated(yard, "2031-04-01")
    gone = yard.clean(yard.vehicle("courier"))
    yard.day("2031-04-09")
    found = ("40 N·m: 35.7", "100 N·m: 89.3", "200 N·m: 178.6")
    calibrate(yard.workshop, yard.wrench, Calibrate(date(2031, 4, 9), "C-2", as_found=found), FOREMAN)
    ((_, says),) = told(yard, "rest", "2031-04-09")

    assert f"worked on job {gone}, and these vehicles have left. What it did there is judged again" in says
    assert "Have it calibrated" not in says


@pytest.mark.parametrize(
    ("days", "due_on", "told_so"),
    [(None, "2031-04-15", True), (None, "2031-04-16", False), (3, "2031-04-04", True), (3, "2031-04-05", False)],
)
def test_a_calibration_that_ends_soon_is_told_from_the_day_the_workshop_chose(
    yard: Any,
    days: int | None,
    due_on: str,
    told_so: bool,  # noqa: FBT001
) -> None:
    """Fourteen days before unless chosen otherwise; seen from 2031-04-01."""
    if days:
        settle(yard.workshop, {"wrench_due_soon_days": days}, FOREMAN)
    new = NewWrench("setting", "short", "5 N·m", "25 N·m", due_on=date.fromisoformat(due_on))
    add_wrench(yard.workshop, new, FOREMAN)
    says = f"Wrench W-2 (short): its calibration ends on {due_on}. Send it to be calibrated."

    assert ([("", says)] if told_so else []) == told(yard, "rest", "2031-04-01")


def test_a_calibration_moves_the_day_on(yard: Any) -> None:
    """The list of wrenches holds the day of the newest one, and a rebuild gives the same."""
    new = NewWrench("setting", "short", "5 N·m", "25 N·m", due_on=date(2031, 4, 2))
    number = add_wrench(yard.workshop, new, FOREMAN)
    before = len(told(yard, "rest", "2031-04-01"))
    calibrate(yard.workshop, number, Calibrate(date(2031, 4, 1), "C-2"), FOREMAN)

    assert (1, []) == (before, told(yard, "rest", "2031-04-01"))
    assert [] == yard.workshop.book.verify()


def test_a_mark_disturbed_still_comes_first(yard: Any) -> None:
    """Before what a wrench left behind."""
    yard.clean(yard.vehicle("courier"))
    worse = yard.clean(yard.vehicle("tourer"))
    yard.day("2031-04-09")
    yard.mark(worse, MarkState.DISTURBED)
    calibrated(yard, "2031-04-09", "100 N·m: 89.285714")

    assert worse == told(yard, "on-the-road", "2031-04-09")[0][0]


def test_what_was_struck_of_a_wrench_today_is_told(yard: Any) -> None:
    """A strike may take a vehicle off this report, so it is not silent."""
    yard.clean(yard.vehicle("courier"))
    yard.day("2031-04-09")
    calibrated(yard, "2031-04-09", "100 N·m: 89.285714")
    entry = yard.workshop.book.entries(f"wrench/{yard.wrench}")[-1].sequence
    strike_of_wrench(yard.workshop, yard.wrench, entry, "mistyped", FOREMAN)
    expected = (
        f"Wrench W-1 (the long one): its calibration #{entry} was struck (mistyped), so what it said no longer counts."
    )

    assert [] == told(yard, "on-the-road", "2031-04-09")
    assert ("", expected) in told(yard, "rest", "2031-04-09")


def test_of_a_wrench_found_out_elsewhere_on_its_scale_nobody_knows_what_it_did(yard: Any) -> None:
    """It was found at 150 N·m alone, far above the 100 N·m that it was used at."""
    calibrated(yard, "2031-04-01")
    gone = yard.clean(yard.vehicle("courier"))
    yard.day("2031-04-09")
    found = Calibrate(date(2031, 4, 9), "C-2", as_found=("150 N·m: 134",))
    calibrate(yard.workshop, yard.wrench, found, FOREMAN)
    ((_, says),) = told(yard, "rest", "2031-04-09")

    assert f"worked on job {gone}, and these vehicles have left. Have it calibrated as found, so that they" in says
    assert "is judged again" not in says
