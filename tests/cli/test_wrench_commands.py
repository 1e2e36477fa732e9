"""`torqueaudit wrench`: every command as its user runs it."""

import json
import re
import subprocess
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from torqueaudit.workshop.wrenches.wrench import later_by

Run = Callable[..., subprocess.CompletedProcess[str]]
POINT = "100 N·m: 97.2 98.1 97.6 98.4 97.9; W 1.4 %; b_ep 0.1 %"
OUT = "100 N·m: 95 95 95"
# The command takes the machine's clock, so the days go by it; yesterday in UTC has come in every zone.
ON = (datetime.now(UTC) - timedelta(days=1)).date()
DUE = later_by(ON, 12)
CALIBRATE = ("wrench", "calibrate", "W-1", "--on", str(ON), "--by", "P-1")


def said(run: Run, *words: str) -> str:
    """What a command answers that succeeds."""
    done = run(*words)
    assert (0, "") == (done.returncode, done.stderr)
    return done.stdout


def test_a_wrench_is_entered_and_shown(run: Run) -> None:
    """The state comes first, in big words; then what it is."""
    words = ("--kind", "setting", "--range", "10 N·m", "50 N·m", "--scale", "0.5 N·m", "--scale", "1 lbf·ft")
    more = ("--lever", "300", "--direction", "right", "--owner", "the yard next door", "--by", "P-1")
    assert "W-4: short\n" == said(run, "wrench", "add", "short", *words, *more)
    lines = said(run, "wrench", "show", "W-4").splitlines()

    assert "W-4 (short): NOT SHOWN TO BE IN CALIBRATION" == lines[0]
    for part in (
        "±4 % (ISO 6789)",
        "10 … 50 N·m",
        "0.5 N·m, 1 lbf·ft",
        "300 mm",
        "to the right only",
        "the yard next door, no certificate",
        "at least 0 of 5000 cycles",
    ):
        assert part in "\n".join(lines)


def test_a_calibration_is_answered_and_shown_with_its_points(run: Run, tmp_path: Path) -> None:
    """Deviation, W and W′ of each point; where the certificate lies."""
    scan = tmp_path / "c.pdf"
    scan.write_bytes(b"%PDF-1.7 invented")
    words = ("--certificate", "C-17", "--laboratory", "Invented Lab", "--as-found", POINT, "--file", str(scan))
    answer = said(run, *CALIBRATE, *words)
    shown = said(run, "wrench", "show", "W-1")

    assert answer.startswith(f"W-1: calibrated on {ON}, valid until {DUE}\n")
    assert "Remark: no point at 20 N·m, 120 N·m, 200 N·m" in answer
    assert "100 N·m    +2.21 %   1.40 %   3.71 %   97.2 98.1 97.6 98.4 97.9" in shown
    assert str(tmp_path / "yard.book.papers") in shown
    assert "mean dev." in shown
    assert re.search(rf"{ON}  #\d+ +calibrated     C-17 by Invented Lab; valid until {DUE}", shown)


def test_a_failed_calibration_says_so_first(run: Run) -> None:
    """And names where to look for what is in doubt."""
    first, second, third, *_ = said(run, *CALIBRATE, "--as-found", OUT).splitlines()

    expected = f"outside its permissible deviation at its calibration on {ON} (+5.263 % at 100 N·m)"
    assert f"W-1: WITHDRAWN, {expected}" == first
    assert "Found outside its permissible deviation: +5.263 % at 100 N·m." == second
    assert "It did nothing in this book since its last good look." == third
    assert f"WITHDRAWN: {expected}" in said(run, "wrench", "list")


