"""Rules on a fastener that was turned or clicked again while it stood: where they speak and where they are silent."""

from pathlib import Path

import pytest

from torqueaudit.model.act import Say
from torqueaudit.testing import findings, play, procedure_head
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.register.procedures import enter_procedure

# Invented: these values must not be used on any vehicle.
JOINTS = f"""{procedure_head("joints", "Joints turned again")}[[work]]
tighten = "axle-nut"
name = "axle nut"
torque = "108 N·m"
tolerance = "10 %"
source = "manual"
page = "1"
[[work]]
tighten = "angle-bolt"
name = "angle bolt"
torque = "30 N·m"
tolerance = "5 %"
method = "torque and angle"
angle = "90°"
angle_tolerance = "5°"
source = "manual"
page = "1"
[[work]]
tighten = "staged-nut"
name = "staged nut"
torque = "60 N·m"
tolerance = "5 %"
stages = ["30 N·m", "100 %"]
source = "manual"
page = "1"
[[work]]
tighten = "locked-bolt"
name = "locked bolt"
torque = "30 N·m"
tolerance = "10 %"
condition = "threadlocker"
cure_time_h = 24
check = true
source = "manual"
page = "1"
"""
OPENED = "2031-04-02 10:00 job 1 opened joints on V-1 at 12000 km by P-2\n"
ANEW = "One of the two is wrong: strike it, or loosen it, tighten, mark and check it again."


@pytest.fixture
def yard(workshop: Workshop, tmp_path: Path) -> Workshop:
    """The workshop with that procedure."""
    path = tmp_path / "joints.toml"
    path.write_text(JOINTS, encoding="utf-8")
    enter_procedure(workshop, path, Say("P-2"))
    return workshop


def act(yard: Workshop, lines: str) -> None:
    """Open job 1 and play these lines, a minute apart, told by P-2."""
    told = [f"2031-04-02 10:{minute:02} {line} by P-2" for minute, line in enumerate(lines.splitlines(), start=1)]
    play(yard, OPENED + "\n".join(told))


SPEAKS = [
    (
        "axle-nut 118 N·m with W-1\naxle-nut 99 N·m with W-1",
        f"axle nut: recorded at 118 N·m and again at 99 N·m with no loosening between. {ANEW}",
    ),
    (
        "axle-nut 108 N·m with W-1\naxle-nut 107.99 N·m with W-1",
        f"axle nut: recorded at 108 N·m and again at 107.99 N·m with no loosening between. {ANEW}",
    ),
    (
        "axle-nut 118 N·m with W-2\naxle-nut clicked without turning\naxle-nut 100 N·m with W-1",
        f"axle nut: recorded at 118 N·m and again at 100 N·m with no loosening between. {ANEW}",
    ),
    (
        "angle-bolt 30 N·m with W-2 then 90°\nangle-bolt 30 N·m with W-2 then 92°",
        (
            "angle bolt: turned on by 90° and again by 92° with no loosening between. "
            f"{ANEW} A bolt turned twice is stretched: look at it and its thread."
        ),
    ),
    (
        "staged-nut stage 1 30 N·m with W-1\nstaged-nut 60 N·m with W-1\nstaged-nut stage 1 30 N·m with W-1",
        f"staged nut: stage 1 was told after the last stage with no loosening between. {ANEW}",
    ),
]


@pytest.mark.parametrize(("lines", "expected"), SPEAKS)
def test_a_pass_that_contradicts_the_one_before_it_stops(yard: Workshop, lines: str, expected: str) -> None:
    """Nobody knows at what the fastener stands."""
    act(yard, lines)

    assert [expected] == findings(yard, rule="workshop_rules/tightened-again", weight="stop")


