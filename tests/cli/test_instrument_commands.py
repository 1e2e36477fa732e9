"""What a motorcycle is read off, as it is typed."""

import json
import subprocess
from collections.abc import Callable

Run = Callable[..., subprocess.CompletedProcess[str]]


def test_a_motorcycle_with_an_hour_meter_is_told_in_hours(run: Run) -> None:
    """From entering it to its arrival; what comes next is typed in hours too."""
    number = run("vehicle", "add", "for rough ground", "--model", "Kestrel 500", "--instrument", "hours").stdout[:3]
    run("job", "open", "--vehicle", number, "--procedure", "axle", "--odometer", "118.5 h")
    wrong = run("job", "hand-over", "1", "--odometer", "12 km", "--with-stops", "--why", "towed", "--by", "P-1")
    silent = run("job", "hand-over", "1", "--with-stops", "--why", "towed", "--by", "P-1")
    done = run("job", "hand-over", "1", "--odometer", "118.6 h", "--with-stops", "--why", "towed", "--by", "P-1")
    here = run("vehicle", "arrived", number, "--odometer", "120 h", "--by", "P-2")
    shown = json.loads(run("vehicle", "show", number, "--json").stdout)

    assert f"{number} has an hour meter in h: tell what that shows, like 12.5 h" in wrong.stderr
    assert f"{number}: say what its hour meter shows, in h" in silent.stderr
    assert "left at 118.6 h; re-check due by " in done.stdout
    assert f"{number}: here, at 120 h\n" == here.stdout
    assert ("hours", None, 7200) == (shown["instrument"], shown["odometer_m"], shown["run_min"])
    assert "hour meter" in run("vehicle", "show", number).stdout


def test_a_motorcycle_without_an_instrument_is_asked_for_nothing(run: Run) -> None:
    """Nor told to type it."""
    number = run("vehicle", "add", "bare", "--model", "Kestrel 500", "--instrument", "none").stdout[:3]
    run("job", "open", "--vehicle", number, "--procedure", "axle")
    done = run("job", "hand-over", "1", "--with-stops", "--why", "towed", "--by", "P-1")
    here = run("vehicle", "arrived", number, "--by", "P-2")

    assert f"{number}: here\n" == here.stdout
    assert "left; re-check due by " in done.stdout
    assert "--odometer" not in run("job", "show", "1").stdout


def test_an_instrument_that_was_replaced_is_told_and_taken_back(run: Run) -> None:
    """By what both showed."""
    run("job", "open", "--vehicle", "V-1", "--procedure", "axle", "--odometer", "12000 km")
    words = ("vehicle", "instrument", "V-1", "--by", "P-2")
    silent = run(*words, "--first", "0 km")
    done = run(*words, "--last", "12 060 km", "--first", "10 mi", "--kind", "mi", "--json")
    shown = run("vehicle", "show", "V-1").stdout
    entry = run("ledger", "show").stdout.count("\n")
    back = run("vehicle", "strike", "V-1", f"#{entry}", "--why", "another one", "--by", "P-2")

    assert "V-1: say what its odometer shows, in km" in silent.stderr
    assert {"vehicle": "V-1", "instrument": "mi"} == json.loads(done.stdout), done.stderr
    assert "odometer in mi" in shown
    assert "at 10 mi" in shown
    assert "nothing says any more that its instrument was replaced then" in back.stdout, back.stderr