def test_check_and_estimate_and_mishaps(run: Run) -> None:
    """Each is one sentence, and stands in the wrench's history."""
    checked = said(run, "wrench", "check", "W-1", "--tester", "bench tester", "--point", "100 N·m: 99 99 99")
    estimated = said(run, "wrench", "estimate", "W-1", "300", "--why", "lent out", "--by", "P-1")
    dropped = said(run, "wrench", "dropped", "W-1", "--why", "off the bench", "--by", "P-4")
    overloaded = said(run, "wrench", "overloaded", "W-2", "--why", "pipe on the handle")
    withdrawn = said(run, "wrench", "withdraw", "W-3", "--why", "lost")
    shown = said(run, "wrench", "show", "W-1")

    assert "inside its permissible deviation" in checked
    assert "W-1: at least 300 cycles more\n" == estimated
    assert "W-1: dropped; put it aside, it is withdrawn until it is calibrated\n" == dropped
    assert "W-2: overloaded; put it aside, it is withdrawn until it is calibrated\n" == overloaded
    assert "W-3: withdrawn\n" == withdrawn
    assert "W-1 (blue): WITHDRAWN\n  dropped on " in shown
    assert "at least 300 of 5000 cycles" in shown
    assert "use estimated  at least 300 cycles beside the book: lent out" in shown


def test_what_it_was_used_on_is_listed_by_job_and_day(run: Run) -> None:
    """And what is in doubt with what it made of the torque."""
    said(run, "job", "open", "--vehicle", "V-1", "--procedure", "axle", "--odometer", "12 000 km")
    words = ("--wrench", "W-1", "--shown", "108 N·m", "--outcome", "turned, then clicked")
    said(run, "fastener", "tighten", "1", "rear-axle-nut", *words)
    before = said(run, "wrench", "show", "W-1")
    answer = said(run, "wrench", "check", "W-1", "--tester", "bench tester", "--point", "108 N·m: 96.428571")
    after = said(run, "wrench", "show", "W-1")

    assert "In doubt: 1 pass, outside its limits on job 1; `torqueaudit wrench show W-1` lists them." in answer
    assert "Used since it was last known to be good\n" in before
    assert "rear-axle-nut" in before
    assert "In doubt" not in before
    assert "96.4 N·m ± 4.5 N·m with +12 %, OUTSIDE" in after


def newest_of(run: Run, number: str) -> str:
    """The number of the newest entry in a wrench's history, as it is printed."""
    *_, newest = re.finditer(r"#\d+", said(run, "wrench", "show", number))
    return newest[0]


def test_a_mistyped_entry_is_struck_and_stays_in_sight(run: Run) -> None:
    """By the number that `show` prints; the answer says how the wrench stands now."""
    said(run, "wrench", "dropped", "W-1", "--why", "off the bench", "--by", "P-4")
    number = newest_of(run, "W-1")
    answer = said(run, "wrench", "strike", "W-1", number, "--why", "it was W-2", "--by", "P-1")
    shown = said(run, "wrench", "show", "W-1")

    assert f"W-1: {number} (mishap) is struck and stays in its history; it is not withdrawn\n" == answer
    assert "W-1 (blue): IN USE" in shown
    assert re.search(rf"{number} +dropped        STRUCK on \S+ by #\d+ \(it was W-2\): off the bench", shown)


def test_a_calibration_without_as_found_lists_what_is_not_known(run: Run, today: date) -> None:
    """After a drop, at once and on the sheet."""
    said(run, "job", "open", "--vehicle", "V-1", "--procedure", "axle", "--odometer", "12 000 km")
    words = ("--wrench", "W-1", "--shown", "108 N·m", "--outcome", "turned, then clicked")
    said(run, "fastener", "tighten", "1", "rear-axle-nut", *words)
    said(run, "wrench", "dropped", "W-1", "--why", "off the bench")
    answer = said(run, "wrench", "calibrate", "W-1", "--on", str(today), "--certificate", "C-1", "--by", "P-1")

    why = f"the wrench was dropped on {today} (off the bench)"
    assert (
        f"Not known: {why}, and this calibration does not say how it was found there. 1 pass since its last good"
        in answer
    )
    assert re.search(rf"{today}  job 1 +rear-axle-nut", answer)
    assert "Not known: done before a calibration that does not say how it was found there" in said(
        run, "wrench", "show", "W-1"
    )


