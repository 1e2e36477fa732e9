"""The outside plugins, installed from their own folders and loaded by their entry points in a process of their own."""

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import NamedTuple

import pytest
import zxingcpp
from apart import run_apart
from PIL import Image

from torqueaudit.plugin.commands import Workshop, show_job
from torqueaudit.testing import play

EXAMPLES = Path(__file__).parent.parent / "examples"


class Example(NamedTuple):
    """A plugin of the examples: its name, its folder, the hooks it answers, and how many tests it brings."""

    name: str
    folder: Path
    hooks: list[str]
    tests: int


SHOP_RULES = Example(
    name="shop_rules",
    folder=EXAMPLES / "plugin-shop-rules",
    hooks=["correct_setting", "label_kinds", "report_sections", "review_job", "torque_units"],
    tests=2,
)
BRAKE = Example(
    name="brake",
    folder=EXAMPLES / "plugin-brake",
    hooks=["label_kinds", "measurement_kinds", "part_kinds", "procedure_tables", "record_panels", "review_job"],
    tests=27,
)
SHORT_MESSAGES = Example(
    name="short_messages", folder=EXAMPLES / "plugin-short-messages", hooks=["send_reminder"], tests=11
)
EVERY = (SHOP_RULES, BRAKE, SHORT_MESSAGES)
each_example = pytest.mark.parametrize("example", EVERY, ids=lambda example: example.name)
TRAINEE = """
2031-04-02 10:00 job 1 opened axle on V-1 by P-4
2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-4
2031-04-02 10:06 rear-axle-nut mark intact by P-4
2031-04-02 10:09 rear-axle-nut checked mark seen by P-3
"""
MULTIPLIED = """
import sys
from pathlib import Path
from torqueaudit.plugin import Fitted, Outcome
from torqueaudit.plugin.commands import Clock, Say, Tighten, open_workshop, show_job, tighten

with open_workshop(Path(sys.argv[1]), clock=Clock("2031-04-02 11:00")) as workshop:
    fitted = (Fitted("multiplier", {"gain": "4"}),)
    tighten(workshop, "1", "rear-axle-nut", Tighten(Outcome.TURNED_CLICKED, "W-1", "27 N·m", fitted), Say("P-2"))
    print(show_job(workshop, "1").fasteners[0].applied)
"""
BRAKED = """
import sys
from pathlib import Path
from torqueaudit.plugin.commands import Clock, Say, enter_procedure, open_workshop, play

with open_workshop(Path(sys.argv[1]), clock=Clock("2031-04-02 10:00")) as workshop:
    enter_procedure(workshop, Path(sys.argv[2]), Say("P-1"))
    play(workshop, *sys.argv[3:])
"""
FLUID = """
2031-04-02 10:01 job 1 opened front-brake on V-1 by P-2
2031-04-02 10:05 front-brake-fluid fitted fluid with class=DOT 4 by P-2
"""
BLED_AND_FIRM = """
2031-04-02 10:10 job 1 front-brake-bled yes by P-2
2031-04-02 10:11 job 1 front-brake-bled yes by P-2
2031-04-02 10:12 job 1 front-brake-bled yes by P-2
2031-04-02 10:20 job 1 front-lever-firm yes by P-2
"""


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where pip has put them, beside nothing else."""
    target = tmp_path_factory.mktemp("outside")
    pip = [sys.executable, "-m", "pip", "install", "--quiet", "--no-deps", "--no-build-isolation"]
    folders = [str(example.folder) for example in EVERY]
    subprocess.run([*pip, "--target", str(target), *folders], check=True, capture_output=True)
    return target


def surroundings(installed: Path) -> dict[str, str]:
    """In which a process sees the plugins."""
    return {**os.environ, "PYTHONPATH": str(installed), "PYTHONIOENCODING": "utf-8"}


def run(installed: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """Python in a process that sees the plugins."""
    command, around = [sys.executable, *words], surroundings(installed)
    return subprocess.run(command, env=around, capture_output=True, text=True, encoding="utf-8", check=False)


def command(installed: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """A command of the program, which sees the plugins."""
    return run_apart(["torqueaudit", *words], surroundings(installed), str(Path.cwd()))


def torqueaudit(installed: Path, *words: str) -> str:
    """What a command prints; it must do well."""
    done = command(installed, *words)
    assert done.returncode == 0, done.stderr
    return done.stdout


def braked(installed: Path, book_file: Path, *cards: str) -> None:
    """The example of the brake entered into the book, and the cards played."""
    done = run(installed, "-c", BRAKED, str(book_file), str(BRAKE.folder / "front-brake.toml"), *cards)
    assert (0, "") == (done.returncode, done.stderr)


@each_example
def test_it_is_listed_with_its_hooks(installed: Path, example: Example) -> None:
    """Loaded from its entry point, and every hook found."""
    listed = {each["name"]: each for each in json.loads(torqueaudit(installed, "plugins", "--json"))}
    expected = {"name": example.name, "version": "0.1.0", "hooks": example.hooks, "state": "loaded"}

    assert expected == listed[example.name]


@each_example
def test_without_it_nothing_of_it_is_there(tmp_path: Path, example: Example) -> None:
    """The same question to a process that does not see it."""
    listed = json.loads(torqueaudit(tmp_path, "plugins", "--json"))

    assert example.name not in {each["name"] for each in listed}


@each_example
def test_its_own_tests_run(installed: Path, example: Example) -> None:
    """As an author runs them, with the fixtures of `torqueaudit.testing`."""
    own = ("-c", str(example.folder / "pyproject.toml"), str(example.folder / "tests"))
    done = run(installed, "-m", "pytest", "-q", "-W", "error", "-p", "no:cacheprovider", *own)

    assert (0, f"{example.tests} passed") == (done.returncode, done.stdout.splitlines()[-1].partition(" in ")[0])


def test_torque_units_of_it_are_read(installed: Path) -> None:
    """1000 pdl·ft are 42.1401… N·m: 1000 × 0.138254954376 N × 0.3048 m."""
    assert "42.14 N·m\n" == torqueaudit(installed, "convert", "1000 pdl·ft", "N·m", "--digits", "4")


def test_review_job_of_it_finds(installed: Path, workshop: Workshop, book_file: Path) -> None:
    """Its finding stands among the built-in ones, and here without the plugin it does not."""
    play(workshop, TRAINEE)
    shown = json.loads(torqueaudit(installed, "--book", str(book_file), "job", "show", "1", "--json"))
    expected = ["rear axle nut: P-4 is a trainee, and the foreman has not looked at it."]

    assert expected == [each["finding"]["says"] for each in shown["findings"]]
    assert () == show_job(workshop, "1").findings


def test_correct_setting_of_it_corrects(installed: Path, workshop: Workshop, book_file: Path) -> None:
    """27 N·m on the wrench, four times as much at the nut."""
    play(workshop, TRAINEE)
    done = run(installed, "-c", MULTIPLIED, str(book_file))

    assert ("108 N·m\n", "") == (done.stdout, done.stderr)


def test_label_kinds_of_it_are_printed(installed: Path, workshop: Workshop, book_file: Path, tmp_path: Path) -> None:
    """The shelf label opens the same record; zxing-cpp reads it."""
    play(workshop, TRAINEE)
    out = tmp_path / "shelf.png"
    words = ("label", "1", "--kind", "shelf", "--stock", "roll-57x32", "--out", str(out))
    torqueaudit(installed, "--book", str(book_file), *words)
    (code,) = zxingcpp.read_barcodes(Image.open(out))

    assert f"http://localhost:8080/r/{show_job(workshop, '1').token}" == code.text


def test_a_job_by_its_procedure_stops_for_it_and_without_it(
    installed: Path, workshop: Workshop, book_file: Path
) -> None:
    """One pass of three is done, which its rule says; here without the plugin nobody can say so, and the job stops."""
    braked(installed, book_file, FLUID, BLED_AND_FIRM.strip().splitlines()[0])
    sheet = torqueaudit(installed, "--book", str(book_file), "job", "show", "1")
    stop = "front brake bled: 1 of 3 passes since the front brake fluid went in. Do the next one."

    assert f"STOP: {stop} [not-bled]\n" in sheet
    assert "core/plugin-broken" in {found.rule for found in show_job(workshop, "1").stops}


def test_record_panels_of_it_are_on_the_sheet(installed: Path, book_file: Path) -> None:
    """The class of the fluid, the day, and the day two years on that its source asks for."""
    braked(installed, book_file, FLUID)
    sheet = torqueaudit(installed, "--book", str(book_file), "job", "show", "1")

    assert "front brake fluid:\n  Changed every 24 months (manual, 8-3).\n" in sheet
    assert "  DOT 4  2031-04-02  2033-04-02\n" in sheet


def test_a_label_of_a_job_that_is_right_is_printed(
    installed: Path, workshop: Workshop, book_file: Path, tmp_path: Path
) -> None:
    """The tag of the reservoir, once the brake was bled and the lever is firm."""
    out = tmp_path / "tag.png"
    words = ("--book", str(book_file), "label", "1", "--kind", "brake", "--stock", "roll-57x32", "--out", str(out))
    braked(installed, book_file, FLUID)
    refused = command(installed, *words)
    assert "job 1: put the brake right first" in refused.stderr
    assert not out.exists()

    braked(installed, book_file, BLED_AND_FIRM)
    torqueaudit(installed, *words)
    (code,) = zxingcpp.read_barcodes(Image.open(out))

    assert f"http://localhost:8080/r/{show_job(workshop, '1').token}" == code.text


def test_report_sections_of_it_end_the_report(installed: Path, workshop: Workshop, book_file: Path) -> None:
    """Whatever the night says, the plugin's own section is there."""
    play(workshop, TRAINEE)
    done = command(installed, "--book", str(book_file), "nightly", "--json")
    added = json.loads(done.stdout)["extra"]

    assert ["For the board"] == [each["title"] for each in added]
    assert ["Read this at the morning round."] == added[0]["sentences"]


