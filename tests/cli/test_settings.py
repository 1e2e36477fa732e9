"""`torqueaudit settings change`: plugins blocked and forgone, and the rules that nobody can do without."""

import json
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from torqueaudit.model.procedure.toml.file import LARGEST_GUARD_FACTOR
from torqueaudit.model.register.bounds import NUMBERS
from torqueaudit.model.register.settings import Settings

Run = Callable[..., subprocess.CompletedProcess[str]]


def chosen(run: Run) -> dict[str, Any]:
    """The settings in force, as the command prints them."""
    found: dict[str, Any] = json.loads(run("settings", "show", "--json").stdout)
    return found


def change(run: Run, *words: str) -> None:
    """A change by the foreman, which succeeds."""
    done = run("settings", "change", *words, "--by", "P-1")
    assert (0, "") == (done.returncode, done.stderr)


def states(run: Run) -> dict[str, str]:
    """Each plugin with its state."""
    return {each["name"]: each["state"] for each in json.loads(run("plugins", "--json").stdout)}


def test_a_plugin_is_blocked_and_unblocked(run: Run) -> None:
    """It is loaded no more by any command on this book, until it is unblocked."""
    change(run, "--block", "qr_labels", "--block", "wrench_adapter")
    blocked, listed = chosen(run)["blocked_plugins"], states(run)
    change(run, "--unblock", "qr_labels")

    assert ["qr_labels", "wrench_adapter"] == blocked
    assert ("blocked", "loaded") == (listed["qr_labels"], listed["workshop_rules"])
    assert states(run)["qr_labels"] == "loaded"
    assert ["wrench_adapter"] == chosen(run)["blocked_plugins"]


def test_a_plugin_that_is_not_there_is_not_blocked(run: Run) -> None:
    """A misspelt name would block nothing, and nobody would know."""
    result = run("settings", "change", "--block", "imperial", "--by", "P-1")

    assert (1, "") == (result.returncode, result.stdout)
    assert "imperial: no such plugin is installed" in result.stderr


def test_a_plugin_is_forgone_and_expected_again(run: Run) -> None:
    """The others stay expected."""
    before = chosen(run)["expected_plugins"]
    change(run, "--forgo", "wrench_adapter")
    without = chosen(run)["expected_plugins"]
    change(run, "--expect", "wrench_adapter")

    assert sorted(set(before) - {"wrench_adapter"}) == without
    assert sorted(before) == chosen(run)["expected_plugins"]


def test_only_a_foreman_changes_settings(run: Run) -> None:
    """P-2 is a mechanic."""
    before = chosen(run)
    done = run("settings", "change", "--block", "workshop_rules")

    assert "only a foreman or setup may do this" in done.stderr
    assert done.returncode != 0
    assert before == chosen(run)


def test_a_blocked_plugin_that_is_forgone_stops_nothing(run: Run) -> None:
    """The workshop chose to do without it."""
    assert run("job", "open", "--vehicle", "V-1", "--procedure", "axle").returncode == 0
    change(run, "--block", "wrench_adapter")
    expected_still = run("job", "show", "1").stdout
    change(run, "--forgo", "wrench_adapter")

    assert "plugin wrench_adapter: is expected by this book and blocked" in expected_still
    assert "plugin wrench_adapter" not in run("job", "show", "1").stdout


def test_the_workshops_own_rules_cannot_be_forgone(run: Run) -> None:
    """Blocked and forgone, they still stop every job."""
    assert run("job", "open", "--vehicle", "V-1", "--procedure", "axle").returncode == 0
    change(run, "--block", "workshop_rules", "--forgo", "workshop_rules")

    assert "plugin workshop_rules: is expected by this book and blocked" in run("job", "show", "1").stdout


@pytest.mark.parametrize("expected", [(), ("wrench_adapter",), ("workshop_rules",)])
def test_settings_always_expect_the_rules(expected: tuple[str, ...]) -> None:
    """Whatever was chosen."""
    assert {*expected, "workshop_rules"} == Settings(expected_plugins=expected).expects