def test_a_wrench_that_was_overloaded_says_so_until_it_is_put_aside(run: Run, today: date) -> None:
    """On its sheet, in the list of all, at the bench and with each later pass; then it is withdrawn."""
    said(run, "job", "open", "--vehicle", "V-1", "--procedure", "axle", "--odometer", "12 000 km")
    shown = ("--wrench", "W-1", "--outcome", "turned, then clicked", "--shown")
    at_once = said(run, "fastener", "tighten", "1", "rear-axle-nut", *shown, "210 N·m")
    said(run, "fastener", "loosen", "1", "rear-axle-nut", "--why", "too tight")
    later = said(run, "fastener", "tighten", "1", "rear-axle-nut", *shown, "108 N·m")
    sheet, every = said(run, "wrench", "show", "W-1"), said(run, "wrench", "list")
    bench = said(run, "setting", "1", "rear-axle-nut", "--wrench", "W-1")
    where = f"on job 1 (rear-axle-nut, {today})"
    says = f"was used at 210 N·m {where}, above the 200 N·m it reaches, and nobody has looked at it since"

    aside = "`torqueaudit wrench overloaded W-1 --why …` puts it aside."
    assert f"This overloads it: {aside}" in at_once
    assert f"{says}. It is in doubt until it is checked: {aside}" in later
    assert f"  OVERLOADED: it {says}.\n  Check it; or {aside}\n" in sheet
    assert ["W-1"] == [line[:3] for line in every.splitlines() if line.endswith("OVERLOADED, put it aside or check it")]
    assert "Rather take W-2 (" in bench.splitlines()[1]
    assert f"Wrench W-1 {says}. Put it aside, or check it before it is used." in bench
    said(run, "wrench", "overloaded", "W-1", "--why", "set to 210")

    assert "nobody has looked at it since" not in said(run, "wrench", "show", "W-1")


def test_a_due_date_years_ahead_is_cut_and_said(run: Run, today: date) -> None:
    """It holds for twelve months from today."""
    answer = said(run, "wrench", "add", "x", "--kind", "setting", "--due", "2099-12-31", "--by", "P-1")
    due = later_by(today, 12)

    remark = f"its calibration counts until {due} only, not until 2099-12-31, for one holds at most 12 months"
    assert f"W-4: x\nRemark: {remark}.\n" == answer


def test_every_reason_that_is_asked_for_has_an_example(run: Run) -> None:
    """In the help of its command."""
    for command in ("dropped", "overloaded", "withdraw", "estimate", "strike"):
        assert "uch as “" in re.sub(r"\s+", " ", said(run, "wrench", command, "--help"))


@pytest.mark.parametrize(
    "words",
    [
        ("add", "x", "--kind", "setting", "--by", "P-1"),
        ("list",),
        ("show", "W-1"),
        ("calibrate", "W-1", "--on", "2026-03-01", "--as-found", POINT, "--by", "P-1"),
        ("check", "W-1", "--tester", "t", "--point", "100 N·m: 99"),
        ("dropped", "W-1", "--why", "x"),
        ("overloaded", "W-1", "--why", "x"),
        ("estimate", "W-1", "3", "--why", "x", "--by", "P-1"),
        ("withdraw", "W-1", "--why", "x"),
        ("strike", "W-1", "#15", "--why", "x", "--by", "P-1"),
    ],
    ids=lambda words: words[0],
)
def test_every_command_answers_with_json(run: Run, words: tuple[str, ...]) -> None:
    """One object or list, and nothing else."""
    said(run, "wrench", "estimate", "W-1", "3", "--why", "x", "--by", "P-1")
    words = tuple(newest_of(run, "W-1") if word == "#15" else word for word in words)
    assert json.loads(said(run, "wrench", *words, "--json"))