SILENT = [
    "axle-nut 108 N·m with W-1",
    "axle-nut 108 N·m with W-1\naxle-nut 108 N·m with W-1, again",
    "axle-nut 100 N·m with W-1\naxle-nut 118 N·m with W-1",
    "axle-nut 118 N·m with W-1\naxle-nut 99 N·m with W-1\naxle-nut 118 N·m with W-1",
    "axle-nut 118 N·m with W-1\naxle-nut loosened: wheel out\naxle-nut 99 N·m with W-1",
    "axle-nut 108 N·m with W-1\naxle-nut 100 N·m with W-1 clicked without turning",
    "axle-nut 108 N·m with W-2\naxle-nut 106 N·m with W-2",
    "axle-nut 108 N·m with W-1\naxle-nut 106 N·m with W-2",
    "angle-bolt 30 N·m with W-2\nangle-bolt 30 N·m with W-2 then 90°",
    "angle-bolt 30 N·m with W-2 then 90°\nangle-bolt loosened: new bolt\nangle-bolt 30 N·m with W-2 then 90°",
    "staged-nut stage 1 30 N·m with W-1\nstaged-nut 60 N·m with W-1\nstaged-nut stage 1 clicked without turning",
]


@pytest.mark.parametrize("lines", SILENT)
def test_what_contradicts_nothing_is_silent(yard: Workshop, lines: str) -> None:
    """Higher, equal, loosened between, confirmed, or no further apart than two readings of a dial are."""
    act(yard, lines)

    assert [] == findings(yard, rule="workshop_rules/tightened-again")


def test_a_strike_of_either_answers_it(yard: Workshop) -> None:
    """The second was mistyped."""
    act(yard, "axle-nut 118 N·m with W-1")
    play(yard, "2031-04-02 10:03 job 1 axle-nut 99 N·m with W-1 by P-2\n2031-04-02 10:04 line 1 struck: slip by P-2")

    assert [] == findings(yard, rule="workshop_rules/tightened-again")


def test_a_loosening_by_another_job_lies_between(yard: Workshop) -> None:
    """What it undid is not what the second pass stands on."""
    act(yard, "axle-nut 118 N·m with W-1")
    play(
        yard,
        f"{OPENED.replace('job 1', 'job 2').replace('10:00', '10:20')}2031-04-02 10:21 axle-nut loosened: x by P-2",
    )
    play(yard, "2031-04-02 10:30 job 1 axle-nut 99 N·m with W-1 by P-2")

    assert [] == findings(yard, rule="workshop_rules/tightened-again")


def test_after_a_ride_a_joint_may_turn_at_less(yard: Workshop) -> None:
    """Settling takes some of it: the re-check is compared with itself alone."""
    act(yard, "axle-nut 108 N·m with W-1")
    play(yard, "2031-04-02 11:00 job 1 handed over at 12010 km with stops: fetched at once by P-1")
    play(yard, "2031-04-09 11:00 job 1 axle-nut 104 N·m with W-1 by P-2")

    assert [] == findings(yard, rule="workshop_rules/tightened-again")


DISTURBED = (
    "locked bolt: a wrench was put on it again after its final torque, and it is threadlocked. Loosen it, clean the "
    "thread, take new threadlocker, tighten and mark it; next time look at the mark instead."
)


@pytest.mark.parametrize(
    "line",
    [
        "locked-bolt 30 N·m with W-1 clicked without turning",
        "locked-bolt 30 N·m with W-1",
        "locked-bolt checked clicked without turning",
    ],
)
def test_threadlocker_under_load_again_stops(yard: Workshop, line: str) -> None:
    """By a pass or by the second person's click, whether it moved or not."""
    act(yard, "locked-bolt 30 N·m with W-1")
    play(yard, f"2031-04-02 10:30 job 1 {line} by P-3")

    assert [DISTURBED] == findings(yard, rule="workshop_rules/threadlocker-disturbed", weight="stop")


def test_threadlocker_done_anew_and_looked_at_is_silent(yard: Workshop) -> None:
    """Loosened and tightened again, its mark seen; and a click on any other fastener is a check like others."""
    act(
        yard,
        "locked-bolt 30 N·m with W-1\nlocked-bolt clicked without turning\nlocked-bolt loosened: lock anew\n"
        "locked-bolt 30 N·m with W-1\nlocked-bolt mark intact\n"
        "axle-nut 108 N·m with W-1\naxle-nut clicked without turning",
    )
    play(yard, "2031-04-02 10:30 job 1 locked-bolt checked mark seen by P-3")

    assert [] == findings(yard, rule="workshop_rules/threadlocker-disturbed")


