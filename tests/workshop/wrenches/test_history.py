"""What stays of a wrench: looks and strikes, passes not known any more, late entries, what its sheet says of them."""

from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from typing import Any

import pytest

from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.acts import Tighten
from torqueaudit.model.job.facts import Outcome, Tightening
from torqueaudit.model.wrench.acts import Calibrate, CheckWrench, NewWrench
from torqueaudit.testing import play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.fasteners import tighten
from torqueaudit.workshop.register.settings import settle
from torqueaudit.workshop.wrenches.calibrations import calibrate, check_wrench
from torqueaudit.workshop.wrenches.strikes import strike_of_wrench
from torqueaudit.workshop.wrenches.view import list_wrenches, show_wrench
from torqueaudit.workshop.wrenches.wrench import add_wrench, cut_text, estimate_use, mishandle, withdraw_wrench

FOREMAN, MECHANIC, TRAINEE = Say("P-1"), Say("P-2"), Say("P-4")
ON = date(2031, 3, 1)
FOUND = "100 N·m: 97.2 98.1 97.6 98.4 97.9; W 1.4 %; W' 3.7 %"
OUT = "100 N·m: 95 95 95 95 95"


def calibrated(workshop: Workshop, number: str = "W-1", on: date = ON, **words: Any) -> Any:
    """Calibrated by the foreman, with a certificate."""
    return calibrate(workshop, number, Calibrate(on, **{"certificate": "C-1", **words}), FOREMAN)


def used(workshop: Workshop, *lines: str) -> None:
    """Job 1 opened, with these lines of its card."""
    play(workshop, "\n".join(("2031-03-20 10:00 job 1 opened final-drive on V-1 at 12000 km by P-2", *lines)))


def entry_numbers(workshop: Workshop, what: str, number: str = "W-1") -> list[int]:
    """The entries of one kind in a wrench's history."""
    return [event.entry for event in show_wrench(workshop, number).history if event.what == what]


def test_a_second_calibration_of_the_day_does_not_hide_that_it_was_found_out(workshop: Workshop) -> None:
    """As found and as left in two acts with their hours: the doubt of the first stays, the second brings it back."""
    used(workshop, "2031-03-20 10:05 disc-bolt 22 N·m with W-1 by P-2")
    first = calibrated(workshop, on=date(2031, 4, 1), hour=time(9), as_found=("22 N·m: 19",))
    left: Any = {"as_left": ("22 N·m: 22",), "certificate": "C-2"}
    second = calibrated(workshop, on=date(2031, 4, 1), hour=time(11), **left)
    view = show_wrench(workshop, "W-1")

    assert (1, "in use", "", ()) == (len(first.doubtful), view.state, second.withdrawn, second.not_known)
    assert ["disc-bolt"] == [use.position for use in view.doubtful]
    assert ["calibrated", "calibrated"] == [event.what for event in view.history]
    assert "C-2" == (view.calibration and view.calibration.certificate)


def test_a_struck_calibration_takes_its_doubt_along_and_stays_in_the_history(workshop: Workshop) -> None:
    """It was mistyped: 19 for 22."""
    used(workshop, "2031-03-20 10:05 disc-bolt 22 N·m with W-1 by P-2")
    calibrated(workshop, on=date(2031, 4, 1), as_found=("22 N·m: 19",))
    (entry,) = entry_numbers(workshop, "calibrated")
    done = strike_of_wrench(workshop, "W-1", entry, "mistyped, 22 was 19", FOREMAN)
    view = show_wrench(workshop, "W-1")

    assert ("calibration", "") == (done.what, done.withdrawn)
    assert ("in use", (), None) == (view.state, view.doubtful, view.calibration)
    assert f"STRUCK on 2031-04-02 by #{entry + 1} (mistyped, 22 was 19): C-1; outside" in view.history[0].says
    assert [] == workshop.book.verify()


@pytest.mark.parametrize(
    ("what", "word"), [("dropped", "mishap"), ("withdrawn", "withdrawal"), ("use estimated", "estimate")]
)
def test_mishaps_and_estimates_are_struck_too(workshop: Workshop, what: str, word: str) -> None:
    """It was another wrench."""
    mishandle(workshop, "W-1", "dropped", "bench", MECHANIC)
    withdraw_wrench(workshop, "W-1", "lost", MECHANIC)
    estimate_use(workshop, "W-1", 300, "lent out", ON, FOREMAN)
    (entry,) = entry_numbers(workshop, what)
    done = strike_of_wrench(workshop, "W-1", entry, "it was W-2", FOREMAN)

    assert (word, entry) == (done.what, done.entry)
    assert done.withdrawn == ("dropped on 2031-04-02: bench" if what == "withdrawn" else "lost")
    assert (0 if what == "use estimated" else 300) == show_wrench(workshop, "W-1").cycles


