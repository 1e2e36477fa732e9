"""Two looks at a wrench on one day: asked for their order, and what counts until it is told.

Outside check: ISO 9001:2015, 7.1.5.2: what a wrench that was found out did is in doubt, until a later look.
"""

from datetime import date, time
from typing import Any

import pytest

from torqueaudit.model.act import Refused, Say
from torqueaudit.model.wrench.acts import Calibrate, CheckWrench
from torqueaudit.testing import play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.wrenches.calibrations import WrenchLook, calibrate, check_wrench
from torqueaudit.workshop.wrenches.hours import time_look
from torqueaudit.workshop.wrenches.strikes import strike_of_wrench
from torqueaudit.workshop.wrenches.view import show_wrench

FOREMAN = Say("P-1")
ON = date(2031, 4, 20)
FOUND: Any = {"as_found": ("108 N·m: 96.428571",)}  # +12 %
LEFT: Any = {"as_left": ("108 N·m: 108",)}
TIGHT = """
2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
2031-04-22 18:00 clock
"""


def calibrated(workshop: Workshop, hour: time | None = None, **points: Any) -> WrenchLook:
    """On the day of all looks here."""
    return calibrate(workshop, "W-1", Calibrate(ON, "C-1", hour=hour, **points), FOREMAN)


def stops(workshop: Workshop) -> list[str]:
    """What stops job 1 because of its wrench."""
    found = [each.finding for each in show_job(workshop, "1").findings]
    return [f.rule for f in found if f.weight.value == "stop" and "wrench" in f.rule]


def entries_of_looks(workshop: Workshop) -> list[int]:
    """The numbers of the calibrations and checks, as they were told."""
    return sorted(e.entry for e in show_wrench(workshop, "W-1").history if e.what in ("calibrated", "checked"))


@pytest.mark.parametrize("told", [(FOUND, LEFT), (LEFT, FOUND)], ids=["found first", "left told before found"])
def test_an_as_left_entry_ends_no_call_back_whichever_was_told_first(workshop: Workshop, told: Any) -> None:
    """Until the hours are told the stop stands, the wrench stays out of use, and one sentence asks for them."""
    play(workshop, TIGHT)
    first, second = (calibrated(workshop, **points) for points in told)
    numbers = entries_of_looks(workshop)
    view = show_wrench(workshop, "W-1")
    says = (
        f"nobody knows in which order #{numbers[0]} (calibration) and #{numbers[1]} (calibration) of 2031-04-20 were "
        "done; until the hour of each is told, the one that found the wrench out counts"
    )

    assert ["workshop_rules/wrench-found-out"] == stops(workshop)
    assert ("withdrawn", [says], ()) == (view.state, [each.says for each in second.order_asked], first.order_asked)
    assert second.order_asked == view.order_asked


def test_once_the_hours_are_told_what_came_first_counts_first(workshop: Workshop) -> None:
    """Found out at nine, left in order at eleven: what it did before stays in doubt, and it is in use again."""
    play(workshop, TIGHT)
    calibrated(workshop, **LEFT)
    calibrated(workshop, **FOUND)
    left, found = entries_of_looks(workshop)
    one = time_look(workshop, "W-1", left, time(11), FOREMAN)
    both = time_look(workshop, "W-1", found, time(9, 5), FOREMAN)
    view = show_wrench(workshop, "W-1")

    assert (1, "09:05", "calibration", "", ()) == (
        len(one.order_asked),
        both.hour,
        both.what,
        both.withdrawn,
        both.order_asked,
    )
    assert ("in use", ["workshop_rules/wrench-found-out"]) == (view.state, stops(workshop))
    assert ("11:00", f"#{found} was done at 09:05") == (
        view.calibration and view.calibration.hour,
        view.history[-1].says,
    )
    assert [] == workshop.book.verify()


def test_a_look_that_came_first_and_was_in_order_answers_for_what_was_before(workshop: Workshop) -> None:
    """In order at nine, found out at eleven: the pass of before was answered for, and the wrench is out of use."""
    play(workshop, TIGHT)
    calibrated(workshop, time(11), **FOUND)
    calibrated(workshop, time(9), as_found=("108 N·m: 108",))

    assert ([], "withdrawn", ()) == (
        stops(workshop),
        (view := show_wrench(workshop, "W-1")).state,
        view.order_asked,
    )


def test_the_last_hour_told_of_a_look_holds_and_a_struck_one_does_not(workshop: Workshop) -> None:
    """A slip of the pen is told again, or struck."""
    play(workshop, TIGHT)
    calibrated(workshop, time(9), **FOUND)
    calibrated(workshop, time(8), **LEFT)
    (_, left) = entries_of_looks(workshop)
    before = show_wrench(workshop, "W-1").state
    time_look(workshop, "W-1", left, time(11), FOREMAN)
    now = show_wrench(workshop, "W-1").state
    done = strike_of_wrench(workshop, "W-1", workshop.book.head().sequence, "it was eight", FOREMAN)
    struck = [event.says for event in show_wrench(workshop, "W-1").history if event.what == "hour told"]

    assert ("withdrawn", "in use") == (before, now)
    assert ("hour of a look", True) == (done.what, bool(done.withdrawn))
    assert [f"#{left} was done at 11:00"] == [says.rpartition(": ")[2] for says in struck]


def test_a_check_of_the_day_has_its_moment_and_one_hour_is_enough(workshop: Workshop) -> None:
    """Checked at 18:00 in the evening; the calibration without an hour is asked for its own."""
    play(workshop, TIGHT.replace("2031-04-22", "2031-04-20"))
    check_wrench(workshop, "W-1", CheckWrench("bench", ("108 N·m: 96.428571",)), Say("P-2"))
    answer = calibrated(workshop, **LEFT)
    done = time_look(workshop, "W-1", entries_of_looks(workshop)[1], time(8), FOREMAN)

    assert (1, True) == (len(answer.order_asked), answer.order_asked[0].out)
    assert ((), True) == (done.order_asked, done.withdrawn.startswith("outside its permissible deviation"))


def test_two_good_looks_without_hours_are_asked_and_nothing_is_withdrawn(workshop: Workshop) -> None:
    """The worse of them is gone by."""
    play(workshop, "2031-04-22 18:00 clock")
    calibrated(workshop, as_found=("108 N·m: 107",))
    answer = calibrated(workshop, as_found=("108 N·m: 108",))
    view = show_wrench(workshop, "W-1")

    assert "until the hour of each is told, the worse one counts" in answer.order_asked[0].says
    assert ("in use", False) == (view.state, answer.order_asked[0].out)
    assert entries_of_looks(workshop)[0] == (view.calibration and view.calibration.entry)


def test_what_is_no_look_or_no_hour_is_refused(workshop: Workshop) -> None:
    """Another entry, another wrench, an hour to come; by a mechanic."""
    play(workshop, "2031-04-20 10:00 clock")
    calibrated(workshop, **LEFT)
    (entry,) = entries_of_looks(workshop)
    for number, of, hour, say, says in (
        ("W-1", entry + 1, 9, FOREMAN, "is no calibration and no interim check of wrench W-1 that stands"),
        ("W-9", entry, 9, FOREMAN, "no such wrench"),
        ("1", entry, 9, FOREMAN, "no such wrench"),
        ("W-1", entry, 23, FOREMAN, "2031-04-20 23:00 has not come yet"),
        ("W-1", entry, 9, Say("P-2"), "only a foreman may do this"),
    ):
        with pytest.raises(Refused, match=says):
            time_look(workshop, number, of, time(hour), say)
    with pytest.raises(Refused, match="has not come yet"):
        calibrated(workshop, time(23), **LEFT)
