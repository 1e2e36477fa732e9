"""`import`: previewed, entered after a yes, mended and read again, as a mechanic does at the command line."""

import json
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path
from shlex import split

import pytest

from torqueaudit.testing import Clock, play
from torqueaudit.workshop.opening import open_workshop

Run = Callable[..., subprocess.CompletedProcess[str]]
MAPPING = """
format = 1
file = { separator = ";" }
moment = { column = "Time", zone = "UTC" }
torque = { column = "Torque", decimal = "," }
unit = { always = "N·m" }
wrench = { always = "W-2" }
job = { column = "Job" }
fastener = { column = "Key" }
"""
ROWS = """Time;Job;Key;Torque
2031-04-02 10:05:00;1;rear-axle-nut;108,4
2031-04-02 10:05:20;1;rear-axle-nat;108,1
2031-04-02 10:05:40;1;rear-axle-nut;109.2
"""


@pytest.fixture
def log(book_file: Path, tmp_path: Path) -> Path:
    """A log of three rows, of which one is right, beside its mapping; a job is open."""
    with open_workshop(book_file, clock=Clock()) as workshop:
        play(workshop, "2025-03-02 10:00 job 1 opened axle on V-1 by P-2")
    (tmp_path / "mapping.toml").write_text(MAPPING, encoding="utf-8")
    (tmp_path / "log.csv").write_text(ROWS.replace("2031-04", "2025-03"), encoding="utf-8")
    return tmp_path / "log.csv"


def read(run: Run, log: Path, *more: str) -> subprocess.CompletedProcess[str]:
    """Have a log read by the mapping beside it."""
    return run("import", str(log), "--mapping", str(log.with_name("mapping.toml")), *more)


def entries(run: Run) -> int:
    """How many entries there are."""
    return len(json.loads(run("ledger", "show", "--json").stdout))


def test_what_each_row_would_do_is_shown_and_nothing_is_recorded(run: Run, log: Path) -> None:
    """Neither where it is only shown, nor where whoever is asked says nothing."""
    before = entries(run)
    shown, asked = read(run, log, "--show"), read(run, log)

    assert "line 2: job 1, rear axle nut: 108.4 N·m with W-2 at 2025-03-02 10:05:00, 108.4 N·m applied" in shown.stdout
    says = 'rear-axle-nat: job 1 has no such fastener; did you mean "rear-axle-nut"?'
    assert f"line 3: LEFT OUT: {says}" in shown.stdout
    assert 'line 4: LEFT OUT: Torque "109.2" is no number with "," before its decimals' in shown.stdout
    assert "1 to be entered, 2 left out" in shown.stdout
    assert ("Stopped.\n", 1) == (asked.stderr, asked.returncode)
    assert before == entries(run)
    assert not log.with_name("log-left.csv").exists()


def test_what_is_left_out_is_mended_and_read_again(run: Run, log: Path) -> None:
    """The remains read by the same mapping add only what was mended; each of them twice adds nothing."""
    first = read(run, log, "--yes")
    left = log.with_name("log-left.csv")
    told = left.read_text(encoding="utf-8-sig").splitlines()

    assert "1 entered. Each is a stop until whoever tightened it confirms it:" in first.stdout
    assert "  torqueaudit fastener confirm 1 rear-axle-nut --by P-…" in first.stdout
    assert f"2 left out, each with its line and why: {left}" in first.stdout
    assert "Time;Job;Key;Torque;left out of line;why" == told[0]
    assert told[1].startswith("2025-03-02 10:05:20;1;rear-axle-nat;108,1;3;")
    left.write_text("\n".join(told).replace("nat;", "nut;").replace("109.2;", "109,2;"), encoding="utf-8")
    again = read(run, left, "--yes")
    assert ("2 entered", 0) == (again.stdout.splitlines()[-2].partition(".")[0], again.returncode)
    once = entries(run)
    assert "2 entered before" in read(run, left, "--yes").stdout
    assert "1 entered before, 2 left out" in read(run, log, "--yes").stdout
    assert once == entries(run)
    assert ["log-left.csv", "log-left-2.csv"] == sorted((each.name for each in log.parent.glob("*-left*")), key=len)


def test_the_command_that_reads_the_rest_is_typed_as_it_stands(run: Run, log: Path) -> None:
    """Also where a folder has a space in its name."""
    folder = log.parent / "logs of today"
    folder.mkdir()
    for each in (log, log.with_name("mapping.toml")):
        shutil.copy(each, folder)
    *_, line = read(run, folder / log.name, "--yes").stdout.splitlines()
    words = split(line.partition("read it: ")[2])

    assert ["torqueaudit", "import", str(folder / "log-left.csv")] == words[:3]
    assert ["--mapping", str(folder / "mapping.toml"), "--by", "P-…"] == words[3:]