def test_what_is_no_longer_to_be_struck_is_refused(workshop: Workshop) -> None:
    """The wrench itself, a strike, what is struck, what is another's; without a reason, and by a mechanic."""
    estimate_use(workshop, "W-1", 300, "lent out", ON, FOREMAN)
    (entry,) = entry_numbers(workshop, "use estimated")
    first = workshop.book.entries("wrench/W-1")[0].sequence
    for number, target, why, say, says in (
        ("W-1", entry, " ", FOREMAN, "say why it is struck"),
        ("W-1", entry, "x", MECHANIC, "only a foreman may do this"),
        ("W-2", entry, "x", FOREMAN, "is not one of wrench W-2; look at the numbers on the wrench"),
        ("W-9", entry, "x", FOREMAN, "no such wrench"),
        ("1", entry, "x", FOREMAN, "no such wrench"),
        ("W-1", first, "x", FOREMAN, "entered the wrench itself; withdraw the wrench instead"),
    ):
        with pytest.raises(Refused, match=says):
            strike_of_wrench(workshop, number, target, why, say)
    strike_of_wrench(workshop, "W-1", entry, "mistyped", FOREMAN)
    for target, says in ((entry, "is struck already"), (entry + 1, "is itself a strike")):
        with pytest.raises(Refused, match=says):
            strike_of_wrench(workshop, "W-1", target, "x", FOREMAN)


def test_dropped_and_calibrated_without_as_found_its_passes_are_listed_as_not_known(workshop: Workshop) -> None:
    """Of before the drop and since its last good look; those of before that look are known."""
    used(workshop, "2031-03-20 10:05 disc-bolt 22 N·m with W-1 by P-2")
    calibrated(workshop, on=date(2031, 3, 25), as_found=("20 N·m: 20", "200 N·m: 200"))
    used_since = "2031-04-02 10:05 caliper-bolt 40 N·m with W-1 by P-2"
    play(workshop, f"2031-04-02 10:00 job 2 opened final-drive on V-2 at 12000 km by P-2\n{used_since}")
    mishandle(workshop, "W-1", "dropped", "bench", MECHANIC)
    answer = calibrated(workshop, on=date(2031, 4, 2), as_left=(FOUND,))
    view = show_wrench(workshop, "W-1")

    assert [(2, "caliper-bolt")] * len(answer.not_known) == [(use.job, use.position) for use in answer.not_known]
    assert {"the wrench was dropped on 2031-04-02 (bench)"} == {use.doubt for use in answer.not_known}
    assert answer.not_known == view.not_known
    assert ((), "in use") == (answer.doubtful, view.state)


def test_a_check_takes_from_the_uses_only_what_it_spans(workshop: Workshop) -> None:
    """At 20 … 30 N·m it answers for 22 and not for 50."""
    used(
        workshop,
        "2031-03-20 10:05 disc-bolt 22 N·m with W-1 by P-2",
        "2031-03-20 10:07 sprocket-bolt 50 N·m with W-1 by P-2",
    )
    before = {use.position for use in show_wrench(workshop, "W-1").uses}
    check_wrench(workshop, "W-1", CheckWrench("bench tester", ("20 N·m: 20", "30 N·m: 30")), MECHANIC)

    assert "disc-bolt" in before
    assert before - {"disc-bolt"} == {use.position for use in show_wrench(workshop, "W-1").uses}


@pytest.mark.parametrize(("months", "due"), [(12, "2032-04-02"), (6, "2031-10-02")])
def test_a_due_date_stated_without_a_calibration_holds_its_months_from_that_day(
    workshop: Workshop, months: int, due: str
) -> None:
    """Not for years; a nearer day stays as it was stated."""
    settle(workshop, {"calibration_months": months}, FOREMAN)
    far, near = (
        add_wrench(workshop, NewWrench("setting", "x", "20 N·m", "200 N·m", due_on=day), FOREMAN)
        for day in (date(2039, 12, 31), date(2031, 9, 30))
    )
    view = show_wrench(workshop, far)

    assert (date.fromisoformat(due), date(2031, 9, 30)) == (view.due_on, show_wrench(workshop, near).due_on)
    assert f"stated when it was entered to be in calibration until {due}; no figures" == view.why
    assert [] == workshop.book.verify()


def test_a_day_that_was_cut_is_said(workshop: Workshop) -> None:
    """By the calibration's answer as by that of `add`."""
    says = "its calibration counts until 2032-03-01 only, not until 2033-03-01, for one holds at most 12 months"

    assert says == calibrated(workshop, due_on=date(2033, 3, 1), as_found=(FOUND,)).remarks[0]
    assert says == cut_text(date(2033, 3, 1), date(2032, 3, 1), 12)
    assert ("", "") == (cut_text(None, date(2032, 3, 1), 12), cut_text(date(2032, 3, 1), date(2032, 3, 1), 12))