def test_the_settings_of_wrenches_and_of_judging(run: Run) -> None:
    """A comma is a decimal sign; what is not named stays."""
    numbers = ("--calibration-months", "6", "--calibration-cycles", "2500", "--wrench-due-soon-days", "30")
    change(run, "--guard-factor", "0,5", "--correct-deviation", *numbers)
    change(run, "--leave-deviation")
    found = chosen(run)

    assert ("0.5", False) == (found["guard_factor"], found["correct_deviation"])
    assert (6, 2500, 30) == tuple(
        found[name] for name in ("calibration_months", "calibration_cycles", "wrench_due_soon_days")
    )


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--guard-factor", "3.1"), "3.1: a guard factor is 0 (simple acceptance) to 3"),
        (("--guard-factor", "-1"), "a guard factor is 0"),
        (("--guard-factor", "wide"), "is not a plain number"),
        (("--own-tolerance", "100"), "between 0.1 and 99 %"),
        (("--own-tolerance", "NaN"), "is not a plain number"),
        (("--calibration-months", "0"), "a calibration holds 1 to 24 months"),
        (("--calibration-cycles", "20001"), "a calibration holds 1 to 20000 cycles"),
        (("--wrench-due-soon-days", "-1"), "0 to 180 days before it ends"),
        (("--check-seconds", "601"), "checks less than 0 to 600 seconds apart are told"),
    ],
)
def test_settings_that_are_nonsense_are_one_sentence(run: Run, words: tuple[str, str], says: str) -> None:
    """Nothing is recorded."""
    before = chosen(run)
    done = run("settings", "change", *words, "--by", "P-1")

    assert (1, "") == (done.returncode, done.stdout)
    assert says in done.stderr
    assert before == chosen(run)


@pytest.mark.parametrize(
    ("first", "then"),
    [
        ((), ("--address", "http://yard.local/shop/", "--upper-case-labels")),
        (("--upper-case-labels",), ("--address", "http://yard.local/shop")),
        (("--address", "http://yard.local/shop"), ("--upper-case-labels",)),
    ],
)
def test_labels_in_capitals_need_a_path_in_capitals(run: Run, first: tuple[str, ...], then: tuple[str, ...]) -> None:
    """Refused in whatever order they are chosen; a path in capitals is taken."""
    if first:
        change(run, *first)
    before = chosen(run)
    done = run("settings", "change", *then, "--by", "P-1")

    assert (1, before) == (done.returncode, chosen(run))
    assert "http://yard.local/shop" in done.stderr
    assert "choose --lower-case-labels, or an address whose path is in capitals or that has none" in done.stderr
    change(run, "--address", "http://yard.local/SHOP", "--upper-case-labels")
    assert chosen(run)["upper_case_labels"]


def test_the_guard_factor_has_one_limit() -> None:
    """The workshop may choose what a procedure may demand."""
    assert NUMBERS["guard_factor"].highest == LARGEST_GUARD_FACTOR


def test_printer_and_stock_of_the_pages_are_chosen_and_taken_back(run: Run, tmp_path: Path) -> None:
    """A stock of the workshop's own by the whole path of its file: the pages are served from another folder."""
    own = tmp_path / "yard.toml"
    own.write_text(run("label", "stocks", "--text", "roll-62x29").stdout, encoding="utf-8")
    change(run, "--label-printer", "front desk", "--label-stock", "roll-62x29")
    first = chosen(run)
    change(run, "--label-printer", "", "--label-stock", str(own))
    second = chosen(run)

    assert ("front desk", "roll-62x29") == (first["label_printer"], first["label_stock"])
    assert ("", str(own)) == (second["label_printer"], second["label_stock"])


@pytest.mark.parametrize(
    ("stock", "says"),
    [
        ("roll-62x92", 'roll-62x92: no such label stock; did you mean "roll-62x29"?'),
        ("papyrus", "papyrus: no such label stock; `torqueaudit label stocks` lists them"),
        ("yard.toml", "yard.toml: the pages find no such file; give its whole path"),
        ("/nowhere/yard.toml", "/nowhere/yard.toml: the pages find no such file"),
    ],
)
def test_a_stock_that_is_not_there_is_not_chosen(run: Run, stock: str, says: str) -> None:
    """In one sentence; what was chosen before stays."""
    done = run("settings", "change", "--label-stock", stock, "--by", "P-1")

    assert (1, "") == (done.returncode, done.stdout)
    assert says in done.stderr
    assert "" == chosen(run)["label_stock"]


@pytest.mark.parametrize(
    "address",
    ["http://", "http://a..example", "http://[::1", "http://yard:port", "http://yard:99999", "http://the yard"],
)
def test_an_address_that_no_phone_can_open_is_refused(run: Run, address: str) -> None:
    """Every page and every label would break off."""
    done = run("settings", "change", "--address", address, "--by", "P-1")

    assert 1 == done.returncode
    assert f"{address}: no phone can open this address; write it as http://192.168.1.20:8080" in done.stderr
