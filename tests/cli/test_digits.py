"""Digits are 0 to 9 at every door: what Python reads besides is refused in a sentence, and nothing is recorded."""

import subprocess
from collections.abc import Callable
from itertools import count
from pathlib import Path
from random import Random

import pytest

from torqueaudit.model.procedure.kinds import InputSpec
from torqueaudit.model.procedure.toml.torque import value_limits
from torqueaudit.model.register.distance import length_m
from torqueaudit.model.register.token import new_token, read_token
from torqueaudit.model.torque.decimals import leading_number
from torqueaudit.model.torque.printed_torque import read_ends
from torqueaudit.model.torque.units import NEWTON_METRE, UnitTable
from torqueaudit.read.number import read_entry_number
from torqueaudit.read.readings import read_reading
from torqueaudit.read.tightening import read_angle
from torqueaudit.testing import play
from torqueaudit.workshop.door.workshop import Workshop

Run = Callable[..., subprocess.CompletedProcess[str]]
UNITS = UnitTable([NEWTON_METRE])
THREE, WIDE = chr(0x663), chr(0xFF13)  # the digit 3, Arabic-Indic and wide
TIGHTEN = ("fastener", "tighten", "1", "rear-axle-nut", "--wrench", "W-1", "--outcome", "turned, then clicked")
READING_ROOMS = ("torqueaudit", "plugins", "labels")
# A telephone number is sought in every script; tomllib's own words are read; the sentence itself seeks a digit of any.
SEEKS_ANY = {"book/written.py", "toml/values.py", "cli/strict.py"}


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("job", "show", THREE), f"job {THREE}: no such job"),
        (("wrench", "show", f"W-{WIDE}"), f"W-{WIDE}: no such wrench"),
        (("vehicle", "show", f"V-{THREE}"), f"V-{THREE}: no such vehicle"),
        (
            ("fastener", "mark", "1", "rear-axle-nut", "intact", "--by", f"P-{THREE}"),
            f"P-{THREE}: nobody of that number",
        ),
        (("fastener", "mark", "1", f"sprocket-bolt-{THREE}", "intact"), f"sprocket-bolt-{THREE}: job 1 has no such"),
        (("fastener", "mark", "1", "rear-axle-nut", "intact", "--at", f"2031-0{THREE}-02 09:15"), "write a time as"),
        (("fastener", "mark", "1", "rear-axle-nut", "intact", "--at", f"{THREE}:15"), "write a time as"),
        (("fastener", "mark", "1", "rear-axle-nut", "intact", "--ago", THREE), "--ago: ٣ is not written in the digits"),
        ((*TIGHTEN, "--shown", f"10{THREE} N·m"), 'not written in the digits 0 to 9; write "103 N·m"'),
        ((*TIGHTEN, "--shown", "98 N·m", "--stage", THREE), "--stage: ٣ is not written in the digits 0 to 9"),
        ((*TIGHTEN, "--shown", "98 N·m", "--adapter", f"5{THREE}@0"), 'not written in the digits 0 to 9; write "53"'),
        ((*TIGHTEN, "--shown", "98 N·m", "--but", f"{THREE}=clicked without turning"), "write 3=clicked"),
        (
            ("ride", "report", "1", "--odometer", f"1{THREE}000 km"),
            'not written in the digits 0 to 9; write "13000 km"',
        ),
        (("wrench", "add", "new", "--kind", "setting", "--lever", f"{THREE}00"), "not written in the digits 0 to 9"),
        (("wrench", "add", "new", "--kind", "setting", "--due", f"203{THREE}-04-02"), "write a date as 2031-04-02"),
        (
            ("wrench", "check", "W-1", "--tester", "bench", "--point", f"100 N·m: 9{WIDE}.1"),
            "not written in the digits",
        ),
        (("settings", "change", "--guard-factor", THREE), "guard factor: "),
        (
            ("settings", "change", "--calibration-months", "1_2"),
            "--calibration-months: 1_2 is not written in the digits",
        ),
        (("job", "strike", "1", f"#{THREE}", "--why", "wrong"), f"#{THREE}: give an entry's number"),
        (("convert", f"8{THREE} lbf·ft", "N·m"), 'not written in the digits 0 to 9; write "83 lbf·ft"'),
        (("setting", "100 N·m", "--length", f"50{THREE}", "--adapter", "50"), 'write "503"'),
        (("clamp", "M12", "--class", "10.9", "--friction", f"0.1{THREE}"), 'write "0.13"'),
        (("chain", "wear", "--pins", f"1{THREE}", "--length", "286.4", "--chain", "525"), "--pins: 1٣ is not written"),
        (
            ("label", "test", "--stock", "a4-3x8", "--out", "x.pdf", "--shift", f"{THREE},1"),
            "write how far to the right",
        ),
    ],
)
def test_other_digits_are_refused_at_the_command_line(
    run: Run, workshop: Workshop, words: tuple[str, ...], says: str
) -> None:
    """A number, a date, an hour, a key or a number of somebody, each refused in one sentence."""
    play(workshop, "2024-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2")
    before = workshop.book.head()
    done = run(*words)

    assert done.returncode in {1, 2}, done
    assert says in done.stderr
    assert 1 == len(done.stderr.strip().splitlines())
    assert before == workshop.book.head()


@pytest.mark.parametrize(
    "read",
    [
        lambda: read_ends(f"9{THREE} … 119 N·m", UNITS),
        lambda: read_ends(f"at least 9{WIDE} N·m", UNITS),
        lambda: value_limits(UNITS.parse("108 N·m"), f"1{THREE} %", UNITS),
        lambda: length_m(f"1{THREE} 000 km"),
        lambda: leading_number(f"{WIDE}7 mm"),
        lambda: read_reading("slack", InputSpec("slack", "mm"), f"{THREE}7 mm"),
        lambda: read_angle(f"9{THREE}"),
        lambda: read_entry_number(f"#{THREE}"),
        lambda: read_token(f"{THREE}{new_token(Random(1))[1:]}"),
    ],
    ids=count(1),
)
def test_other_digits_are_refused_by_every_reader(read: Callable[[], object]) -> None:
    """Of a procedure, a card, a stock or a form."""
    with pytest.raises(ValueError, match=r"digits 0 to 9|is no angle|write an entry's number|token"):
        read()


def test_a_card_line_in_other_digits_is_none(workshop: Workshop) -> None:
    """It is shown as it was written."""
    with pytest.raises(ValueError, match="does not begin with a date"):
        play(workshop, f"202{THREE}-04-02 10:00 job 1 opened axle on V-1 by P-2")
    with pytest.raises(ValueError, match=THREE):
        play(workshop, f"2024-04-02 10:00 job {THREE} opened axle on V-1 by P-2")


def test_nothing_that_is_read_is_sought_in_digits_of_every_script() -> None:
    """What Python's pattern for a digit, isdecimal and isdigit take, int and Decimal take too."""
    found = [
        path.as_posix()
        for room in READING_ROOMS
        for path in (Path(__file__).parents[2] / room).rglob("*.py")
        if "\\d" in path.read_text(encoding="utf-8").replace("[^\\W\\d_]", "")
        and not path.as_posix().endswith(tuple(SEEKS_ANY))
    ]

    assert [] == found
