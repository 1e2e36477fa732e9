"""A wrench used above the highest value it reaches: every door says so until it is put aside or looked at.

That a wrench which was overloaded is checked before it is used again is common practice, no source.
"""

from collections.abc import Callable
from datetime import date, time
from decimal import Decimal
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from typing import NamedTuple

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from torqueaudit.book import vehicle_queries
from torqueaudit.model.act import Say
from torqueaudit.model.wrench.acts import Calibrate, CheckWrench, NewWrench, WrenchChange
from torqueaudit.plugins import Plugins
from torqueaudit.testing import Clock, findings, play
from torqueaudit.workshop.bench.answer import bench_setting
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.night.night import night_of
from torqueaudit.workshop.opening import open_workshop
from torqueaudit.workshop.wrenches.calibrations import calibrate, check_wrench
from torqueaudit.workshop.wrenches.corrections import change_wrench
from torqueaudit.workshop.wrenches.strikes import strike_of_wrench
from torqueaudit.workshop.wrenches.view import list_wrenches, show_wrench
from torqueaudit.workshop.wrenches.wrench import add_wrench, mishandle, withdraw_wrench

FOREMAN, MECHANIC = Say("P-1"), Say("P-2")
RULE = "workshop_rules/wrench-overloaded-before"
OPENED = "2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2\n"
OVER = f"{OPENED}2031-04-02 10:05 rear-axle-nut 201 N·m with W-1 by P-2\n"
AGAIN = """2031-04-02 10:10 rear-axle-nut loosened: too tight by P-2
2031-04-02 10:15 rear-axle-nut 108 N·m with W-1 by P-2
"""
WHERE = "on job 1 (rear-axle-nut, 2031-04-02)"
SAYS = f"was used at 201 N·m {WHERE}, above the 200 N·m it reaches, and nobody has looked at it since"
ON_IT = f"2031-04-02 10:05 job 1 rear-axle-nut 201 N·m with W-1 by P-2\n{AGAIN.replace('rear', 'job 1 rear')}"
IN_ORDER = "100 N·m: 100 100 100 100 100"


def on_sheet(workshop: Workshop, number: str = "W-1") -> str:
    """What the sheet says of it; the list of all wrenches says the same."""
    view = show_wrench(workshop, number).overload
    listed = next(each.overload for each in list_wrenches(workshop) if each.number == number)

    assert view == listed
    return view.says if view else ""


def at_bench(workshop: Workshop, number: str = "W-1") -> list[str]:
    """What the bench says of it to whoever asks what to set, for job 1."""
    answer = bench_setting(workshop, "1", "rear-axle-nut", number)
    return [each for each in answer.cautions if "nobody has looked at it since" in each]


def at_night(workshop: Workshop, day: date | None = None) -> list[str]:
    """The lines of the night of a day, today where none is given."""
    night = night_of(workshop, day or workshop.today())
    lines = [line.says for section in night.sections for line in section.lines]
    return [says for says in lines if "nobody has looked at it since" in says]


def later(workshop: Workshop, job: str = "1") -> list[str]:
    """What the rule says of the passes of a job."""
    return findings(workshop, job, rule=RULE, weight="caution")


def said(workshop: Workshop) -> tuple[bool, bool, bool, bool]:
    """Whether sheet, bench, later pass and night speak of W-1."""
    return bool(on_sheet(workshop)), bool(at_bench(workshop)), bool(later(workshop)), bool(at_night(workshop))


EVERYBODY, NOBODY = (True, True, True, True), (False, False, False, False)


def test_the_next_pass_does_not_hide_it(workshop: Workshop) -> None:
    """The nut was done again with the same wrench, and every door says what that wrench went through."""
    play(workshop, OVER)
    at_once = findings(workshop, rule="workshop_rules/wrench-out-of-range")
    play(workshop, AGAIN.replace("rear", "job 1 rear"))

    assert at_once[0].endswith("This overloads it: put it aside.")
    assert f"{SAYS}" == on_sheet(workshop)
    assert [f"Wrench W-1 {SAYS}. Put it aside, or check it before it is used."] == at_bench(workshop)
    assert [f"Wrench W-1 (blue): it {SAYS}. Put it aside, or check it."] == at_night(workshop)
    assert [f"rear axle nut: wrench W-1 {SAYS}. It is in doubt until it is checked: put it aside."] == later(workshop)


