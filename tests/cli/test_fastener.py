"""`fastener tighten` with what is told beyond a torque."""

import json
import subprocess
from collections.abc import Callable
from pathlib import Path

from torqueaudit.testing import procedure_head

Run = Callable[..., subprocess.CompletedProcess[str]]
TIGHTEN = ("fastener", "tighten", "1", "caliper-bolt", "--wrench", "W-2", "--outcome", "value shown")


def test_an_angle_and_the_torque_at_its_end_are_told_and_shown(run: Run) -> None:
    """30 N·m, then 45°, then 74 N·m."""
    run("job", "open", "--procedure", "final-drive", "--vehicle", "V-1")
    told = run(*TIGHTEN, "--shown", "30 N·m", "--angle", "45", "--final-torque", "74 N·m")
    shown = json.loads(run("job", "show", "1", "--json").stdout)
    bolt = next(each for each in shown["fasteners"] if each["position"] == "caliper-bolt")

    assert told.returncode == 0, told.stderr
    assert bolt["applied"] == "30 N·m + 45°, then 74 N·m"
    assert {"angle_deg": "45", "final_nm": "74"} == {name: bolt[name] for name in ("angle_deg", "final_nm")}


def test_a_slot_of_what_is_no_castle_nut_is_refused(run: Run) -> None:
    """One sentence; drag likewise."""
    run("job", "open", "--procedure", "final-drive", "--vehicle", "V-1")
    slot = run(*TIGHTEN, "--shown", "30 N·m", "--slot", "aligned")
    drag = run(*TIGHTEN, "--shown", "30 N·m", "--drag", "8 N·m")

    assert (1, 1) == (slot.returncode, drag.returncode)
    assert "caliper bolt: is no castle nut; leave the slot out" in slot.stderr
    assert "no drag is added, leave it out" in drag.stderr


def test_the_torque_at_the_slot_of_a_castle_nut_is_told_and_shown(run: Run, tmp_path: Path) -> None:
    """62 N·m, then 78 N·m at the slot on a dial of ±6 %: in the sheet, in both kinds of JSON and line by line."""
    nut = 'torque = "60 … 80 N·m"\nlocking = "castle nut"\nsource = "manual"\npage = "1"\n'
    text = f'{procedure_head("castle", "A castle nut")}[[work]]\ntighten = "axle-nut"\nname = "axle nut"\n{nut}'
    (tmp_path / "castle.toml").write_text(text, encoding="utf-8")
    run("procedure", "enter", str(tmp_path / "castle.toml"))
    run("job", "open", "--procedure", "castle", "--vehicle", "V-1")
    words = ("--wrench", "W-2", "--shown", "62 N·m", "--slot", "turned on", "--slot-torque", "78 N·m")
    told = run("fastener", "tighten", "1", "axle-nut", *words, "--outcome", "value shown")
    (nut_shown,) = json.loads(run("job", "show", "1", "--json").stdout)["fasteners"]
    (each,) = json.loads(run("tightening", "show", "1", "axle-nut", "--json").stdout)["passes"]
    slot = {"slot_nm": "78", "slot_expanded_nm": each["slot_expanded_nm"], "slot_below": False}

    assert told.returncode == 0, told.stderr
    assert "then 78.0 N·m ± 3.6 N·m at the slot" in told.stdout
    assert "then 78.0 N·m ± 3.6 N·m at the slot" in run("job", "show", "1").stdout
    assert "then 78.0 N·m ± 3.6 N·m at the slot" in run("tightening", "show", "1", "axle-nut").stdout
    assert slot == {name: nut_shown[name] for name in slot} == {name: each[name] for name in slot}
    assert each["verdict"] == "in"


