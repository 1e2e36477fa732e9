"""An outside plugin, installed from its own folder and loaded by its entry points in a process of its own."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
import zxingcpp
from PIL import Image

from torqueaudit.plugin.commands import Workshop, show_job
from torqueaudit.testing import play

FOLDER = Path(__file__).parent.parent / "examples" / "plugin-shop-rules"
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


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where pip has put it, beside nothing else."""
    target = tmp_path_factory.mktemp("outside")
    pip = [sys.executable, "-m", "pip", "install", "--quiet", "--no-deps", "--no-build-isolation"]
    subprocess.run([*pip, "--target", str(target), str(FOLDER)], check=True, capture_output=True)
    return target


def run(installed: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """Python in a process that sees the plugin."""
    environment = {**os.environ, "PYTHONPATH": str(installed), "PYTHONIOENCODING": "utf-8"}
    return subprocess.run(
        [sys.executable, *words], env=environment, capture_output=True, text=True, encoding="utf-8", check=False
    )


def torqueaudit(installed: Path, *words: str) -> str:
    """What a command prints; it must do well."""
    done = run(installed, "-c", "from torqueaudit.cli.main import main; main()", *words)
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_it_is_listed_with_its_hooks(installed: Path) -> None:
    """Loaded from its entry point, and every hook found."""
    listed = {each["name"]: each for each in json.loads(torqueaudit(installed, "plugins", "--json"))}
    expected = {
        "name": "shop_rules",
        "version": "0.1.0",
        "hooks": ["correct_setting", "label_kinds", "report_sections", "review_job", "torque_units"],
        "state": "loaded",
    }

    assert expected == listed["shop_rules"]


def test_without_it_nothing_of_it_is_there(tmp_path: Path) -> None:
    """The same question to a process that does not see it."""
    listed = json.loads(torqueaudit(tmp_path, "plugins", "--json"))

    assert "shop_rules" not in {each["name"] for each in listed}


def test_its_own_tests_run(installed: Path) -> None:
    """As an author runs them, with the fixtures of `torqueaudit.testing`."""
    own = ("-c", str(FOLDER / "pyproject.toml"), str(FOLDER / "tests"))
    done = run(installed, "-m", "pytest", "-q", "-p", "no:cacheprovider", *own)

    assert (0, "2 passed") == (done.returncode, done.stdout.splitlines()[-1].partition(" in ")[0])


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


def test_report_sections_of_it_end_the_report(installed: Path, workshop: Workshop, book_file: Path) -> None:
    """Whatever the night says, the plugin's own section is there."""
    play(workshop, TRAINEE)
    main = "from torqueaudit.cli.main import main; main()"
    done = run(installed, "-c", main, "--book", str(book_file), "nightly", "--json")
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
