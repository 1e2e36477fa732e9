"""`torqueaudit setting JOB FASTENER --wrench W`, run as a person runs it."""

import json
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from torqueaudit.cli.main import cli
from torqueaudit.model.act import Say
from torqueaudit.model.wrench.acts import NewWrench
from torqueaudit.testing import play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.wrenches.wrench import add_wrench

Ask = Callable[..., Result]
LONG = date(2999, 12, 31)  # the command reads the real clock


@pytest.fixture
def ask(workshop: Workshop, book_file: Path) -> Ask:
    """`ask("1", "rear-axle-nut", "--wrench", "W-4")`: W-4 has marks of 5 N·m, W-5 shows its value in lbf·ft."""
    play(workshop, "2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2")
    lever = Decimal(500)
    for wrench in (
        NewWrench(
            kind="setting",
            tag="coarse",
            lowest="20 N·m",
            highest="200 N·m",
            lever_mm=lever,
            due_on=LONG,
            scales=("5 N·m",),
        ),
        NewWrench(
            kind="indicating",
            tag="feet",
            lowest="20 lbf·ft",
            highest="150 lbf·ft",
            lever_mm=lever,
            due_on=LONG,
            scales=("1 lbf·ft",),
        ),
        NewWrench(
            kind="setting",
            tag="small",
            lowest="2 N·m",
            highest="20 N·m",
            lever_mm=lever,
            due_on=LONG,
            scales=("0.5 N·m",),
        ),
    ):
        add_wrench(workshop, wrench, Say("P-1"))

    def run(*words: str, book: str = str(book_file)) -> Result:
        result = CliRunner().invoke(cli, ["--book", book, "setting", *words], env={"TORQUEAUDIT_BOOK": None})
        assert result.exception is None or isinstance(result.exception, SystemExit), result.exc_info
        return result

    return run


def test_it_says_what_to_set_first_and_what_that_reaches(ask: Ask) -> None:
    """The fastener, the setting, what it reaches, the shares, and what is always to be heeded."""
    result = ask("1", "rear-axle-nut", "--wrench", "W-4", "--adapter", "50@0")
    lines = result.stdout.splitlines()

    assert (result.exit_code, result.stderr) == (0, "")
    assert lines[:4] == [
        "rear axle nut: 108 N·m (97.2 … 118.8)",
        "Set wrench W-4 to 100 N·m",
        "  with adapter 50 mm at 0°",
        "  reaches 110.0 N·m ± 6.0 N·m (k = 2): in (simple acceptance, 99.8 % likely inside)",
    ]
    assert [line.partition(" %")[2] for line in lines[4:-1]] == [
        " permissible deviation ±4 %, rectangular",
        " scale division 5 N·m",
        " lever length, u = 5 mm, the workshop's assumption",
        " adapter length, u = 1 mm, the workshop's assumption",
        " adapter angle, u = 5 degrees, the workshop's assumption",
    ]
    assert "maker's manual prevails" in lines[-1]
    assert "Never put a pipe" in lines[-1]


def test_an_indicating_wrench_is_turned_until_it_shows(ask: Ask) -> None:
    """Its own scale, and the specification in that unit beside the printed one."""
    lines = ask("1", "rear-axle-nut", "--wrench", "W-5").stdout.splitlines()

    assert lines[1:3] == ["  108 N·m (= about 79.7 lbf·ft, derived)", "Turn until wrench W-5 shows 80 lbf·ft"]


def test_json_has_decimal_strings(ask: Ask) -> None:
    """What other programs read: setting and unit of the scale, the rest in N·m."""
    answer = json.loads(ask("1", "rear-axle-nut", "--wrench", "W-4", "--json").stdout)
    names = ("setting", "unit", "applied_nm", "expanded_uncertainty_nm", "possible", "verdict", "decision_rule")

    # 2·√((0.04·110)²/3 + 5²/12) = 5.843515 N·m
    expected = ["110", "N·m", "110", "5.843514924", True, "in", "simple acceptance"]
    actual = [answer[name] for name in names]

    assert expected == actual
    scale = answer["budget"][1]

    assert {"name": "scale division 5 N·m", "relative": scale["relative"], "adds": False} == scale
    assert Decimal(answer["budget"][1]["relative"]) > 0