def test_an_adapter_whose_two_numbers_may_have_changed_places_is_asked_back(run: Run) -> None:
    """45@60 is refused with both ways to write it; what is recorded is said back."""
    run("job", "open", "--procedure", "axle", "--vehicle", "V-1")
    words = (
        "fastener",
        "tighten",
        "1",
        "rear-axle-nut",
        "--wrench",
        "W-1",
        "--shown",
        "98 N·m",
        "--outcome",
        "turned, then clicked",
    )
    asked = run(*words, "--adapter", "45@60")
    told = run(*words, "--adapter", "60@45")

    assert (2, "45@60: is it 45 mm long at 60°, or 60 mm at 45°? Write 45mm@60° or 60@45\n") == (
        asked.returncode,
        asked.stderr,
    )
    assert [
        "job 1: recorded. It is open, with 2 stops standing.",
        "  bike-1 (V-1), Rear axle nut",
        "  rear axle nut: 106.3 N·m ± 5.1 N·m (W-1 at 98 N·m, adapter 60 mm at 45°), in",
    ] == told.stdout.splitlines()[:3]


def test_a_vehicle_that_is_here_again_is_said_to_be_so(run: Run) -> None:
    """The word --here tells it, and whoever meant another motorcycle notices."""
    run("job", "open", "--procedure", "axle", "--vehicle", "V-1", "--odometer", "12000 km")
    run("job", "hand-over", "1", "--odometer", "12010 km", "--with-stops", "--why", "towed", "--by", "P-1")
    loosened = run("fastener", "loosen", "1", "rear-axle-nut", "--why", "wheel out", "--here")
    marked = run("fastener", "tighten", "1", "rear-axle-nut", "--outcome", "no torque wrench fits", "--json")
    told = json.loads(marked.stdout)

    assert ["  bike-1 (V-1), here again, Rear axle nut", "  rear axle nut: loosened"] == loosened.stdout.splitlines()[
        1:3
    ]
    assert ("V-1", "bike-1", "rear axle nut: no torque wrench fits", False) == (
        told["vehicle"],
        told["vehicle_tag"],
        told["understood"],
        told["arrived"],
    )


def test_a_pass_told_twice_is_asked_back_and_recorded_with_one_word_more(run: Run) -> None:
    """The arrow key and return: nothing is recorded, and what to add is said."""
    run("job", "open", "--procedure", "axle", "--vehicle", "V-1")
    words = ("fastener", "tighten", "1", "rear-axle-nut", "--outcome", "no torque wrench fits")
    run(*words)
    asked = run(*words)
    again = run(*words, "--again")

    assert (1, "") == (asked.returncode, asked.stdout)
    assert asked.stderr.startswith("rear axle nut: P-2 told the same at ")
    assert asked.stderr.endswith("Was it done again, or is it the same one? If it was done again, add --again.\n")
    assert (0, "  rear axle nut: no torque wrench fits") == (again.returncode, again.stdout.splitlines()[2])


def test_a_forgotten_adapter_is_asked_for(run: Run, tmp_path: Path) -> None:
    """Where the procedure says that one is needed; told so, a pass without one is taken."""
    work = procedure_head("needed") + (
        '[[work]]\ntighten = "nut"\nname = "nut"\ntorque = "100 N·m"\ntolerance = "10 %"\nadapter = "needed"\n'
        'source = "manual"\npage = "1"\n'
    )
    (tmp_path / "needed.toml").write_text(work, encoding="utf-8")
    run("procedure", "enter", str(tmp_path / "needed.toml")).check_returncode()
    opened = run("job", "open", "--procedure", "needed", "--vehicle", "V-1")
    words = (
        "fastener",
        "tighten",
        "1",
        "nut",
        "--wrench",
        "W-1",
        "--shown",
        "100 N·m",
        "--outcome",
        "turned and clicked",
    )
    asked = run(*words)
    told = run(*words, "--no-adapter")

    assert "--adapter …@…" in opened.stdout
    assert asked.stderr.endswith("Say which with --adapter, or add --no-adapter if none was on the wrench\n")
    assert (1, 0) == (asked.returncode, told.returncode)