GONE = """
2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
2031-04-02 10:01 tab-washer fitted washer by P-2
2031-04-02 10:02 sprocket-nut 100 N·m with W-1 by P-2
2031-04-02 10:03 slack measured 37 mm by P-2
2031-04-02 10:04 rear-axle-nut 108 N·m with W-1 by P-2
2031-04-02 10:05 caliper-bolt 30 N·m with W-1 then 45° by P-2
2031-04-02 10:20 handed over at 12010 km with stops: fetched at once by P-1
2031-04-05 10:00 ridden to 12100 km by owner
"""


@pytest.mark.parametrize(
    ("line", "says"),
    [
        (
            "sprocket-nut 100 N·m with W-1 clicked without turning",
            "front sprocket nut: by its mark only at a re-check, for it is held by its tab washer",
        ),
        (
            "caliper-bolt 30 N·m with W-1 then 45°",
            "caliper bolt: by its mark only at a re-check, for it was tightened by angle",
        ),
        ("rear-axle-nut 108 N·m with W-1 clicked without turning", ""),
    ],
    ids=["tab-washer", "angle", "plain"],
)
def test_a_wrench_on_what_only_its_mark_tells_is_a_caution(workshop: Workshop, line: str, says: str) -> None:
    play(workshop, f"{GONE}2031-04-05 11:00 {line} by P-2")
    found = findings(workshop, rule="workshop_rules/by-its-mark-only", weight="caution")

    assert [True] * bool(says) == [each.startswith(says) for each in found]


def test_what_was_undone_and_done_anew_after_the_hand_over_is_no_trial(workshop: Workshop) -> None:
    play(
        workshop,
        GONE
        + """
        2031-04-05 11:00 sprocket-nut loosened: mark moved by P-2
        2031-04-05 11:01 tab-washer fitted washer by P-2
        2031-04-05 11:02 sprocket-nut 100 N·m with W-1 by P-2
        """,
    )

    assert [] == findings(workshop, rule="workshop_rules/by-its-mark-only")


LOOSE = "rear-axle-nut loosened: slack by P-2"
NUT = "rear-axle-nut 108 N·m with W-1 by P-2"


@pytest.mark.parametrize(
    ("lines", "speaks"),
    [
        (["slack measured 50 mm by P-2", "slack measured 37 mm by P-2"], True),
        (["slack measured 50 mm by P-2", NUT, "slack measured 37 mm by P-2"], True),
        (
            ["slack measured 50 mm by P-2", LOOSE, "slack measured 37 mm by P-2", NUT, "slack measured 36 mm by P-2"],
            False,
        ),
        (["slack measured 50 mm by P-2", "ridden to 12200 km by owner", "slack measured 51 mm by P-2"], False),
        (["slack measured 40 mm ± 1 mm by P-2", "slack measured 39.5 mm by P-2"], False),
        (["slack measured 40 mm by P-2", "slack measured 40 mm, again by P-2"], False),
        (["wear measured 2 mm by P-2", "wear measured 1 mm by P-2"], False),
    ],
    ids=["set", "tightened-only", "loosened", "ridden", "repeats", "same", "not-the-axle"],
)
def test_slack_that_changed_on_a_tight_axle_is_asked_about(workshop: Workshop, lines: list[str], speaks: bool) -> None:  # noqa: FBT001
    """At a re-check: nothing moves an axle whose nut stands."""
    acts = [f"2031-04-05 11:{minute:02} {line}" for minute, line in enumerate(lines)]
    play(workshop, GONE + "\n".join(acts))
    says = "chain slack: changed to 37 mm without the rear axle nut loosened: how was it set?"

    assert [says] * speaks == findings(workshop, rule="workshop_rules/set-without-loosening", weight="caution")
