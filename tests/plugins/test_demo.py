"""The demo: the whole story through the command, as somebody who tries the program sees it."""

import json
import os
import re
from collections.abc import Iterator
from datetime import date, timedelta
from importlib import resources
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from torqueaudit.cli.main import cli
from torqueaudit.ledger.entry import moment_of
from torqueaudit.model.register.token import read_token
from torqueaudit.model.shown.job import JobView
from torqueaudit.testing import Clock
from torqueaudit.workshop.door.ledger import faults
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.opening import open_workshop
from torqueaudit.workshop.register.labels import job_of_token
from torqueaudit_plugins.demo.yard import play_story

DAY = "2024-05-11"
DAYS = [
    pytest.param("2024-02-29", id="a leap day"),
    pytest.param("2025-03-31", id="the clocks went forward the night before"),
    pytest.param("2026-10-25", id="the clocks went back that night"),
]
EXAMPLES = Path(__file__).parents[2] / "examples" / "procedures"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the demo is played to; it is made by the command."""
    return tmp_path_factory.mktemp("demo") / "build" / "demo"


@pytest.fixture(scope="module")
def told(folder: Path) -> Result:
    """What the command said."""
    return CliRunner().invoke(cli, ["demo", str(folder), "--on", DAY])


@pytest.fixture(scope="module")
def yard(folder: Path, told: Result) -> Iterator[Workshop]:
    """The demo's book."""
    assert told.exit_code == 0, told.output
    with open_workshop(folder / "yard.book") as workshop:
        yield workshop


def rules(view: JobView) -> set[str]:
    """The rules that speak today, conceded or not."""
    return {each.finding.rule for each in view.findings}


def test_the_demo_ends_well_although_the_night_missed_something(told: Result) -> None:
    """The nightly report's own exit code is the story's point, not a failure."""
    assert told.exit_code == 0
    expected = ["no phone can open localhost; `settings change --address …` sets what labels open"]
    labels = ("remove the old labels of job", "whose label belongs on")
    assert expected == [line for line in told.stderr.splitlines() if not any(each in line for each in labels)]
    assert f"{DAY} (demo: an invented workshop): Something was missed." in told.stdout


def test_everything_lies_where_the_demo_says(folder: Path, told: Result) -> None:
    """Book, labels and the report in four forms; beside the book the heads that it told, which belong to it."""
    expected = {"yard.book", "labels.pdf"} | {f"reports/nightly-{DAY}.{end}" for end in ("html", "pdf", "json", "csv")}
    actual = {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}

    assert expected | {"yard.book.heads"} == actual
    assert all(str(folder / name) in told.stdout for name in expected)


def test_the_address_it_names_opens_a_record(told: Result, yard: Workshop) -> None:
    """A real token, of the first job."""
    found = re.search(r"http://localhost:8080/r/(\S+)", told.stdout)

    assert found
    assert "1" == job_of_token(yard, read_token(found[1]))


def test_the_ledger_of_the_demo_is_sound(yard: Workshop) -> None:
    """Played through the acts alone: chain, triggers, clock and lists are as they should be."""
    assert faults(yard) == []


def test_the_first_entry_marks_the_book_as_a_demo(yard: Workshop) -> None:
    """So that every page and report can say so."""
    first = yard.book.entry(1)

    assert first is not None
    assert first.said["demo"] is True


@pytest.mark.parametrize(
    ("job", "state", "rule"),
    [
        ("4", "handed over", "workshop_rules/fault-found"),
        ("5", "re-checked", ""),
        ("7", "handed over", "workshop_rules/mark-disturbed"),
        ("8", "handed over", ""),
        ("9", "handed over", "workshop_rules/tightened-by-another-job"),
        ("10", "open", "workshop_rules/not-checked"),
        ("11", "handed over, never released", "workshop_rules/not-checked"),
        ("14", "handed over", "workshop_rules/no-wrench-fits"),
    ],
)
def test_each_job_tells_its_part_of_the_story(yard: Workshop, job: str, state: str, rule: str) -> None:
    """A complaint and its end, a disturbed mark, no re-check, undone later, left lying, gone unreleased, conceded."""
    view = show_job(yard, job)

    assert state == view.state
    assert not rule or rule in rules(view)


def test_the_clean_job_is_clean(yard: Workshop) -> None:
    """Released, handed over, looked at again, and nothing to find."""
    view = show_job(yard, "6")

    assert ("re-checked", set()) == (view.state, rules(view))


def test_the_fault_is_found_and_answered_by_the_job_after_it(yard: Workshop) -> None:
    """Hooked teeth, carried over; both left together, and the trend of four searches ended with the chain."""
    search, after = show_job(yard, "4"), show_job(yard, "5")
    wear = next(panel for panel in search.panels if panel.title == "Chain wear")

    assert after.follows is not None
    assert (("5",), "4") == (search.followed_by, after.follows.job)
    assert ["teeth of the front sprocket: fault found (five teeth hooked, two of them thin)"] == [
        said.partition(".")[0] for said in after.follows.carried
    ]
    assert wear.chart is not None
    assert 4 == len(wear.chart.points)
    assert "This chain came off on 2024-04-03, see job 5." == wear.sentences[0]
    assert "would have reached the limit of 0.787 %" in wear.sentences[1]


def test_the_correction_is_struck_and_said_again(yard: Workshop) -> None:
    """The wrong unit stays readable, with the reason, and the nut has its torque."""
    view = show_job(yard, "12")
    nut = next(each for each in view.fasteners if each.position == "rear-axle-nut")

    assert ("107.1 N·m", "108 N·m") == (nut.applied, nut.done and nut.done.shown)
    assert ["the wrench stood at 108 N·m, written as lbf·ft"] == [each.partition(": ")[2] for each in view.strikes]