def test_json_says_that_it_cannot_be_done(ask: Ask) -> None:
    """No setting, the reason, and who can; asked and answered, so the exit code is 0."""
    result = ask("1", "rear-axle-nut", "--wrench", "W-6", "--json")
    answer = json.loads(result.stdout)

    assert result.exit_code == 0
    assert answer["possible"] is False
    assert [answer[name] for name in ("setting", "applied_nm", "expanded_uncertainty_nm", "probability")] == [None] * 4
    assert answer["why_not"] == "it would have to be set to 108 N·m, and it reaches 2 … 20 N·m"
    assert "W-4 (coarse) at 110 N·m" in answer["instead"]


def test_on_the_screen_it_says_who_can_instead(ask: Ask) -> None:
    """The refusal first, then the wrenches that do it."""
    lines = ask("1", "rear-axle-nut", "--wrench", "W-6").stdout.splitlines()

    assert lines[1] == "NOT with wrench W-6: it would have to be set to 108 N·m, and it reaches 2 … 20 N·m."
    assert lines[2].startswith("Take ")
    assert "W-4 (coarse) at 110 N·m" in lines[2]


@pytest.mark.parametrize(
    ("words", "code", "why"),
    [
        (("1", "--wrench", "W-4"), 2, "torqueaudit setting JOB FASTENER --wrench W"),
        (("1", "rear-axle-nut", "108 N·m", "--wrench", "W-4"), 2, "--wrench asks for one fastener of one job"),
        (("1", "rear-axle-nut"), 2, "ask with JOB FASTENER --wrench W"),
        (("9", "rear-axle-nut", "--wrench", "W-4"), 1, "job 9: no such job"),
        (("1", "spoke", "--wrench", "W-4"), 1, "spoke"),
        (("1", "rear-axle-nut", "--wrench", "W-40"), 1, "W-40: no such wrench"),
        (("1", "rear-axle-nut", "--wrench", "W-4", "--adapter", "600@180"), 1, "turn nothing or the wrong way"),
        (("1", "rear-axle-nut", "--wrench", "W-4", "--adapter", "@"), 1, "is not a plain number"),
        (("1", "rear-axle-nut", "--wrench", "W-4", "--adapter", "50@200"), 1, "no adapter stands at 200°"),
        (
            ("1", "rear-axle-nut", "--wrench", "W-4", "--adapter", "45@60"),
            1,
            "is it 45 mm long at 60°, or 60 mm at 45°?",
        ),
        (
            ("1", "rear-axle-nut", "--wrench", "W-4", "--adapter", "50@45", "--angle", "90"),
            2,
            "said twice, also in 50@45",
        ),
        (("1", "rear-axle-nut", "--wrench", "W-4", "--angle", "90"), 2, "there is no --adapter"),
        (("1", "rear-axle-nut", "--wrench", "W-4", "--drag", "3 N·m"), 1, "leave it out"),
    ],
)
def test_wrong_use_is_one_sentence(ask: Ask, words: tuple[str, ...], code: int, why: str) -> None:
    """Nothing on stdout, the reason on stderr, and no traceback."""
    result = ask(*words)

    assert (code, "") == (result.exit_code, result.stdout)
    assert why in result.stderr
    assert "fault of the program" not in result.stderr


def test_without_a_book_it_asks_for_one(ask: Ask, tmp_path: Path) -> None:
    """Neither named nor there."""
    nowhere = ask("1", "rear-axle-nut", "--wrench", "W-4", book=str(tmp_path / "no.book"))
    unnamed = CliRunner().invoke(cli, ["setting", "1", "axle", "--wrench", "W-4"], env={"TORQUEAUDIT_BOOK": None})

    assert (nowhere.exit_code, nowhere.stdout) == (1, "")
    assert "no.book" in nowhere.stderr
    assert (unnamed.exit_code, unnamed.stdout) == (2, "")
    assert "no book named" in unnamed.stderr


def test_an_adapter_told_by_its_names_is_not_asked_back(ask: Ask) -> None:
    """45 mm at 60°, each with its own option or its own unit."""
    named = ask("1", "rear-axle-nut", "--wrench", "W-4", "--adapter", "45", "--angle", "60")
    with_units = ask("1", "rear-axle-nut", "--wrench", "W-4", "--adapter", "45mm@60°")

    assert "  with adapter 45 mm at 60°" in named.stdout.splitlines()
    assert named.stdout == with_units.stdout