def test_a_row_is_confirmed_or_struck_at_the_command_line(run: Run, log: Path) -> None:
    """The job says what waits, with its number; who confirms it is who tightened, and it says whence it came."""
    read(run, log, "--yes")
    job = run("job", "show", "1").stdout

    assert "rear axle nut: read from a log, not confirmed. Whoever tightened it confirms it, or strikes it." in job
    assert "  rear axle nut: 108.4 N·m with W-2 on 2025-03-02 10:05:00  #" in job
    assert "torqueaudit fastener confirm 1 rear-axle-nut --by P-…" in job
    confirmed = run("fastener", "confirm", "1", "rear-axle-nut")
    assert "rear axle nut: 108.4 N·m ± 5.0 N·m (W-2 at 108.4 N·m), in" in confirmed.stdout, (
        confirmed.stdout + confirmed.stderr
    )
    assert "line 2 of the log" in run("tightening", "show", "1", "rear-axle-nut").stdout
    (done,) = json.loads(run("tightening", "show", "1", "rear-axle-nut", "--json").stdout)["passes"]
    assert ("P-2", "P-2", 2) == (done["by"], done["log"]["run_by"], done["log"]["line"])
    refused = run("fastener", "confirm", "1", "rear-axle-nut")
    assert (1, "rear axle nut: no row of a log waits to be confirmed\n") == (refused.returncode, refused.stderr)


def test_json_answers_with_what_came_of_each_row(run: Run, log: Path) -> None:
    """Without a yes nothing is recorded, and nobody is asked."""
    shown = json.loads(read(run, log, "--json").stdout)
    done = json.loads(read(run, log, "--json", "--yes").stdout)

    assert ["file", "recorded", "rows", "left_out"] == list(shown)
    assert ["line", "becomes", "says", "id", "job", "position", "wrench", "shown"] == list(shown["rows"][0])
    assert (False, None) == (shown["recorded"], shown["left_out"])
    assert (True, str(log.with_name("log-left.csv"))) == (done["recorded"], done["left_out"])
    assert ["entered", "left out", "left out"] == [each["becomes"] for each in done["rows"]]


def test_what_cannot_be_read_at_all_is_one_sentence(run: Run, log: Path) -> None:
    """A log or a mapping that is not there, a mapping with mistakes, a file that nobody reads."""
    mapping = log.with_name("mapping.toml")
    shutil.copy(log, log.with_name("log.pdf"))
    away = read(run, log.with_name("away.csv"))
    no_mapping = run("import", str(log), "--mapping", str(log.with_name("away.toml")))
    other = read(run, log.with_name("log.pdf"))
    mapping.write_text(MAPPING.replace("zone", "zome").replace("Torque", "Torqe"), encoding="utf-8")
    wrong = read(run, log)

    assert f"{log.with_name('away.csv')} cannot be read: No such file or directory; look at its name\n" == away.stderr
    assert f"{log.with_name('away.toml')} cannot be read: No such file or directory" in no_mapping.stderr
    assert "log.pdf: no plugin reads such a file; look at how its name ends\n" == other.stderr
    assert f'{mapping}:line 4, moment.zome: is not known here; did you mean "zone"?\n' in wrong.stderr
    assert {1} == {each.returncode for each in (away, no_mapping, other, wrong)}


def test_the_list_of_what_is_left_out_overwrites_nothing(run: Run, log: Path) -> None:
    """Neither a file that was named, nor a folder that is not there; the rows are read again with another name."""
    there = log.with_name("there.csv")
    there.write_text("somebody's own", encoding="utf-8")
    kept = read(run, log, "--yes", "--left", str(there))
    away = read(run, log, "--yes", "--left", str(log.with_name("away") / "left.csv"))

    assert "there.csv is there already; give --left another name, and read the file again" in kept.stderr
    assert "cannot be listed (No such file or directory)" in away.stderr
    assert "somebody's own" == there.read_text(encoding="utf-8")
    assert "1 entered before, 2 left out" in away.stdout


def test_no_row_writes_signs_to_the_terminal_that_nobody_sees(run: Run, log: Path) -> None:
    """What a stranger wrote into a log is shown as what it is: an escape would clear the screen, or hide a line."""
    lines = log.with_name("log.jsonl")
    lines.write_text('{"\\u001b[2J": [1]}\n{"Time": 1, "Torque": 2, "Job": "1\\u202e", "Key": 4}\n', encoding="utf-8")
    shown = read(run, lines, "--show")

    assert "\x1b" not in shown.stdout
    assert "⟨U+001B⟩[2J" in shown.stdout
    assert "Job: sign 2 is" in shown.stdout