def test_the_concession_covers_the_stop_it_names(yard: Workshop) -> None:
    """As of the day it was released; it has ended by now, so the stop is back."""
    record = yard.record("14")

    assert ["workshop_rules/no-wrench-fits"] == [each.covers.rule for each in record.concessions()]
    assert record.release is not None


def test_the_night_names_the_re_check_that_nobody_did(folder: Path, told: Result) -> None:
    """In the report's JSON, as on the screen."""
    assert told.exit_code == 0
    night = json.loads((folder / "reports" / f"nightly-{DAY}.json").read_text(encoding="utf-8"))
    missed = next(each for each in night["sections"] if each["key"] == "re-checks-missed")

    assert ["7", "8"] == [line["job"] for line in missed["lines"]]


def lines(folder: Path) -> dict[str, list[tuple[str, str]]]:
    """The lines of a demo's night by section, each with its job, and every day in them as one word."""
    (report,) = (folder / "reports").glob("*.json")
    sections = json.loads(report.read_text(encoding="utf-8"))["sections"]
    return {
        each["key"]: [(line["job"], re.sub(r"\d{4}-\d\d-\d\d", "DAY", line["says"])) for line in each["lines"]]
        for each in sections
    }


@pytest.fixture(scope="module", name="today")
def _today(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the demo lies that was played without a day."""
    folder = tmp_path_factory.mktemp("today") / "demo"
    told = CliRunner().invoke(cli, ["demo", str(folder)])
    assert told.exit_code == 0, told.output
    return folder


def test_nothing_is_late_but_what_the_story_says(today: Path, folder: Path, told: Result) -> None:
    """The same night as ever: a re-check is due that day, another was missed for eleven days, no wrench is over."""
    assert told.exit_code == 0
    night = lines(today)

    assert lines(folder) == night
    assert [("8", "Re-check 11 days and 210 km late")] == [
        (job, says.partition(".")[0]) for job, says in night["re-checks-missed"] if job == "8"
    ]
    assert ["9"] == [job for job, says in night["due"] if says.startswith("Re-check due today.")]
    assert ["Wrench W-3 (quarter inch): its calibration ends on DAY. Send it to be calibrated."] == [
        says for _, says in night["rest"]
    ]


def test_nothing_is_told_that_has_not_happened(today: Path) -> None:
    """The last act was told yesterday, so that the next one is not told before it."""
    with open_workshop(today / "yard.book") as workshop:
        newest = workshop.book.entry(workshop.book.head().sequence)
        assert newest is not None
        assert workshop.today() - timedelta(days=1) == moment_of(newest.recorded_at).date()
        assert [] == faults(workshop)


@pytest.mark.proof
@pytest.mark.parametrize("day", DAYS if "TORQUEAUDIT_PROOF" in os.environ else DAYS[-1:])
def test_the_weeks_lead_up_to_any_day(day: str, tmp_path: Path, folder: Path, told: Result) -> None:
    """Each job ends in the same state with the same findings, whatever the calendar does."""
    assert told.exit_code == 0
    views = play_story(tmp_path / "yard.book", date.fromisoformat(day))
    evening = Clock(f"{date.fromisoformat(DAY) - timedelta(days=1)} 18:00")
    with open_workshop(folder / "yard.book", clock=evening) as workshop:
        usual = [show_job(workshop, view.number) for view in views]

    assert [(view.number, view.state, rules(view)) for view in usual] == [
        (view.number, view.state, rules(view)) for view in views
    ]


@pytest.mark.parametrize(
    ("day", "said"),
    [
        ("2199-01-01", "2199-01-01 has not come yet; give today or an earlier day"),
        ("2023-12-31", "2023-12-31 is before the workshop's time; give 2024-01-01 or a later day"),
        ("yesterday", "yesterday: write a date as 2031-04-02"),
    ],
)
def test_a_day_that_cannot_be_played_makes_nothing(day: str, said: str, tmp_path: Path) -> None:
    """Told in one sentence, before anything is written."""
    result = CliRunner().invoke(cli, ["demo", str(tmp_path / "demo"), "--on", day])

    assert (2, True) == (result.exit_code, said in result.stderr)
    assert [] == list(tmp_path.iterdir())


def test_the_story_is_the_same_every_time(folder: Path, told: Result, tmp_path: Path) -> None:
    """Its own clock and chance: the same tokens, the same head."""
    assert told.exit_code == 0
    again = play_story(tmp_path / "again.book", date.fromisoformat(DAY))
    with open_workshop(folder / "yard.book") as first:
        assert str(first.book.head()) == again[0].book.head
        assert [view.token for view in again] == [show_job(first, view.number).token for view in again]


def test_a_folder_that_holds_something_is_left_alone(tmp_path: Path) -> None:
    """Wrong use, told in one sentence."""
    (tmp_path / "mine.txt").write_text("mine", encoding="utf-8")
    result = CliRunner().invoke(cli, ["demo", str(tmp_path)])

    assert result.exit_code == 2
    assert f"{tmp_path} is not empty; name a folder that is not there yet" in result.stderr
    assert [tmp_path / "mine.txt"] == list(tmp_path.iterdir())


def test_the_demos_procedures_are_the_examples() -> None:
    """What the demo plays is what the examples show, word by word."""
    inside = resources.files("torqueaudit_plugins.demo") / "procedures"
    expected = {path.name: path.read_text(encoding="utf-8") for path in EXAMPLES.glob("*.toml")}
    actual = {each.name: each.read_text(encoding="utf-8") for each in inside.iterdir()}

    assert expected == actual