def test_the_pass_that_overloaded_it_has_its_own_sentence(workshop: Workshop) -> None:
    """The rule on later passes is silent on it."""
    play(workshop, OVER)

    assert [] == later(workshop)
    assert (True, True, False, True) == said(workshop)


def test_a_later_job_names_the_job_that_did_it(played: Workshop) -> None:
    """Another motorcycle, another day; the pass with W-2 is not in doubt.

    2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
    2031-04-02 10:05 rear-axle-nut 201 N·m with W-1 by P-2
    2031-04-03 09:00 job 2 opened final-drive on V-2 by P-2
    2031-04-03 09:05 rear-axle-nut 98 N·m with W-1 by P-2
    2031-04-03 09:06 disc-bolt 22 N·m with W-2 by P-2
    """
    assert [f"rear axle nut: wrench W-1 {SAYS}. It is in doubt until it is checked: put it aside."] == later(
        played, "2"
    )


def test_a_pass_before_it_is_not_in_doubt_in_whatever_order_they_are_told(played: Workshop) -> None:
    """The second line is told late, of an hour before.

    2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
    2031-04-02 10:01 job 2 opened final-drive on V-2 by P-2
    2031-04-02 11:05 job 1 rear-axle-nut 201 N·m with W-1 by P-2
    2031-04-02 10:05 job 2 rear-axle-nut 98 N·m with W-1 by P-2
    """
    assert on_sheet(played)
    assert [] == later(played, "2")


def test_the_first_of_several_is_named(played: Workshop) -> None:
    """From there on everything is in doubt.

    2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
    2031-04-02 10:05 rear-axle-nut 201 N·m with W-1 by P-2
    2031-04-02 10:06 rear-axle-nut loosened: too tight by P-2
    2031-04-02 10:07 rear-axle-nut 230 N·m with W-1 by P-2
    """
    assert SAYS in on_sheet(played)


def test_a_stage_overloads_it_too(played: Workshop) -> None:
    """It is no final torque, and the wrench was bent all the same.

    2031-04-02 10:00 job 1 opened final-drive on V-1 at 12000 km by P-2
    2031-04-02 10:05 sprocket-bolt stage 1 201 N·m with W-1 by P-2
    """
    view = show_wrench(played, "W-1").overload

    assert view is not None
    assert ("1", "sprocket-bolt-1", date(2031, 4, 2), "201 N·m", Decimal(201)) == (
        view.job,
        view.position,
        view.on,
        view.shown,
        view.shown_nm,
    )


@pytest.mark.parametrize("what", ["dropped", "overloaded"])
def test_whoever_puts_it_aside_answers_it(workshop: Workshop, what: str) -> None:
    """From then on it is told as withdrawn."""
    play(workshop, OVER + AGAIN)
    mishandle(workshop, "W-1", what, "it clicked at 201", MECHANIC)

    assert NOBODY == said(workshop)
    assert 1 == len(findings(workshop, rule="workshop_rules/wrench-withdrawn"))


def test_withdrawing_and_calibrating_it_answers_it_for_good(workshop: Workshop) -> None:
    """It comes back from the laboratory."""
    play(workshop, OVER + AGAIN)
    withdraw_wrench(workshop, "W-1", "who knows", FOREMAN)
    calibrate(workshop, "W-1", Calibrate(date(2031, 4, 2), "C-1", as_found=(IN_ORDER,)), FOREMAN)

    assert NOBODY == said(workshop)


def test_a_calibration_answers_it(workshop: Workshop) -> None:
    """Told of the same day, after the pass."""
    play(workshop, OVER + AGAIN)
    calibrate(workshop, "W-1", Calibrate(date(2031, 4, 2), "C-1"), FOREMAN)

    assert NOBODY == said(workshop)