def test_the_sheet_and_its_json_say_the_same(run: Run) -> None:
    """Decimals are strings, days ISO 8601."""
    said(run, *CALIBRATE, "--as-found", POINT)
    data = json.loads(said(run, "wrench", "show", "W-1", "--json"))
    point = data["calibration"]["as_found"][0]

    assert ("in use", str(DUE), 5000) == (data["state"], data["due_on"], data["cycles_allowed"])
    assert ("100", "2.209507", "1.400000", "3.709507") == (
        point["shown_nm"],
        point["deviation_percent"],
        point["expanded_percent"],
        point["interval_percent"],
    )


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (("show", "W-9"), 1, "W-9: no such wrench"),
        (("calibrate", "W-1", "--on", "2199-01-01", "--certificate", "C"), 1, "has not come yet"),
        (("calibrate", "W-1", "--on", "soon", "--certificate", "C"), 2, "write a date as"),
        (("calibrate", "W-1", "--on", "2026-03-01"), 1, "nothing shows this calibration"),
        (("calibrate", "W-1", "--on", "2026-03-01", "--as-found", "100 N·m: 0"), 1, "above zero"),
        (("calibrate", "W-1", "--on", "2026-03-01", "--as-found", "100 N·m: 1 %"), 1, "is not a plain number"),
        (("calibrate", "W-1", "--on", "2026-03-01", "--adapter", "50"), 2, "write an adapter as"),
        (("calibrate", "W-1", "--on", "2026-03-01", "--file", "none.pdf"), 1, "cannot be read"),
        (("check", "W-1", "--tester", "t"), 2, "Missing option '--point'"),
        (("dropped", "W-1"), 2, "Missing option '--why'. Write it like --why “fell off the bench”."),
        (("estimate", "W-1", "many", "--why", "x"), 2, "is not a valid integer"),
        (("estimate", "W-1", "0", "--why", "x"), 1, "between 1 and 1000000 cycles"),
        (("estimate", "W-1", "-5", "--why", "x"), 1, "-5: estimate between 1 and 1000000 cycles"),
        (("strike", "W-1", "last", "--why", "x"), 2, "give an entry's number as `wrench show` prints it"),
        (("strike", "W-1", "1", "--why", "x"), 1, "entry 1 is not one of wrench W-1"),
        (("add", "x", "--kind", "setting", "--lever", "long"), 2, "a lever is given in mm"),
        (("add", "x", "--kind", "setting", "--lever", "48"), 2, "lies between 150 and 2000; was it cm or inches"),
        (("add", "x", "--kind", "setting", "--lever", "2001"), 2, "lies between 150 and 2000"),
        (("add", "x", "--kind", "setting", "--lever", "nan"), 2, "a lever is given in mm"),
        (("add", "x", "--kind", "setting", "--scale", "fine"), 1, "does not begin with a number"),
    ],
)
def test_bad_input_is_one_sentence(run: Run, words: tuple[str, ...], code: int, says: str) -> None:
    """And the ledger stands where it stood."""
    before = run("ledger", "head").stdout
    done = run("wrench", *words, "--by", "P-1") if words[0] != "show" else run("wrench", *words)

    assert (code, "Traceback" in done.stderr) == (done.returncode, False)
    assert says in done.stderr
    assert before == run("ledger", "head").stdout


def test_a_wrench_is_put_right_and_what_rests_on_it_is_told(run: Run) -> None:
    """The jobs first, then each pass with what is otherwise; nothing where nothing rests on it."""
    run("job", "open", "--vehicle", "V-1", "--procedure", "axle")
    adapter = ("--wrench", "W-1", "--shown", "97 N·m", "--adapter", "50@0", "--outcome", "turned, then clicked")
    run("fastener", "tighten", "1", "rear-axle-nut", *adapter)
    named = run("wrench", "change", "w1", "--tag", "blue, long", "--by", "P-1").stdout.splitlines()
    short = run("wrench", "change", "W-1", "--lever", "200", "--by", "P-1").stdout.splitlines()
    nothing = run("wrench", "change", "W-1", "--by", "P-1")

    assert ["tag blue, long (was blue)", "Nothing that it did before is otherwise by this."] == [
        named[0].partition(": ")[2].partition("  #")[0],
        *named[1:],
    ]
    assert "lever 200 mm (was 500 mm)" in short[0]
    assert "What it did before is judged anew: 1 pass, outside on job 1." == short[1]
    assert "121.2 N·m reached it, not 106.7 N·m, OUTSIDE  rear-axle-nut" in short[2]
    assert 2 == nothing.returncode
    assert "say what changes: --tag, --kind, --range, --scale, --lever, --direction, …" in nothing.stderr


