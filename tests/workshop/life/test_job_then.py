"""A job as it stood at an entry: what every door said of it at that moment, whatever was struck and told since."""

import os
import shutil
from datetime import date
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING

import pytest
from histories import History, yard_of

from torqueaudit.book import queries
from torqueaudit.cards.card import Clock
from torqueaudit.cli.then_sheet import lines_of
from torqueaudit.ledger.entry import moment_of
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.wrench.acts import Calibrate
from torqueaudit.plugins import Plugins
from torqueaudit.testing import play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.strikes import strike
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.life.job_then import show_job_then
from torqueaudit.workshop.register.settings import settle
from torqueaudit.workshop.wrenches.calibrations import calibrate

if TYPE_CHECKING:
    from collections.abc import Iterator

    from torqueaudit.model.shown.job import JobView

YARDS = 200 if "TORQUEAUDIT_PROOF" in os.environ else 3
ACTS, ASKED = 12, 20
STRUCK = """
2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
2031-04-02 10:05 rear-axle-nut 90 N·m with W-1 by P-2
2031-04-02 10:10 line 2 struck: wrong nut by P-2
2031-04-02 10:15 rear-axle-nut 108 N·m with W-1 by P-2
2031-04-02 10:16 rear-axle-nut mark intact by P-2
2031-04-02 10:17 rear-axle-nut checked mark seen by P-3
2031-04-02 10:20 released by P-1
2031-04-02 10:25 handed over at 12010 km by P-1
2031-04-03 18:00 clock
2031-04-02 10:18 rear-axle-nut mark intact by P-2
"""
NUMBER = {"opened": 0, "wrong": 1, "strike": 2, "right": 3, "mark": 4}


def entries_of(workshop: Workshop, job: str = "1") -> list[int]:
    """The entries of a job by number."""
    return [each.sequence for each in workshop.book.entries(f"job/{job}")]


def said(workshop: Workshop, entry: int, job: str = "1") -> list[tuple[str, str, str]]:
    """Each act of the course with how it was struck and how late it came."""
    return [(each.says, each.struck, each.late) for each in show_job_then(workshop, job, entry).course]


@pytest.mark.proof
@pytest.mark.parametrize("seed", range(YARDS))
def test_a_job_of_the_past_is_what_it_was(
    ready_made_book: Path, tmp_path: Path, installed_plugins: Plugins, seed: int
) -> None:
    """Rides, strikes, later jobs and other instruments go by; what was said behind each act is said for ever."""
    chance, clock = Random(f"then {seed}"), Clock("2031-06-10 08:00")
    book = Path(shutil.copy(ready_made_book, tmp_path / "yard.book"))
    with yard_of(book, clock, seed, installed_plugins) as workshop:
        yard = [History(workshop, clock, chance) for _ in range(2)]
        then: dict[tuple[str, int], JobView] = {}
        for _ in range(ACTS):
            for each in yard:
                each.act()
                then |= dict(now(workshop, each))
            if chance.random() < 0.2:
                settle(workshop, {"late_minutes": chance.randrange(10, 600)}, Say("P-1"))
        for number, entry in chance.sample(sorted(then), min(ASKED, len(then))):
            told = show_job_then(workshop, number, entry)
            assert then[number, entry] == told.job, (seed, number, entry)


def now(workshop: Workshop, history: History) -> "Iterator[tuple[tuple[str, int], JobView]]":
    """Each job of a motorcycle as it stands now, by a clock at the last entry, and without what comes next."""
    last = workshop.book.head().sequence
    entry = workshop.book.entry(last)
    assert entry
    at_last = workshop.at(moment_of(entry.recorded_at))
    for row in queries.jobs_of_vehicle(workshop.book, history.vehicle):
        yield (str(row.job), last), show_job(at_last, str(row.job))._replace(to_do=())


def test_what_was_struck_later_stands_as_it_did(workshop: Workshop) -> None:
    """Before its strike the wrong torque stood on the nut; the course says that it was struck, by whom and why."""
    play(workshop, STRUCK)
    entries = entries_of(workshop)
    wrong = show_job_then(workshop, "1", entries[NUMBER["wrong"]])
    (nut,) = wrong.job.fasteners

    assert ("90 N·m", ()) == (nut.applied, wrong.job.strikes)
    assert [("opened", "", ""), ("rear axle nut", "struck on 2031-04-02 10:10 by P-2: wrong nut", "")] == [
        (says.partition(":")[0], struck, late) for says, struck, late in said(workshop, wrong.entry)
    ]