def test_a_calibration_that_was_told_before_it_does_not(workshop: Workshop) -> None:
    """Of the same day: the hour of a calibration is not told, so the order of telling decides."""
    play(workshop, OPENED)
    calibrate(workshop, "W-1", Calibrate(date(2031, 4, 2), "C-1", as_found=(IN_ORDER,)), FOREMAN)
    play(workshop, ON_IT)

    assert EVERYBODY == said(workshop)


@pytest.mark.parametrize(("hour", "answered"), [(time(10, 1), EVERYBODY), (time(10, 6), NOBODY)])
def test_a_calibration_whose_hour_was_told_answers_it_by_that(
    workshop: Workshop, hour: time, answered: tuple[bool, ...]
) -> None:
    """Both are told after the pass; one of them was done before it."""
    play(workshop, OVER + AGAIN)
    calibrate(workshop, "W-1", Calibrate(date(2031, 4, 2), "C-1", as_found=(IN_ORDER,), hour=hour), FOREMAN)

    assert answered == said(workshop)


def test_an_interim_check_answers_it_by_its_moment(workshop: Workshop) -> None:
    """Told of an hour before the pass it says nothing of it, told of an hour after it does."""
    play(workshop, OVER + AGAIN)
    before, after = ("2031-04-02 10:01", "2031-04-02 10:20")
    check_wrench(workshop, "W-1", CheckWrench("bench tester", (IN_ORDER,)), MECHANIC._replace(at=Clock(before).moment))
    too_early = said(workshop)
    workshop.clock.set("2031-04-02 10:30")  # type: ignore[attr-defined]
    check_wrench(workshop, "W-1", CheckWrench("bench tester", (IN_ORDER,)), MECHANIC._replace(at=Clock(after).moment))

    assert EVERYBODY == too_early
    assert NOBODY == said(workshop)


def test_a_check_that_is_struck_answers_nothing(workshop: Workshop) -> None:
    """It was another wrench."""
    play(workshop, OVER + AGAIN)
    check_wrench(workshop, "W-1", CheckWrench("bench tester", (IN_ORDER,)), MECHANIC)
    answered = said(workshop)
    checked = show_wrench(workshop, "W-1").history[-1].entry
    strike_of_wrench(workshop, "W-1", checked, "it was W-3", FOREMAN)

    assert NOBODY == answered
    assert EVERYBODY == said(workshop)


def test_a_struck_pass_counts_no_more(played: Workshop) -> None:
    """It was mistyped, 210 for 120.

    2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
    2031-04-02 10:05 rear-axle-nut 210 N·m with W-1 by P-2
    2031-04-02 10:06 line 2 struck: it was 120 by P-2
    2031-04-02 10:10 rear-axle-nut 108 N·m with W-1 by P-2
    """
    assert NOBODY == said(played)


def test_a_withdrawn_job_counts_no_more(played: Workshop) -> None:
    """As none of its passes does.

    2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
    2031-04-02 10:01 job 2 opened axle on V-2 at 12000 km by P-2
    2031-04-02 10:05 rear-axle-nut 210 N·m with W-1 by P-2
    2031-04-02 10:06 line 2 struck: wrong motorcycle by P-2
    2031-04-02 10:15 job 1 rear-axle-nut 108 N·m with W-1 by P-2
    """
    assert NOBODY == said(played)


def test_it_is_judged_by_the_range_of_today(workshop: Workshop) -> None:
    """It reaches further than it was entered with; or less far, and then the first pass overloaded it."""
    play(workshop, OVER + AGAIN)
    change_wrench(workshop, "W-1", WrenchChange(lowest="20 N·m", highest="250 N·m"), FOREMAN)
    wider = said(workshop)
    change_wrench(workshop, "W-1", WrenchChange(lowest="20 N·m", highest="150 N·m"), FOREMAN)

    assert NOBODY == wider
    assert EVERYBODY == said(workshop)
    assert "above the 150 N·m it reaches" in on_sheet(workshop)