def test_a_measured_lever_counts_with_its_own_uncertainty(run: Run) -> None:
    """U with k = 2 as it is told, its half in the budget; a lever told anew without ± is as uncertain as any."""
    run("job", "open", "--vehicle", "V-1", "--procedure", "axle")
    asked = ("setting", "1", "rear-axle-nut", "--wrench", "W-1", "--adapter", "50±0.5@45±2")
    assumed = run(*asked).stdout
    told = run("wrench", "change", "W-1", "--lever", "500±2", "--by", "P-1").stdout
    measured, shown = run(*asked).stdout, json.loads(run("wrench", "show", "W-1", "--json").stdout)
    again = run("wrench", "change", "W-1", "--lever", "500", "--by", "P-1").stdout
    same = run("wrench", "change", "W-1", "--lever", "500.0", "--by", "P-1")

    assert "  with adapter 50 mm ± 0.5 mm at 45° ± 2°" in measured.splitlines()
    assert "adapter length, u = 0.25 mm, as stated" in measured
    assert "adapter angle, u = 1 degrees, as stated" in measured
    assert "lever length, u = 5 mm, the workshop's assumption" in assumed
    assert "lever length, u = 1 mm, as stated" in measured
    assert "lever 500 mm ± 2 mm (was 500 mm)" in told
    assert ("500", "2") == (shown["lever_mm"], shown["lever_expanded_mm"])
    assert "lever 500 mm (was 500 mm ± 2 mm)" in again
    assert "lever length, u = 5 mm, the workshop's assumption" in run(*asked).stdout
    assert "nothing of this is new" in same.stderr


def test_two_looks_of_one_day_are_asked_for_their_hours_and_told_them(run: Run) -> None:
    """The question names both and says what to type; once it is answered the wrench is back."""
    said(run, *CALIBRATE, "--as-found", OUT)
    answer = said(run, *CALIBRATE, "--as-left", POINT)
    (first, second) = re.findall(r"#(\d+) \(calibration\)", answer)
    asked = f"the one that found the wrench out counts; `torqueaudit wrench hour W-1 {first} 14:30` tells its hour"
    sheet = said(run, "wrench", "show", "w1")
    said(run, "wrench", "hour", "W-1", f"#{first}", "9:15", "--by", "P-1")
    done = said(run, "wrench", "hour", "W-1", second, "11:00", "--by", "P-1")
    wrong = run("wrench", "hour", "W-1", second, "25:00", "--by", "P-1")

    assert "W-1: WITHDRAWN" in answer
    assert [True, True] == [asked in text for text in (answer, sheet)]
    assert f"W-1: #{second} (calibration) was done at 11:00; it is not withdrawn\n" == done
    assert f"Calibration of {ON} at 11:00, due {DUE}" in said(run, "wrench", "show", "W-1")
    assert "25:00: write an hour as 14:30" in wrong.stderr


def test_drift_and_the_proposed_interval_stand_on_the_sheet_and_in_the_json(run: Run) -> None:
    """Left at 0 and found at +2.21 %: more than W 1.4 % of both leaves open, and within 80 % of 4 %."""
    before = ON - timedelta(days=60)
    said(run, "wrench", "calibrate", "W-1", "--on", str(before), "--by", "P-1", "--as-left", "100 N·m: 100; W 1.4 %")
    said(run, *CALIBRATE, "--as-found", POINT)
    sheet = said(run, "wrench", "show", "W-1")
    shown = json.loads(said(run, "wrench", "show", "W-1", "--json"))
    (drift,) = shown["drift"]

    assert f"Drift from {before}, as left, to {ON}, as found" in sheet
    assert "+2.21 %   1.1 of U = 1.98 % of both, MORE than both leave open" in sheet
    assert "interval, proposed and not set: found at 72 % of its permissible deviation" in sheet
    keys = ["at", "shown_nm", "left_on", "found_on", "moved_percent", "expanded_percent", "normalised"]
    assert keys == list(drift)
    assert ["months", "proposed", "says"] == list(shown["interval"])