def test_a_strike_of_the_time_is_told_as_one(workshop: Workshop) -> None:
    """As it stood behind the strike, the nut is not tightened, and both what was said and the strike are there."""
    play(workshop, STRUCK)
    told = show_job_then(workshop, "1", entries_of(workshop)[NUMBER["strike"]])
    (nut,) = told.job.fasteners

    assert ("not tightened", 1) == (nut.state, len(told.job.strikes))
    assert told.course[-1].says.startswith("struck (#")


def test_what_came_late_is_told_as_late(workshop: Workshop) -> None:
    """It stands where it happened, behind the check and before the release, and says how late it was told."""
    play(workshop, STRUCK)
    course = said(workshop, entries_of(workshop)[-1])
    (late,) = [place for place, each in enumerate(course) if each[2]]

    assert "told late: recorded 31 hours after it happened" == course[late][2]
    assert "signed by P-1" in course[late + 1][0]


def test_a_later_strike_of_a_release_leaves_the_past_signed(workshop: Workshop) -> None:
    """What the record said when the motorcycle left is not rewritten by what a foreman struck a day later."""
    play(workshop, STRUCK)
    release = next(each.sequence for each in workshop.book.entries("job/1") if each.what == "released")
    left = entries_of(workshop)[7]
    strike(workshop, "1", release, "on the wrong job", Say("P-1"))

    assert show_job_then(workshop, "1", left).job.release
    assert show_job(workshop, "1").release is None


def test_another_jobs_work_of_the_time_counts_as_it_stood(workshop: Workshop) -> None:
    """A later job that did the nut anew was struck since: as of then it had done it."""
    play(workshop, STRUCK + "2031-04-05 08:00 job 2 opened axle on V-1 at 12080 km by P-2\n")
    play(workshop, "2031-04-05 08:05 job 2 rear-axle-nut 107 N·m with W-1 by P-2")
    done = entries_of(workshop, "2")[-1]
    strike(workshop, "2", done, "on the other motorcycle", Say("P-1"))

    assert "2" == show_job_then(workshop, "1", done).job.fasteners[0].overtaken_by
    assert "" == show_job_then(workshop, "1", done + 1).job.fasteners[0].overtaken_by


def test_a_wrench_that_was_found_out_later_was_good_then(workshop: Workshop) -> None:
    """As of the leaving the nut had what was told; now it is corrected."""
    play(workshop, STRUCK + "2031-04-06 12:00 clock\n")
    left = entries_of(workshop)[-1]
    found = ("40 N·m: 37 37 37 37 37", "100 N·m: 92.5 92.5 92.5 92.5 92.5", "200 N·m: 185 185 185 185 185")
    calibrate(workshop, "W-1", Calibrate(date(2031, 4, 6), as_found=found, certificate="C-9"), Say("P-1"))
    now, then = show_job(workshop, "1").fasteners[0], show_job_then(workshop, "1", left).job.fasteners[0]

    assert now.done
    assert now.done.corrected_nm
    assert then.done
    assert then.done.corrected_nm is None


def test_the_sheet_of_the_past_says_as_of_when(workshop: Workshop) -> None:
    """First of all the day and the hour, then the job as it stood; nothing to type comes next."""
    play(workshop, STRUCK)
    told = show_job_then(workshop, "1", entries_of(workshop)[NUMBER["mark"]])
    lines = list(lines_of(told))

    assert lines[0].startswith("AS IT STOOD ON 2031-04-02 10:16, at entry #")
    assert told.job.book.head == f"YARD/{told.entry}/{workshop.book.ledger(told.entry, told.entry)[0][1]}"
    assert [] == [line for line in lines if "torqueaudit" in line]
    assert "      STRUCK ON 2031-04-02 10:10 BY P-2: WRONG NUT" in lines


@pytest.mark.parametrize(
    ("job", "entry", "why"),
    [
        ("1", 10_000, "entry 10000: the record has none of that number; its last one is "),
        ("1", 0, "entry 0: the record has none of that number; its last one is "),
        ("1", 3, "job 1 was opened later, in entry "),
        ("7", 3, "job 7: no such job"),
    ],
)
def test_what_never_was_is_refused(workshop: Workshop, job: str, entry: int, why: str) -> None:
    """Whoever mistypes reads what there is."""
    play(workshop, STRUCK)
    with pytest.raises(Refused, match=why):
        show_job_then(workshop, job, entry)