@pytest.mark.parametrize(
    ("highest", "shown", "over"),
    [
        ("200 N·m", "200 N·m", False),
        ("200 N·m", "200.0001 N·m", True),
        ("150 lbf·ft", "150 lbf·ft", False),
        ("150 lbf·ft", "150.0001 lbf·ft", True),
        ("200.0004 N·m", "200.0003 N·m", False),
        ("200 N·m", "99999999999999999999 N·m", True),
    ],
)
def test_the_highest_value_itself_is_none(workshop: Workshop, highest: str, shown: str, *, over: bool) -> None:
    """Compared as told, to the last digit, whatever the list is rounded to."""
    add_wrench(workshop, NewWrench("setting", "red", "10 N·m", highest, due_on=date(2031, 12, 31)), FOREMAN)
    play(workshop, f"{OPENED}2031-04-02 10:05 rear-axle-nut {shown} with W-4 by P-2")

    assert over is bool(on_sheet(workshop, "W-4"))


def test_a_wrench_whose_range_is_not_known_is_never_overloaded(workshop: Workshop) -> None:
    """Nobody can say so."""
    add_wrench(workshop, NewWrench("setting", "red", due_on=date(2031, 12, 31)), FOREMAN)
    play(workshop, f"{OPENED}2031-04-02 10:05 rear-axle-nut 900 N·m with W-4 by P-2")

    assert "" == on_sheet(workshop, "W-4")


def test_the_bench_proposes_another_one_first(workshop: Workshop) -> None:
    """It answers for the one that was asked for too, and who asks for a third hears of it last."""
    play(workshop, OVER + AGAIN)
    asked = bench_setting(workshop, "1", "rear-axle-nut", "W-1")
    third = bench_setting(workshop, "1", "rear-axle-nut", "W-3")

    assert asked.choice is not None
    assert ["W-2"] == [each.partition(" ")[0] for each in asked.instead]
    assert third.choice is None
    assert ["W-2", "W-1"] == [each.partition(" ")[0] for each in third.instead]
    assert third.instead[-1].endswith(", overloaded and not looked at since")
    assert () == bench_setting(workshop, "1", "rear-axle-nut", "W-2").instead


def test_the_night_before_does_not_know_of_it(workshop: Workshop) -> None:
    """And every night after it says it again."""
    play(workshop, OVER)
    workshop.clock.set("2031-04-09 08:00")  # type: ignore[attr-defined]

    assert [] == at_night(workshop, date(2031, 4, 1))
    assert [1, 1] == [len(at_night(workshop, date(2031, 4, day))) for day in (2, 8)]


@pytest.mark.usefixtures("book_file")
def test_it_is_found_through_the_index(workshop: Workshop) -> None:
    """However many passes there are: those above, and none of the others."""
    play(workshop, OVER + AGAIN)
    asked = (
        "explain query plan select entry from fastener_events where wrench = ? and shown_mnm > ?"
        " and happened_at || '' >= ? and happened_at || '' < ? order by happened_at, entry"
    )
    plan = workshop.book.rows(asked, "W-1", 200_000, "", "~")
    found = vehicle_queries.wrench_uses_above(workshop.book, "W-1", Decimal(200))

    assert "fastener_events_shown (wrench=? AND shown_mnm>?)" in plan[0][3]
    assert 1 == len(found)


class Told(NamedTuple):
    """One thing that is told of W-1: what, and the torque of a pass or the highest value of a range."""

    what: str
    nm: int = 0


class Expected:
    """What is known of W-1, worked out from what was told alone, one thing a minute."""

    def __init__(self) -> None:
        self.highest = 200
        self.passes: list[int] = []  # what it showed in each that is not answered
        self.withdrawn = False

    def hear(self, told: Told) -> None:
        """One thing more; nothing is done with a wrench that is withdrawn."""
        if told.what == "pass":
            self.passes += [] if self.withdrawn else [told.nm]
        elif told.what == "range":
            self.highest = told.nm
        else:
            self.passes = []
            self.withdrawn = told.what == "dropped" or (told.what == "check" and self.withdrawn)

    @property
    def over(self) -> list[int]:
        """The passes that stand as overloads."""
        return [] if self.withdrawn else [nm for nm in self.passes if nm > self.highest]


