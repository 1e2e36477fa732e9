"""`recheck`, as it is typed: what was agreed on the telephone, and what another workshop found."""

import json
import subprocess
from collections.abc import Callable

import pytest

Run = Callable[..., subprocess.CompletedProcess[str]]


@pytest.fixture
def left(run: Run) -> Run:
    """A job that was released and handed over a minute ago."""
    passed = ("--wrench", "W-1", "--shown", "108 N·m", "--outcome", "turned, then clicked")
    run("job", "open", "--vehicle", "V-1", "--procedure", "axle", "--odometer", "12000 km")
    run("fastener", "tighten", "1", "rear-axle-nut", *passed)
    run("fastener", "mark", "1", "rear-axle-nut", "intact")
    run("check", "record", "1", "rear-axle-nut", "mark seen", "--by", "P-3")
    run("job", "release", "1", "--by", "P-1")
    run("job", "hand-over", "1", "--odometer", "12010 km", "--by", "P-1")
    return run


def test_a_foreman_puts_a_re_check_off_to_an_odometer(left: Run) -> None:
    """The day stays as it is, and the sheet says by whom and why."""
    done = left("recheck", "postpone", "1", "--until-odometer", "12 600 km", "--why", "abroad", "--by", "P-1")
    sheet = left("job", "show", "1").stdout

    assert "  re-check: postponed until 12600 km; postponed, due by " in done.stdout, done.stderr
    assert "re-check: postponed, due by " in sheet
    assert "postponed until 12600 km on " in sheet
    assert " by P-1: abroad  #" in sheet


def test_what_another_workshop_found_is_typed_in_two_words(left: Run) -> None:
    """The sheet asks for it, and it concludes the re-check."""
    asked = left("recheck", "referred", "1", "--to", "the next valley", "--why", "nearer", "--by", "P-2")
    done = left("recheck", "answered", "1", "in order", "--odometer", "12 100 km", "--by", "P-2", "--json")

    assert 'torqueaudit recheck answered 1 "…"   (in order, or fault found --remark "…")' in asked.stdout
    kept = json.loads(left("job", "show", "1", "--json").stdout)["recheck"]
    assert 0 == done.returncode, done.stderr
    what = kept["arranged"]["what"]
    assert ("done", True, "another workshop found it in order") == (kept["state"], kept["done_elsewhere"], what)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("postpone", "1", "--why", "abroad", "--by", "P-1"), "say until which day or which odometer the re-check is"),
        (("postpone", "1", "--until", "soon", "--why", "abroad", "--by", "P-1"), "soon: write a date as 2031-04-02"),
        (("refused", "1", "--why", " ", "--by", "P-2"), "say what the owner says"),
        (("answered", "1", "in order", "--by", "P-2"), "job 1: its re-check was not handed to another workshop"),
        (("answered", "1", "broken", "--by", "P-2"), "broken"),
        (("refused", "7", "--why", "no time", "--by", "P-2"), "job 7: no such job"),
    ],
)
def test_what_cannot_be_is_one_sentence(left: Run, words: tuple[str, ...], says: str) -> None:
    """And nothing is recorded."""
    done = left("recheck", *words)

    assert done.returncode
    assert says in done.stderr
    assert "Traceback" not in done.stderr
    assert "re-check: due by " in left("job", "show", "1").stdout
