"""What was signed for in some days, of books in which everything was recorded through the acts."""

from datetime import UTC, date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from torqueaudit.model.act import Refused, Say
from torqueaudit.model.shown.sign_off import NOT_OVER, SignOff
from torqueaudit.model.shown.signed_job import SignedJob
from torqueaudit.model.sign_off.days import Days, last_week
from torqueaudit.testing import Clock, play
from torqueaudit.workshop.door.words import erase_words
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.opening import open_workshop
from torqueaudit.workshop.register.settings import settle
from torqueaudit.workshop.sign_off.sign_off import sign_off_of

MONDAY, SUNDAY = date(2031, 3, 31), date(2031, 4, 6)
WORK = """
2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
2031-04-02 10:06 rear-axle-nut mark intact by P-2
"""
CHECKED = f"{WORK}2031-04-02 10:09 rear-axle-nut checked mark seen by P-3\n"
RELEASED = f"{CHECKED}2031-04-02 10:15 released by P-1\n"
GONE = f"{RELEASED}2031-04-02 10:20 handed over at 12010 km by P-1\n"


def week(workshop: Workshop) -> SignOff:
    return sign_off_of(workshop, MONDAY, SUNDAY)


def only(workshop: Workshop) -> SignedJob:
    (job,) = week(workshop).jobs
    return job


def standing_out(workshop: Workshop) -> dict[str, tuple[str, ...]]:
    return dict(week(workshop).summary)


def test_a_job_says_who_tightened_checked_released_and_handed_it_over(workshop: Workshop) -> None:
    """Each with when, the wrench, and how the second person looked."""
    play(workshop, GONE)
    job = only(workshop)
    (nut,) = job.fasteners

    assert ("1", "V-1", "bike-1", "handed over") == (job.number, job.vehicle, job.tag, job.state)
    assert ("P-2, W-1, 2031-04-02", "P-3, mark seen, 2031-04-02") == (nut.tightened_text, nut.checked_text)
    assert (
        ("opened", "P-2, 2031-04-02 10:00"),
        ("released", "P-1, 2031-04-02 10:15"),
        ("handed over", "P-1, 2031-04-02 10:20"),
    ) == job.signed
    assert {} == standing_out(workshop)


@pytest.mark.parametrize("work", [CHECKED, RELEASED, GONE])
def test_what_is_checked_released_or_handed_over_comes_in(workshop: Workshop, work: str) -> None:
    """Each of them alone would."""
    play(workshop, work)

    assert ["1"] == [job.number for job in week(workshop).jobs]


def test_work_that_nobody_has_signed_for_is_another_days(workshop: Workshop) -> None:
    """What waits is told by the page of today."""
    play(workshop, WORK)

    assert () == week(workshop).jobs


def test_days_are_those_on_which_it_was_recorded(workshop: Workshop) -> None:
    """A leaving told on Monday belongs to Monday, whenever it was; the job as it stood on Sunday has none."""
    play(workshop, f"{RELEASED}2031-04-07 08:00 clock\n2031-04-06 18:00 handed over at 12010 km by P-1")
    before, after = only(workshop), sign_off_of(workshop, date(2031, 4, 7), date(2031, 4, 7)).jobs[0]

    assert ("released", ()) == (before.state, before.leavings)
    assert ["P-1, 2031-04-06 18:00"] == [each.text for each in after.leavings]
    assert ["handed over by P-1, 2031-04-06 18:00: recorded 14 hours later"] == [each.text for each in after.late]


def test_a_week_is_told_alike_in_later_years(workshop: Workshop, clock: Clock) -> None:
    """Whatever is done to the job later: that belongs to later days."""
    play(workshop, GONE)
    before = week(workshop)
    play(workshop, "2031-04-09 10:00 job 1 rear-axle-nut mark disturbed by P-2")
    clock.set("2033-01-02 10:00")

    assert before == week(workshop)._replace(asked_at=before.asked_at)


def test_a_release_that_is_struck_later_is_told_with_the_week_of_the_release(workshop: Workshop) -> None:
    """It stands as it was read then, and beside it who struck it, when and why; and it comes in by the strike too."""
    play(workshop, f"{RELEASED}2031-04-08 09:00 line 5 struck: the wrong job by P-1")
    entry = only(workshop).releases[0].entry
    later = sign_off_of(workshop, date(2031, 4, 8), date(2031, 4, 8)).jobs[0]

    says = f"released, entry {entry}: by P-1, 2031-04-08 09:00"
    assert [f"{says} (after these days): the wrong job"] == [each.text for each in only(workshop).struck]
    assert [f"{says}: the wrong job"] == [each.text for each in later.struck]
    assert ((), "not released yet") == (later.releases, later.unsigned)


def test_a_job_that_was_withdrawn_says_so(workshop: Workshop) -> None:
    """Its check had been signed for."""
    play(workshop, f"{CHECKED}2031-04-03 09:00 line 1 struck: another motorcycle by P-1")

    assert {"Withdrawn": ("1",), "Entries struck": ("1",)} == standing_out(workshop)
    assert "another motorcycle" == only(workshop).withdrawn


