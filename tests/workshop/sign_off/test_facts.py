"""What an auditor would ask about: told where it is so, and silent where it is not."""

from datetime import date, timedelta

import pytest

from torqueaudit.model.act import Say, form_of, id_within
from torqueaudit.model.job.facts import CheckMethod
from torqueaudit.model.wrench.acts import Calibrate
from torqueaudit.testing import Clock, play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.checks import check
from torqueaudit.workshop.register.settings import settle
from torqueaudit.workshop.sign_off.sign_off import sign_off_of
from torqueaudit.workshop.wrenches.calibrations import calibrate
from torqueaudit.workshop.wrenches.wrench import estimate_use

NUT = """
2031-04-02 10:00 job {0} opened axle on V-{0} at 12000 km by P-{1}
2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-{1}
2031-04-02 10:06 rear-axle-nut mark intact by P-{1}
"""
CHECKED = f"{NUT}2031-04-02 10:09 rear-axle-nut checked mark seen by P-{{2}}\n"
DRIVE = """
2031-04-02 10:00 job 1 opened final-drive on V-1 at 12000 km by P-2
2031-04-02 10:05 sprocket-bolt 50 N·m with W-1 by P-2
2031-04-02 10:08 rear-axle-nut 108 N·m with W-1 by P-2
"""


POINT = "100 N·m: 100 100 100 100 100"


def facts(workshop: Workshop, key: str) -> list[str]:
    """The sentences of one kind, with their jobs."""
    week = sign_off_of(workshop, date(2031, 3, 31), date(2031, 4, 6))
    return [fact.text for fact in week.facts if fact.key == key]


def watched(workshop: Workshop, key: str, say: Say) -> None:
    check(workshop, "1", key, CheckMethod.WATCHED, "", say)


def test_a_job_that_leaves_nothing_to_ask_gives_no_fact(workshop: Workshop) -> None:
    play(workshop, f"{CHECKED.format(1, 2, 3)}2031-04-02 10:15 released by P-1")

    assert () == sign_off_of(workshop, date(2031, 4, 2), date(2031, 4, 2)).facts


def test_checks_that_were_entered_too_close_are_told_with_the_bound_and_where_it_comes_from(
    workshop: Workshop, clock: Clock
) -> None:
    """Two taps, three seconds apart; the bound is a setting, and 0 tells of none."""
    play(workshop, DRIVE)
    watched(workshop, "sprocket-bolt", Say("P-3", id="first"))
    clock.moment += timedelta(seconds=3)
    watched(workshop, "rear-axle-nut", Say("P-3", id="second"))
    told = facts(workshop, "checks-in-seconds")
    settle(workshop, {"check_seconds": 3}, Say("P-1"))
    apart = facts(workshop, "checks-in-seconds")
    settle(workshop, {"check_seconds": 0}, Say("P-1"))

    says = "P-3 entered 1 check less than 5 seconds after the one before (common practice, no source; a setting), "
    assert [f"{says}the shortest after 3. Job 1."] == told
    assert [] == apart == facts(workshop, "checks-in-seconds")


def test_what_one_form_tells_is_one_look(workshop: Workshop) -> None:
    """At the bench one tap says that each mark is whole: its acts have ids of their own that come of the form's."""
    play(workshop, DRIVE)
    for number, key in enumerate(("sprocket-bolt", "rear-axle-nut"), start=1):
        watched(workshop, key, Say("P-3", id=id_within("a7", number)))

    assert [] == facts(workshop, "checks-in-seconds")


@pytest.mark.parametrize(("form", "number", "act"), [("a7", 1, "a7"), ("a7", 3, "a7.3"), ("", 2, "")])
def test_the_acts_of_a_form_are_known_again(form: str, number: int, act: str) -> None:
    assert (act, form) == (id_within(form, number), form_of(act))


def test_an_id_that_is_no_forms_is_its_own() -> None:
    assert ["import:log.csv", ".5"] == [form_of("import:log.csv"), form_of(".5")]


def test_a_phone_that_was_offline_sends_at_once_what_it_kept_for_an_hour(workshop: Workshop) -> None:
    """Recorded in one second, and tapped half an hour apart."""
    play(workshop, f"{DRIVE}2031-04-02 11:30 clock")
    watched(workshop, "sprocket-bolt", Say("P-3", minutes_ago=45))
    watched(workshop, "rear-axle-nut", Say("P-3", minutes_ago=15))

    assert [] == facts(workshop, "checks-in-seconds")


def test_whoever_types_times_types_whole_minutes(workshop: Workshop, clock: Clock) -> None:
    """Told for one and the same minute, and entered minutes apart."""
    play(workshop, f"{DRIVE}2031-04-02 11:30 clock")
    watched(workshop, "sprocket-bolt", Say("P-3", minutes_ago=45))
    clock.moment += timedelta(minutes=2)
    watched(workshop, "rear-axle-nut", Say("P-3", minutes_ago=47))

    assert [] == facts(workshop, "checks-in-seconds")