TOLD = st.one_of(
    st.builds(Told, st.just("pass"), st.sampled_from([90, 108, 150, 151, 200, 201, 300])),
    st.builds(Told, st.just("range"), st.sampled_from([150, 200, 300])),
    st.sampled_from([Told("check"), Told("calibrated"), Told("dropped")]),
)


@given(st.lists(TOLD, max_size=8))
@settings(max_examples=25)
def test_sheet_bench_later_pass_and_night_agree(
    ready_made_book: Path, installed_plugins: Plugins, story: list[Told]
) -> None:
    """Whatever happens to a wrench: all of them name the same pass, and it is the one that what was told leaves."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "yard.book"
        path.write_bytes(ready_made_book.read_bytes())
        with open_workshop(path, clock=Clock(), chance=Random(5), plugins=installed_plugins) as workshop:
            expected = tell(workshop, story)
            view = show_wrench(workshop, "W-1").overload
            says = [view.says] if view else []

            assert [Decimal(nm) for nm in expected.over[:1]] == [view.shown_nm for view in [view] if view]
            for door in (at_bench(workshop), later(workshop), at_night(workshop)):
                assert says == [each for each in says if any(each in line for line in door)]
                assert len(says) == len(door)


def tell(workshop: Workshop, story: list[Told]) -> Expected:
    """The story on job 1, one thing a minute from 10:01, and at last a pass at 108 N·m, if the wrench may be used."""
    expected = Expected()
    play(workshop, OPENED)
    for minute, told in enumerate([*story, Told("pass", 108)], start=1):
        clock = f"2031-04-02 10:{minute:02}"
        workshop.clock.set(clock)  # type: ignore[attr-defined]
        if told.what == "range" and told.nm != expected.highest:
            change_wrench(workshop, "W-1", WrenchChange(lowest="20 N·m", highest=f"{told.nm} N·m"), FOREMAN)
        elif told.what == "check":
            check_wrench(workshop, "W-1", CheckWrench("bench tester", (IN_ORDER,)), MECHANIC)
        elif told.what == "calibrated":
            calibrate(workshop, "W-1", Calibrate(date(2031, 4, 2), "C-1", as_found=(IN_ORDER,)), FOREMAN)
        elif told.what == "dropped":
            mishandle(workshop, "W-1", "dropped", "off the bench", MECHANIC)
        elif told.what == "pass" and not expected.withdrawn:
            done = f"{clock} job 1 rear-axle-nut {told.nm} N·m with W-1, again by P-2"
            play(workshop, f"{clock} job 1 rear-axle-nut loosened: too tight by P-2\n{done}")
        expected.hear(told)
    return expected


@pytest.mark.parametrize(
    ("nut", "line", "shown"),
    [
        (
            'torque = "60 … 230 N·m"\nlocking = "castle nut"',
            "end-nut 180 N·m with W-2 slot turned on to the next slot at 210 N·m",
            "210 N·m at the slot",
        ),
        (
            'torque = "30 N·m"\ntolerance = "5 %"\nmethod = "torque and angle"\nangle = "90°"',
            "end-nut 30 N·m with W-2 then 90° to 205 N·m",
            "205 N·m at the end of the angle",
        ),
    ],
)
def test_what_it_showed_at_the_end_overloads_it_as_well(
    workshop: Workshop, enter: Callable[..., str], nut: str, line: str, shown: str
) -> None:
    """W-2 reaches 200 N·m, and the torque that it began with lies inside."""
    enter("ends", f'[[work]]\ntighten = "end-nut"\nname = "end nut"\n{nut}\nsource = "manual"\npage = "1"\n')
    play(workshop, f"2031-04-02 10:00 job 1 opened ends on V-1 by P-2\n2031-04-02 10:05 {line} by P-2")
    (found,) = findings(workshop, rule="workshop_rules/wrench-out-of-range", weight="stop")

    assert f"end nut: {shown} on wrench W-2, which reaches 20 … 200 N·m. Take one that reaches it. This over" in found
    assert f"was used at {shown} on job 1 (end-nut, 2031-04-02), above the 200 N·m it reaches" in on_sheet(
        workshop, "W-2"
    )
