"""`torqueaudit tightening show`: every pass over a fastener, and how its torque is known."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from torqueaudit.cli.main import cli
from torqueaudit.model.act import Say
from torqueaudit.testing import play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.register.settings import settle

Show = Callable[..., Result]
OPENED = "2031-04-02 10:00 job 1 opened final-drive on V-1 at 12000 km by P-2\n"
NUT = "2031-04-02 10:05 rear-axle-nut 100 N·m with W-1 adapter 50@90 by P-2\n"


@pytest.fixture
def show(book_file: Path) -> Show:
    """`show("1", "rear-axle-nut")`."""

    def run(*words: str) -> Result:
        result = CliRunner().invoke(cli, ["--book", str(book_file), "tightening", "show", *words])
        assert result.exception is None or isinstance(result.exception, SystemExit), result.exc_info
        return result

    return run


def test_the_budget_stands_line_by_line(workshop: Workshop, show: Show) -> None:
    """What was specified and by which source, what was done, what it made, and each share in % and N·m."""
    play(workshop, OPENED + NUT)

    expected = f"""\
job 1 · rear axle nut: 108 N·m (97.2 … 118.8)
source: Kestrel 500 manual, 3, page 7-12

rear axle nut · entry {workshop.book.head().sequence} · 2031-04-02 10:05 by P-2
  turned, then clicked at 100 N·m, adapter 50 mm at 90°, wrench W-1
  applied: 100.0 N·m ± 4.9 N·m (k = 2)
  judged then by simple acceptance: in, 87.2 % likely inside
  standard uncertainties, by themselves:
    2.31 % permissible deviation ±4 %, rectangular: 2.31 N·m
    0 % lever length, u = 5 mm, the workshop's assumption: 0 N·m
    0 % adapter length, u = 1 mm, the workshop's assumption: 0 N·m
    0.873 % adapter angle, u = 5 degrees, the workshop's assumption: 0.87 N·m
  the wrench had done no cycles that the book knows since its calibration
"""
    actual = show("1", "rear-axle-nut").stdout

    assert expected == actual


def test_a_stage_is_called_one_and_is_not_judged(workshop: Workshop, show: Show) -> None:
    """21 N·m lies below 47 N·m, and was never meant to reach it."""
    play(workshop, OPENED + "2031-04-02 10:01 sprocket-bolt-2 stage 1 21 N·m with W-1 by P-2")
    lines = show("1", "sprocket-bolt-2").stdout.splitlines()

    assert lines[0] == "job 1 · sprocket bolt 2: 47 … 53 N·m"
    assert lines[4:7] == [
        "  turned, then clicked at 21 N·m, wrench W-1, a stage",
        "  applied: 21.00 N·m ± 0.97 N·m (k = 2)",
        "  not judged",
    ]


def test_a_group_is_shown_in_the_order_it_was_turned(workshop: Workshop, show: Show) -> None:
    """Five bolts crosswise, each with its own pass."""
    play(workshop, OPENED + "2031-04-02 10:01 sprocket-bolt stage 1 21 N·m with W-1 by P-2")
    heads = [line for line in show("1", "sprocket-bolt").stdout.splitlines() if "· entry" in line]

    assert [head.partition(" · ")[0] for head in heads] == [f"sprocket bolt {number}" for number in (1, 3, 5, 2, 4)]


def test_a_pass_that_was_undone_is_history(workshop: Workshop, show: Show) -> None:
    """The nut was loosened and tightened again; only the later pass holds it."""
    play(
        workshop,
        OPENED
        + NUT
        + """2031-04-02 10:06 rear-axle-nut loosened: spacer forgotten by P-2
        2031-04-02 10:07 rear-axle-nut 108 N·m with W-1 by P-2
        2031-04-02 10:08 rear-axle-nut 108 N·m with W-1 clicked without turning by P-3
        """,
    )
    heads = [line for line in show("1", "rear-axle-nut").stdout.splitlines() if "· entry" in line]

    assert [", history" in head for head in heads] == [True, False, False]


def test_what_another_job_undid_is_history_here(workshop: Workshop, show: Show) -> None:
    """A later job loosened the nut, so this job's pass holds it no more."""
    play(
        workshop,
        OPENED
        + NUT
        + """2031-04-03 10:00 job 2 opened axle on V-1 by P-2
        2031-04-03 10:01 rear-axle-nut loosened: wheel out by P-2
        """,
    )

    assert "by P-2, history\n" in show("1", "rear-axle-nut").stdout


