"""`step done`, as it is typed, and what every act answers while the vehicle is out."""

import json
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

Run = Callable[..., subprocess.CompletedProcess[str]]

# Invented: it must not be used on any vehicle.
LOOKS = """
format = 1
name = "jerks"
title = "Jerks in the drive"
edition = "1"
[[work]]
step = "sprocket-look"
name = "front sprocket look"
says = "Look for hooked teeth."
look = true
[[work]]
step = "secured"
name = "motorcycle secured"
says = "Tie it down."
"""
PASS = ("--wrench", "W-1", "--shown", "108 N·m", "--outcome", "turned, then clicked")
TIGHTEN = ("fastener", "tighten", "1", "rear-axle-nut", *PASS)
LOOK = ("step", "done", "1", "sprocket-look")


@pytest.fixture
def looked(run: Run, tmp_path: Path) -> Run:
    """A job with a look and a step."""
    (tmp_path / "jerks.toml").write_text(LOOKS, encoding="utf-8")
    run("procedure", "enter", str(tmp_path / "jerks.toml"))
    run("job", "open", "--vehicle", "V-1", "--procedure", "jerks")
    return run


@pytest.mark.parametrize(
    ("words", "says", "stored"),
    [
        (("in order",), "front sprocket look: IN ORDER", "in order"),
        (("yes",), "front sprocket look: IN ORDER", "in order"),
        (("fault", "--remark", "teeth hooked"), "FAULT FOUND: teeth hooked", "fault found (teeth hooked)"),
        (("no", "--remark", "teeth hooked"), "FAULT FOUND: teeth hooked", "fault found (teeth hooked)"),
        (
            ("yes", "--remark", "hooked"),
            "IN ORDER: hooked. If that is a fault, record the look again",
            "in order (hooked)",
        ),
        (("not applicable", "--remark", "belt"), "front sprocket look: not applicable (belt)", "not applicable (belt)"),
    ],
)
def test_a_look_is_answered_in_words_that_nobody_mistakes(
    looked: Run, words: tuple[str, ...], says: str, stored: str
) -> None:
    done = looked(*LOOK, *words)
    shown = json.loads(looked("job", "show", "1", "--json").stdout)

    assert (0, True) == (done.returncode, says in done.stdout), done.stdout + done.stderr
    assert [stored] == [each["said"] for each in shown["items"] if each["key"] == "sprocket-look"]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (LOOK, "front sprocket look: it is a look, so say what was seen: “in order”, or “fault” with --remark"),
        ((*LOOK, "not applicable"), "front sprocket look: it is required; say with --remark why it is not applicable"),
        (("step", "done", "1", "secured", "in order"), "motorcycle secured: it is done and not looked at"),
    ],
)
def test_no_look_is_in_order_for_want_of_an_answer(looked: Run, words: tuple[str, ...], says: str) -> None:
    done = looked(*words)

    assert (1, "") == (done.returncode, done.stdout)
    assert says in done.stderr


def test_a_step_that_is_no_look_is_done_where_nothing_else_is_said(looked: Run) -> None:
    """The reply and the JSON both say what was stored."""
    assert "  motorcycle secured: yes\n" in looked("step", "done", "1", "secured").stdout
    answer = json.loads(looked("step", "done", "1", "secured", "no", "--remark", "strap torn", "--json").stdout)

    assert ("motorcycle secured: no (strap torn)", ["front sprocket look", "motorcycle secured: answered no"]) == (
        answer["stored"],
        [answer["next"][0], answer["findings"][0]["says"].partition(" (")[0]],
    )


def test_what_was_told_late_does_not_stand(looked: Run) -> None:
    """The later answer does, and its number is told."""
    looked(*LOOK, "fault", "--remark", "hooked")
    done = looked(*LOOK, "in order", "--ago", "9")

    assert "front sprocket look: FAULT FOUND: hooked, as entry #" in done.stdout


def test_the_stops_of_a_vehicle_that_is_out_are_listed_once(run: Run) -> None:
    """Where an act changes nothing of them, their number will do; once it is here again, nobody is to be reached."""
    leaves = ("--odometer", "12010 km", "--with-stops", "--why", "towed", "--by", "P-1")
    run("job", "open", "--vehicle", "V-1", "--procedure", "axle", "--odometer", "12000 km")
    gone = run("job", "hand-over", "1", *leaves).stdout
    ridden = run("ride", "report", "1", "--odometer", "12020 km", "--by", "owner").stdout
    asked = run(*TIGHTEN)
    tight = run(*TIGHTEN, "--here").stdout
    out = "The vehicle is out with a stop standing. Reach whoever rides it before anything else:"

    assert [True, False, False] == [out in answer for answer in (gone, ridden, tight)]
    assert [True, False, False] == ["stop: rear axle nut: not tightened" in answer for answer in (gone, ridden, tight)]
    assert "The vehicle is out, with the same 1 stop: see `job show`." in ridden
    assert (1, True) == (asked.returncode, "if it is here again, add --here" in asked.stderr)
    assert "stop: rear axle nut: not marked" in tight


def test_a_re_check_is_not_concluded_while_a_stop_stands(run: Run) -> None:
    """Every mark was looked at, and somebody still has to look a second time."""
    run("job", "open", "--vehicle", "V-1", "--procedure", "axle", "--odometer", "12000 km")
    run(*TIGHTEN)
    run("fastener", "mark", "1", "rear-axle-nut", "intact")
    run("job", "hand-over", "1", "--odometer", "12010 km", "--with-stops", "--why", "towed", "--by", "P-1")
    looked = run("fastener", "mark", "1", "rear-axle-nut", "intact").stdout
    done = run("recheck", "done", "1", "--odometer", "12100 km")

    assert "stop: rear axle nut" not in looked
    assert (1, True) == (done.returncode, "the re-check cannot be concluded while 1 stop stands:" in done.stderr)
    assert "  rear axle nut: not independently checked" in done.stderr