def test_what_left_without_a_release_stands_first(workshop: Workshop) -> None:
    """With the stops that stood, and why it left all the same."""
    play(workshop, f"{WORK}2031-04-02 10:20 handed over at 12010 km with stops: fetched at once by P-2")

    assert {"Left, and not all signed for": ("1",), "Left with stops standing": ("1",)} == standing_out(workshop)
    assert (
        ("not signed", "it left, and was never released"),
        ("handed over", "P-2, 2031-04-02 10:20, with 1 stop standing: fetched at once"),
    ) == only(workshop).signed[1:]


def test_work_after_the_release_is_not_signed_for(workshop: Workshop) -> None:
    play(workshop, f"{RELEASED}2031-04-02 10:30 rear-axle-nut loosened: wheel out again by P-2")

    assert "done since its release: rear axle nut" == only(workshop).unsigned
    assert {"Not signed for yet": ("1",)} == standing_out(workshop)


def test_a_conceded_stop_names_its_basis_its_limit_and_its_last_day(workshop: Workshop) -> None:
    """By whom it was granted, too; the fastener says that no torque wrench reached it."""
    play(
        workshop,
        """
        2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
        2031-04-02 10:05 rear-axle-nut no torque wrench fits by P-2
        2031-04-02 10:06 rear-axle-nut mark intact by P-2
        2031-04-02 10:09 rear-axle-nut checked mark seen by P-3
        2031-04-02 10:12 conceded no-wrench-fits on rear axle nut until 2031-05-01: turned by its angle, 100 km by P-1
        2031-04-02 10:15 released by P-1
        """,
    )
    expected = (
        "“no wrench fits” on rear axle nut, by P-1, 2031-04-02 10:12, until 2031-05-01. "
        "Basis: turned by its angle. Limit: 100 km."
    )

    assert [expected] == [each.text for each in only(workshop).conceded]
    assert "P-2, 2031-04-02, no torque wrench fits" == only(workshop).fasteners[0].tightened_text
    assert {"Stops conceded": ("1",)} == standing_out(workshop)


def test_a_self_re_inspection_is_told_apart_with_its_reason(workshop: Workshop) -> None:
    settle(workshop, {"single_handed": True}, Say("P-1"))
    play(workshop, f"{WORK}2031-04-02 10:50 rear-axle-nut checked self re-inspection: nobody else is here by P-2")

    assert ("self re-inspection", "rear axle nut: P-2, self re-inspection, 2031-04-02: nobody else is here") in only(
        workshop
    ).beside
    assert ("1",) == standing_out(workshop)["Self re-inspections"]


def test_what_came_late_is_told_by_the_workshops_own_minutes(workshop: Workshop) -> None:
    """A setting; what is told at once of several fasteners is one line."""
    play(workshop, f"2031-04-02 13:00 clock{CHECKED}")
    before = only(workshop).late
    settle(workshop, {"late_minutes": 170}, Say("P-1"))

    assert () == before
    assert [
        "opened by P-2, 2031-04-02 10:00: recorded 3 hours later",
        "rear axle nut tightened by P-2, 2031-04-02 10:05: recorded 2 hours later",
        "rear axle nut mark seen by P-2, 2031-04-02 10:06: recorded 2 hours later",
        "rear axle nut checked by P-3, 2031-04-02 10:09: recorded 2 hours later",
    ] == [each.text for each in only(workshop).late]


def test_the_bolts_of_a_group_are_one_line_where_the_same_is_to_be_said(workshop: Workshop) -> None:
    """One of them was tightened by somebody else; of what a trainee did it is told who answers for it."""
    play(
        workshop,
        """
        2031-04-02 10:00 job 1 opened final-drive on V-1 at 12000 km by P-2
        2031-04-02 10:05 sprocket-bolt 50 N·m with W-1 by P-2
        2031-04-02 10:06 sprocket-bolt-3 loosened: a look beneath by P-3
        2031-04-02 10:07 sprocket-bolt-3 50 N·m with W-1 helped by P-4 by P-3
        2031-04-02 10:08 rear-axle-nut 108 N·m with W-1 by P-4
        2031-04-02 10:10 rear-axle-nut checked watched by P-3
        """,
    )
    told = {each.name: each.tightened_text for each in only(workshop).fasteners}
    bolts = {name: says for name, says in told.items() if "sprocket bolt" in name}

    assert "P-4 (supervised by P-2), W-1, 2031-04-02" == told["rear axle nut"]
    assert {
        "sprocket bolt 1, 2, 4, 5": "P-2, W-1, 2031-04-02",
        "sprocket bolt 3": "P-3 (helped by P-4), W-1, 2031-04-02",
    } == bolts