def test_a_pass_told_late_of_before_the_drop_is_accepted_and_one_of_after_is_not(workshop: Workshop) -> None:
    """With what the calibration of that day makes of it."""
    used(workshop)
    workshop.clock.set("2031-04-02 12:00")  # type: ignore[attr-defined]
    at = datetime(2031, 4, 2, 11, 0, tzinfo=UTC)
    mishandle(workshop, "W-1", "dropped", "bench", Say("P-2", at=at))
    act = Tighten(Outcome.TURNED_CLICKED, "W-1", "22 N·m")
    tighten(workshop, "1", "disc-bolt", act, Say("P-2", at=at - timedelta(minutes=1)))
    done = workshop.job("1").record.current("disc-bolt").tightening

    assert ("in", Decimal(22)) == (done and done.verdict, done and done.applied_nm)
    with pytest.raises(Refused, match="wrench W-1 is withdrawn"):
        tighten(workshop, "1", "disc-bolt", act, Say("P-2", at=at))


def test_passes_told_within_one_second_count_one_after_the_other(workshop: Workshop) -> None:
    """And so do the bolts of one act."""
    used(workshop)
    workshop.clock.set("2031-04-02 12:00")  # type: ignore[attr-defined]
    for key, shown in (("disc-bolt", "22 N·m"), ("caliper-bolt", "40 N·m"), ("sprocket-bolt", "50 N·m")):
        tighten(workshop, "1", key, Tighten(Outcome.TURNED_CLICKED, "W-1", shown), MECHANIC)
    counted = sorted(done.cycles or 0 for done in workshop.job("1").record.of(Tightening))

    assert list(range(len(counted))) == counted
    assert len(counted) == show_wrench(workshop, "W-1").cycles


def test_the_list_says_the_same_as_the_sheet_in_the_order_of_the_numbers(workshop: Workshop) -> None:
    """W-10 comes after W-2; worn by cycles is out of calibration here too; a range stands on its own scale."""
    for tag in "abcdefg":
        add_wrench(workshop, NewWrench("setting", tag, "20 lbf·ft", "150 lbf·ft", scales=("1 lbf·ft",)), FOREMAN)
    estimate_use(workshop, "W-1", 5000, "the old book", ON, FOREMAN)
    lines = list_wrenches(workshop)
    views = [show_wrench(workshop, line.number) for line in lines]

    assert [f"W-{number}" for number in range(1, 11)] == [line.number for line in lines]
    assert [(view.state, view.why, view.due_on) for view in views] == [(e.state, e.why, e.due_on) for e in lines]
    assert ("out of calibration", "20 … 150 lbf·ft") == (lines[0].state, lines[-1].reach)


def test_points_are_shown_in_the_unit_they_were_told_in(workshop: Workshop) -> None:
    """With N·m beside the setting; also after the book was read again."""
    answer = calibrated(workshop, as_found=("80 lbf·ft: 78,9 79; W 1 %",))
    done = show_wrench(workshop, "W-1").calibration
    point = done.as_found[0] if done else None

    assert "fewer than 5 readings at 80 lbf·ft (108.5 N·m); ISO 6789 takes 5 at each point" in answer.remarks
    assert ("80 lbf·ft (108.5 N·m)", "lbf·ft", (Decimal("78.9"), Decimal(79))) == (
        point and (point.at, point.unit, point.references)
    )


def test_a_mean_inside_beside_a_reading_outside_is_told_as_both(workshop: Workshop) -> None:
    """96.0 of 100 is +4.167 %, while the mean of three is +1.389 %."""
    answer = calibrated(workshop, as_found=("100 N·m: 96 100 100",))
    done = show_wrench(workshop, "W-1").calibration
    point = done.as_found[0] if done else None

    assert "+4.167 % at 100 N·m in its worst reading, +1.389 % in the mean" == answer.found_out
    assert (Decimal("1.388889"), Decimal("4.166667"), True) == (
        point and (point.deviation_percent, point.worst_percent, point.outside)
    )


def test_a_direction_never_stated_is_said_to_be_none(workshop: Workshop) -> None:
    """It is taken to measure to both sides."""
    stated, not_stated = (
        show_wrench(workshop, add_wrench(workshop, NewWrench("setting", "x", direction=direction), FOREMAN))
        for direction in ("both", "")
    )

    assert [("both", True), ("both", False)] == [(v.direction, v.direction_stated) for v in (stated, not_stated)]


def test_where_points_are_missing_is_said_on_the_wrenchs_own_scale(workshop: Workshop) -> None:
    """60 % of 150 lbf·ft are 90."""
    new = NewWrench("setting", "foot", "20 lbf·ft", "150 lbf·ft", scales=("1 lbf·ft",))
    answer = calibrated(workshop, add_wrench(workshop, new, FOREMAN), as_found=("20 lbf·ft: 20 20 20 20 20; W 1 %",))

    assert answer.remarks[0].startswith("no point at 90 lbf·ft, 150 lbf·ft; ISO 6789 calibrates")