def test_its_command_runs_and_is_in_the_help(installed: Path, workshop: Workshop, book_file: Path) -> None:
    """By the name of its entry point."""
    play(workshop, TRAINEE)

    assert "JOB 1   V-1   Rear axle nut   open\n" == torqueaudit(installed, "--book", str(book_file), "board")
    assert "the open jobs, large enough" in torqueaudit(installed, "--help").casefold()


def test_a_job_whose_book_expects_it_stops_without_it(installed: Path, workshop: Workshop, book_file: Path) -> None:
    """A book made with it says so when it is gone: fewer rules would have run, and nobody would know."""
    play(workshop, TRAINEE)
    settle = (
        "from torqueaudit.workshop.register.settings import settle\nfrom torqueaudit.workshop.door.attempt import Say\n"
    )
    expect = "settle(workshop, {'expected_plugins': ['shop_rules']}, Say('P-1'))"
    opened = "from torqueaudit.workshop.opening import open_workshop\nimport sys, pathlib\n"
    code = f"{settle}{opened}with open_workshop(pathlib.Path(sys.argv[1])) as workshop: {expect}"
    assert run(installed, "-c", code, str(book_file)).returncode == 0

    assert ["core/plugin-broken"] == [finding.rule for finding in show_job(workshop, "1").stops]