def test_a_job_that_cannot_be_read_is_told_and_the_others_with_it(
    workshop: Workshop, book_file: Path, clock: Clock
) -> None:
    """A sign-off that left one out in silence would be worse than none; of one entry the rest is told."""
    play(workshop, f"{GONE}{GONE.replace('job 1', 'job 2').replace('V-1', 'V-2').replace('04-02', '04-03')}")
    engine = workshop.book.engine
    engine.run("drop trigger ledger_no_update")
    change = "update ledger set document = replace(document, ?, ?) where subject = ?"
    engine.run(change, ('"vehicle":"V-1"', '"vehicel":"V-1"', "job/1"))
    engine.run(change, ('"method":"mark seen"', '"method":"a guess"', "job/2"))
    with open_workshop(book_file, clock=clock) as opened:
        told = week(opened)

    assert ["2"] == [job.number for job in told.jobs]
    assert ["checked by nobody"] == [each.says.partition("; ")[2] for each in told.jobs[0].fasteners]
    assert ["Job 1 cannot be read", "Job 2: entry 25 (job"] == [each[:20] for each in told.unread]


def test_what_beside_a_job_cannot_be_read_is_told_too(workshop: Workshop, book_file: Path, clock: Clock) -> None:
    """A wrench, whose cycles nobody can count then; the job is told all the same."""
    play(workshop, GONE)
    engine = workshop.book.engine
    engine.run("drop trigger ledger_no_update")
    change = "update ledger set document = replace(document, ?, ?) where subject = ? and number = 1"
    engine.run(change, ('"kind":"setting"', '"knid":"setting"', "wrench/W-1"))
    with open_workshop(book_file, clock=clock) as opened:
        told = week(opened)

    assert ["1"] == [job.number for job in told.jobs]
    assert ["Wrench W-1 cannot be read"] == [each[:25] for each in told.unread]


def test_words_that_were_erased_say_so(workshop: Workshop) -> None:
    """A reason that named somebody is gone from the sign-off of its week, too."""
    play(workshop, f"{RELEASED}2031-04-03 09:00 line 5 struck: the wrong job by P-1")
    erase_words(workshop, [workshop.book.head().sequence], "it named a customer", Say("P-1"))

    assert "erased on" in only(workshop).struck[0].why


def test_last_week_is_asked_for_where_no_days_are(workshop: Workshop, clock: Clock) -> None:
    """From its Monday to its Sunday; where one end is given it is a week from there, which may not be over yet."""
    clock.set("2031-04-09 08:00")
    told = [
        sign_off_of(workshop, *days)
        for days in (
            (None, None),
            (date(2031, 4, 1), None),
            (None, date(2031, 4, 8)),
            (date(2031, 4, 7), None),
        )
    ]

    assert [
        "2031-03-31 to 2031-04-06",
        "2031-04-01 to 2031-04-07",
        "2031-04-02 to 2031-04-08",
        "2031-04-07 to 2031-04-13",
    ] == [each.days for each in told]
    assert [(), (), (), (NOT_OVER,)] == [each.remarks for each in told]


@pytest.mark.parametrize(
    ("days", "says"),
    [
        ((date(2031, 4, 9), None), "2031-04-09 has not come yet; give today or an earlier day"),
        ((None, date(2041, 4, 9)), "2041-04-03 has not come yet; give today or an earlier day"),
        (
            (date(2031, 4, 2), date(2031, 4, 1)),
            "2031-04-02 lies after 2031-04-01; give the first day, then the last",
        ),
        (
            (date(2030, 4, 1), date(2031, 4, 2)),
            "2030-04-01 to 2031-04-02 are more than 366 days; ask for a year or less at once",
        ),
    ],
)
def test_days_that_cannot_be_meant_are_refused(
    workshop: Workshop, clock: Clock, days: tuple[date | None, date | None], says: str
) -> None:
    clock.set("2031-04-02 08:00")
    with pytest.raises(Refused) as caught:
        sign_off_of(workshop, *days)

    assert says == str(caught.value)


def test_days_are_the_workshops_own(workshop: Workshop) -> None:
    """At 22:15 UTC it is past midnight in Vienna; the night of the change to summer time has 23 hours."""
    vienna = ZoneInfo("Europe/Vienna")
    changed = Days(date(2031, 3, 30), date(2031, 3, 30), vienna)

    assert (datetime(2031, 3, 29, 23, tzinfo=UTC), datetime(2031, 3, 30, 22, tzinfo=UTC)) == (
        changed.start,
        changed.end,
    )
    assert (date(2031, 3, 24), date(2031, 3, 30)) == last_week(date(2031, 3, 31), vienna)[:2]
    settle(workshop, {"zone": "Europe/Vienna"}, Say("P-1"))
    play(workshop, RELEASED.replace("04-02 10:", "04-07 00:"))
    assert [[], ["1"]] == [
        [job.number for job in sign_off_of(workshop, day, day).jobs] for day in (SUNDAY, date(2031, 4, 7))
    ]