def test_what_is_not_proved_says_why(workshop: Workshop, show: Show) -> None:
    """W-3 was out of calibration on the day: a torque, no uncertainty, no shares."""
    play(workshop, OPENED + "2031-04-02 10:05 rear-axle-nut 108 N·m with W-3 by P-2")
    lines = show("1", "rear-axle-nut").stdout.splitlines()

    assert lines[5:8] == [
        "  applied: 108 N·m",
        "  judged then by simple acceptance: in, not proved",
        "  nothing is proved: wrench W-3 was out of calibration on the day (due 2031-03-31)",
    ]


def test_a_guard_band_is_named(workshop: Workshop, show: Show) -> None:
    """The rule in force when it was told, whatever is chosen later."""
    settle(workshop, {"guard_factor": "1"}, Say("P-1"))
    play(workshop, OPENED + NUT)
    settle(workshop, {"guard_factor": "0"}, Say("P-1"))

    assert (
        "  judged then by guard band 1·U: in, not proved, 87.2 % likely inside\n" in show("1", "rear-axle-nut").stdout
    )


@pytest.mark.parametrize("outcome", ["did not reach torque", "clicked without turning", "no torque wrench fits"])
def test_a_pass_that_applied_no_known_torque_says_so(workshop: Workshop, show: Show, outcome: str) -> None:
    """What the wrench was set to is not what reached the nut."""
    with_what = "" if outcome.startswith("no ") else "108 N·m with W-1 "
    play(workshop, f"{OPENED}2031-04-02 10:05 rear-axle-nut {with_what}{outcome} by P-2")
    lines = show("1", "rear-axle-nut").stdout.splitlines()

    assert lines[4].startswith(f"  {outcome}")
    assert lines[5] == "  applied: not known"


def test_nobody_has_touched_it(workshop: Workshop, show: Show) -> None:
    """Said, rather than nothing shown."""
    play(workshop, OPENED)

    assert show("1", "disc-bolt").stdout.splitlines()[-1] == "Nobody has tightened it in this job."


def test_json_has_every_pass_with_decimal_strings(workshop: Workshop, show: Show) -> None:
    """The same as on the screen, for other programs."""
    play(workshop, OPENED + NUT)
    shown = json.loads(show("1", "rear-axle-nut", "--json").stdout)
    (done,) = shown["passes"]

    # 2·√(0.04²/3 + (5°·π/180·50/500)²)·100 = 4.937561 N·m
    assert (done["applied_nm"], done["expanded_nm"], done["verdict"]) == ("100", "4.937560889", "in")
    assert [line["name"].partition(",")[0] for line in done["budget"]] == [
        "permissible deviation ±4 %",
        "lever length",
        "adapter length",
        "adapter angle",
    ]
    assert (done["stands"], done["final"], done["cycles"], shown["demo"]) == (True, True, 0, False)


def test_a_demo_says_so_first(workshop: Workshop, show: Show) -> None:
    """On every page of an invented workshop."""
    settle(workshop, {"demo": True}, Say("setup"))
    play(workshop, OPENED)

    assert show("1", "rear-axle-nut").stdout.splitlines()[0] == "DEMO: every name and value here is invented."


@pytest.mark.parametrize(("job", "key", "why"), [("9", "rear-axle-nut", "job 9: no such job"), ("1", "spoke", "spoke")])
def test_what_is_not_there_is_refused_in_one_sentence(
    workshop: Workshop, show: Show, job: str, key: str, why: str
) -> None:
    """An unknown job or fastener."""
    play(workshop, OPENED)
    result = show(job, key)

    assert (result.exit_code, result.stdout) == (1, "")
    assert why in result.stderr