def test_two_people_look_at_once(workshop: Workshop) -> None:
    play(workshop, DRIVE)
    watched(workshop, "sprocket-bolt", Say("P-3"))
    watched(workshop, "rear-axle-nut", Say("P-1"))

    assert [] == facts(workshop, "checks-in-seconds")


def test_always_the_same_two_are_told_from_two_jobs_on(workshop: Workshop) -> None:
    """One job says nothing, and neither do two that different people looked at."""
    play(workshop, CHECKED.format(1, 2, 3))
    one = facts(workshop, "same-pair")
    play(workshop, CHECKED.format(2, 2, 3).replace("04-02", "04-03"))
    two = facts(workshop, "same-pair")
    play(workshop, CHECKED.format(3, 2, 1).replace("04-02", "04-04"))

    assert [] == one == facts(workshop, "same-pair")
    assert ["Whatever P-2 had tightened and somebody checked in these days, P-3 checked. Jobs 1, 2."] == two


def test_who_releases_their_own_tightening_is_told_with_what_it_was(workshop: Workshop) -> None:
    """Also as a helper."""
    play(workshop, f"{CHECKED.format(1, 1, 3)}2031-04-02 10:15 released by P-1")
    own = facts(workshop, "own-release")
    helped = CHECKED.format(2, 2, 3).replace("W-1 by", "W-1 helped by P-1 by")
    play(workshop, f"{helped}2031-04-02 10:15 released by P-1".replace("04-02", "04-03"))

    assert ["P-1 released what P-1 had tightened or helped with: rear axle nut. Job 1."] == own
    assert ["P-1 released what P-1 had tightened or helped with: rear axle nut. Jobs 1, 2."] == facts(
        workshop, "own-release"
    )


def test_what_somebody_tightens_after_a_release_is_not_of_it(workshop: Workshop) -> None:
    play(
        workshop,
        f"""{CHECKED.format(1, 2, 3)}
        2031-04-02 10:15 released by P-1
        2031-04-02 10:20 rear-axle-nut loosened: once more by P-1
        2031-04-02 10:25 rear-axle-nut 108 N·m with W-1 by P-1
        """,
    )

    assert [] == facts(workshop, "own-release")


def test_what_left_and_nobody_checked_is_told(workshop: Workshop) -> None:
    """What is still worked on is not."""
    play(workshop, f"{NUT.format(1, 2)}2031-04-02 10:20 handed over at 12010 km with stops: fetched at once by P-2")
    play(workshop, DRIVE.replace("job 1", "job 2").replace("V-1", "V-2").replace("04-02", "04-03"))
    play(workshop, "2031-04-03 11:00 job 2 rear-axle-nut checked watched by P-3")

    assert ["Nobody checked rear axle nut. Job 1."] == facts(workshop, "checked-by-nobody")


def test_a_wrench_that_has_done_more_than_its_cycles_is_told_with_the_jobs_from_there_on(workshop: Workshop) -> None:
    """The pass that reaches the number is still allowed, the next one is not."""
    play(workshop, CHECKED.format(1, 2, 3))
    estimate_use(workshop, "W-1", 9, "lent out", date(2031, 4, 1), Say("P-1"))
    settle(workshop, {"calibration_cycles": 10}, Say("P-1"))
    reached = facts(workshop, "wrench-beyond-cycles")
    play(workshop, CHECKED.format(2, 2, 3).replace("04-02", "04-03"))
    play(workshop, CHECKED.format(3, 2, 3).replace("04-02", "04-04"))

    assert [] == reached
    assert ["W-1 had done at least 12 cycles, and no calibration is recorded; 10 are allowed. Jobs 2, 3."] == facts(
        workshop, "wrench-beyond-cycles"
    )


def test_a_calibration_begins_the_cycles_anew(workshop: Workshop, clock: Clock) -> None:
    """What the wrench did beyond them before it is told all the same, with the day that these were counted from."""
    settle(workshop, {"calibration_cycles": 1}, Say("P-1"))
    calibrate(workshop, "W-1", Calibrate(date(2031, 4, 1), as_found=(POINT,), as_left=(POINT,)), Say("P-1"))
    for job in (1, 2):
        play(workshop, CHECKED.format(job, 2, 3).replace("04-02", f"04-0{job + 1}"))
    clock.set("2031-04-04 08:00")
    calibrate(workshop, "W-1", Calibrate(date(2031, 4, 4), as_found=(POINT,), as_left=(POINT,)), Say("P-1"))
    play(workshop, CHECKED.format(3, 2, 3).replace("04-02", "04-05"))

    assert ["W-1 had done at least 2 cycles since its calibration of 2031-04-01; 1 are allowed. Job 2."] == facts(
        workshop, "wrench-beyond-cycles"
    )
