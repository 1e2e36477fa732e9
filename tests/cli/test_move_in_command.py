"""`move-in`: a foreman's own list, shown line by line, entered after a yes, mended and read again."""

import json
import os
import signal
import subprocess
import sys
import time
import zipfile
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from shlex import split

import pytest
from openpyxl import Workbook

from torqueaudit.workshop.opening import open_workshop

Run = Callable[..., subprocess.CompletedProcess[str]]
EXAMPLE = Path(__file__).parents[2] / "examples" / "moving-in"
MAPPING = """
format = 1
of = "vehicles"
file = { separator = ";", decimal = "," }
tag = { columns = ["Modell", "Größe"] }
model = { column = "Modell" }
plate = { column = "Kennzeichen" }
frame_number = { column = "Fahrgestell" }
contact = { column = "Halter" }
odometer = { column = "Stand", on = { column = "am", written = "DD.MM.YYYY" } }
"""
HEAD = "Modell;Größe;Kennzeichen;Fahrgestell;Halter;Stand;am"
ROWS = (
    "Heron 250;klein;YÖ 1 K;DEMO1;Hans Müßig;18.450;03.03.2025",
    "Heron 250;groß;YÖ 2 K;DEMO2;Änne Muster;7.020,5;03.03.2025",
    "Plover 300;groß;;;Änne Muster;;",
)
LIST = "\r\n".join((HEAD, *ROWS))


@pytest.fixture
def listed(tmp_path: Path) -> Path:
    """A list of three rows, of which two are right, beside its mapping."""
    (tmp_path / "mapping.toml").write_text(MAPPING, encoding="utf-8")
    (tmp_path / "list.csv").write_text(LIST, encoding="utf-8")
    return tmp_path / "list.csv"


def read(run: Run, listed: Path, *more: str) -> subprocess.CompletedProcess[str]:
    """Have a list read by the mapping beside it, as the foreman."""
    return run("move-in", str(listed), "--mapping", str(listed.with_name("mapping.toml")), "--by", "P-1", *more)


def entries(run: Run) -> int:
    """How many entries there are."""
    return len(json.loads(run("ledger", "show", "--json").stdout))


def test_one_wrong_row_stops_the_list_before_anything_is_recorded(run: Run, listed: Path) -> None:
    """Each row is shown with its line; a wrong one with its columns. Who only looks, or says nothing, enters none."""
    before = entries(run)
    stopped, shown = read(run, listed, "--yes"), read(run, listed, "--show")
    asked = read(run, listed, "--without-wrong")

    row = "line 2: Heron 250, klein: Heron 250, odometer in km; frame number DEMO1; plate YÖ 1 K; contact Hans Müßig; "
    assert f"{row}18450 km on 2025-03-03\n" in stopped.stdout
    says = "line 4: WRONG: Fahrgestell and Kennzeichen are empty, so nobody could know this vehicle again; give it one"
    assert says in stopped.stdout
    assert "list.csv: 2 to be entered, 1 wrong\nNothing was entered. Mend the wrong row in the list" in stopped.stdout
    assert ("Stopped.\n", 1) == (asked.stderr, asked.returncode)
    assert {1} == {each.returncode for each in (stopped, shown)}
    assert (before, []) == (entries(run), [*listed.parent.glob("*left*")])


def test_what_is_wrong_is_listed_mended_and_read_again(run: Run, listed: Path) -> None:
    """The rest by the same mapping adds only what was mended; each of them twice adds nothing."""
    first = read(run, listed, "--yes", "--without-wrong")
    left = listed.with_name("list-left.csv")
    told = left.read_text(encoding="utf-8-sig").splitlines()

    assert "2 entered: V-4 to V-5.\n" in first.stdout
    assert f"1 wrong, each with its line and why: {left}" in first.stdout
    again = split(first.stdout.splitlines()[-1].partition("read it: ")[2])
    assert ["torqueaudit", "move-in", str(left), "--mapping"] == again[:4]
    assert f"{HEAD};left out of line;why" == told[0]
    left.write_text("\n".join(told).replace("groß;;;", "groß;YÖ 3 K;;"), encoding="utf-8")
    mended = read(run, left, "--yes")
    assert ("1 entered: V-6.\n", 0) == (mended.stdout[-len("1 entered: V-6.\n") :], mended.returncode)
    once = entries(run)
    assert "Nothing was entered, for nothing in it is new." in read(run, left, "--yes").stdout
    assert "2 there already, 1 wrong" in read(run, listed, "--yes").stdout
    assert once == entries(run)


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "cp1252"])
def test_a_list_is_read_in_each_encoding(run: Run, listed: Path, encoding: str) -> None:
    """As spreadsheet programs write it; one that is told otherwise is one sentence, and records nothing."""
    right = "\r\n".join((HEAD, *ROWS[:2]))
    listed.write_bytes(right.encode(encoding))
    mapping = listed.with_name("mapping.toml")
    if encoding == "cp1252":
        refused = read(run, listed, "--yes")
        how = 'say in the mapping how it is written, such as [file] encoding = "windows-1252"'
        assert (f"list.csv: it is no UTF-8 text; {how}\n", 1) == (refused.stderr, refused.returncode)
        text = MAPPING.replace('decimal = ","', 'decimal = ",", encoding = "windows-1252"')
        mapping.write_text(text, encoding="utf-8")

    assert "2 entered: V-4 to V-5.\n" in read(run, listed, "--yes").stdout
    assert "plate: YÖ 1 K" in run("find", "YÖ 1").stdout


def test_a_workbook_says_the_same(run: Run, listed: Path) -> None:
    """Numbers and dates of its own; a cell that holds a formula is told, and stops the list."""
    read(run, listed, "--yes", "--without-wrong")
    once = entries(run)
    book = Workbook()
    book.active.append(HEAD.split(";"))
    book.active.append(["Heron 250", "klein", "YÖ 1 K", "DEMO1", "Hans Müßig", 18450, "03.03.2025"])
    book.active.append(["Heron 250", "groß", "YÖ 9 K", "=A1", "", 18450, "03.03.2025"])
    book.save(listed.with_name("list.xlsx"))
    shown = read(run, listed.with_name("list.xlsx"), "--yes")

    assert "line 2: THERE ALREADY: as V-4\n" in shown.stdout
    assert "line 3: WRONG: cell D3 holds a formula, and no value; put its value there" in shown.stdout
    assert (once, 1) == (entries(run), shown.returncode)


def test_a_row_of_a_workbook_is_read_back_once_it_is_mended(run: Run, listed: Path) -> None:
    """Its date and its figure stand among the rows left out as the same mapping reads them."""
    book = Workbook()
    book.active.append(HEAD.split(";"))
    book.active.append(["Heron 250", "klein", "", "", "Hans Müßig", 18450.5, datetime(2025, 3, 3)])  # noqa: DTZ001
    book.save(listed.with_name("list.xlsx"))
    left = listed.with_name("list-left.csv")
    listed.unlink()
    read(run, listed.with_name("list.xlsx"), "--without-wrong", "--yes")
    left.write_text(left.read_text(encoding="utf-8").replace("klein;;", "klein;YÖ 1 K;"), encoding="utf-8")

    assert "1 entered: V-4.\n" in (mended := read(run, left, "--yes").stdout)
    assert "18450 km on 2025-03-03" in mended


def test_json_answers_with_what_came_of_each_row(run: Run, listed: Path) -> None:
    """Without a yes, and with a wrong row, nothing is recorded."""
    shown = json.loads(read(run, listed, "--json", "--yes").stdout)
    done = json.loads(read(run, listed, "--json", "--yes", "--without-wrong").stdout)

    assert ["file", "recorded", "rows", "left_out"] == list(shown)
    assert ["line", "comes", "says", "number"] == list(shown["rows"][0])
    assert (False, None) == (shown["recorded"], shown["left_out"])
    assert (True, str(listed.with_name("list-left.csv"))) == (done["recorded"], done["left_out"])
    assert [("entered", "V-4"), ("entered", "V-5"), ("wrong", "")] == [
        (each["comes"], each["number"]) for each in done["rows"]
    ]


def test_what_cannot_be_read_at_all_is_one_sentence(run: Run, listed: Path) -> None:
    """A list that is not there, one that nobody reads, a column that it lacks, a mapping with mistakes, a mechanic."""
    mapping = listed.with_name("mapping.toml")
    away = read(run, listed.with_name("away.csv"))
    listed.with_name("list.pdf").write_bytes(b"%PDF")
    other = read(run, listed.with_name("list.pdf"))
    mechanic = run("move-in", str(listed), "--mapping", str(mapping), "--by", "P-2")
    mapping.write_text(MAPPING.replace('"Halter"', '"Hálter"'), encoding="utf-8")
    column = read(run, listed)
    mapping.write_text(MAPPING.replace("plate", "plait"), encoding="utf-8")
    wrong = read(run, listed)

    assert (
        f"{listed.with_name('away.csv')} cannot be read: No such file or directory; look at its name\n" == away.stderr
    )
    assert "list.pdf: no plugin reads such a file; look at how its name ends\n" == other.stderr
    assert "P-2 is mechanic; only a foreman or setup may do this\n" == mechanic.stderr
    assert 'line 1 lacks "Hálter": did you mean "Halter"?' in column.stderr
    assert f'{mapping}:line 7, plait: is not known here; did you mean "plate"?\n' in wrong.stderr
    assert {1} == {each.returncode for each in (away, other, mechanic, column, wrong)}


def test_a_list_that_is_made_to_harm_is_one_sentence_and_records_nothing(run: Run, listed: Path) -> None:
    """A workbook that unpacks to more than any, rows without end, a record that never ends, signs that nobody sees."""
    before = entries(run)
    book = Workbook()
    book.active.append(HEAD.split(";"))
    book.save(listed.with_name("large.xlsx"))
    with zipfile.ZipFile(listed.with_name("large.xlsx"), "a", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/media/blank.png", bytes(70 * 1024 * 1024))
    listed.with_name("long.csv").write_text("\n".join((HEAD, *ROWS[:1] * 10_001)), encoding="utf-8")
    listed.with_name("open.csv").write_text(f'{HEAD}\n"Heron 250;klein', encoding="utf-8")
    hidden = ROWS[0].replace("klein", "kl\x1b[2Jein")
    listed.with_name("signs.csv").write_text(f"{HEAD}\n{hidden}", encoding="utf-8")
    large, long, never, signs = (
        read(run, listed.with_name(name), "--yes") for name in ("large.xlsx", "long.csv", "open.csv", "signs.csv")
    )

    assert "large.xlsx: this workbook unpacks to more than 64 MB, which no list does; save its rows" in large.stderr
    assert "long.csv has more than 10000 rows; split it into several files\n" == long.stderr
    assert "open.csv: the record that begins on line 2 cannot be read: unexpected end of data\n" == never.stderr
    assert "line 2: WRONG: Größe: sign 3 is U+001B (escape), which nobody sees; write it without\n" in signs.stdout
    assert "\x1b" not in signs.stdout + signs.stderr
    assert {1} == {each.returncode for each in (large, long, never, signs)}
    assert before == entries(run)


def test_the_example_goes_in_as_it_stands(run: Run) -> None:
    """Its vehicles are there, and reading it again adds nothing."""
    words = ("move-in", str(EXAMPLE / "vehicles.csv"), "--mapping", str(EXAMPLE / "vehicles.toml"), "--by", "P-1")
    shown = run(*words, "--show")

    assert "line 3: Kestrel 500, blue: Kestrel 500 of 2029" in shown.stdout
    assert "Mail is not kept, for nobody agreed to be reminded" in shown.stdout
    wrenches = ("move-in", str(EXAMPLE / "wrenches.csv"), "--mapping", str(EXAMPLE / "wrenches.toml"), "--by", "P-1")
    assert "2 entered: W-" in run(*wrenches, "--yes").stdout
    assert "2 there already" in run(*wrenches, "--yes").stdout


def test_a_run_that_is_killed_and_read_again_ends_as_one_that_was_not(
    run: Run, listed: Path, book_file: Path, tmp_path: Path
) -> None:
    """Killed in the middle of some hundred rows: each is whole or absent, and none is there twice."""
    rows = [f"Heron 250;Nr {n};YÖ {n} K;DEMO{n};Muster {n};{1000 + n};03.03.2025" for n in range(1, 301)]
    listed.write_text("\n".join((HEAD, *rows)), encoding="utf-8")
    program = Path(sys.executable).with_name("torqueaudit")
    words = ("--book", book_file, "move-in", listed, "--mapping", tmp_path / "mapping.toml", "--by", "P-1", "--yes")
    with open_workshop(book_file) as workshop:
        before = workshop.book.head().sequence
        killed = subprocess.Popen([program, *words], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        while workshop.book.head().sequence < before + 100:
            assert killed.poll() is None
            time.sleep(0.005)
        os.kill(killed.pid, signal.SIGKILL)
        killed.wait()
        half = workshop.book.head().sequence - before
    again = read(run, listed, "--yes")

    assert 0 == half % 2
    assert 100 <= half < 600
    assert f"{300 - half // 2} to be entered, {half // 2} there already" in again.stdout
    with open_workshop(book_file) as workshop:
        plates = list(workshop.book.known_by("plate").values())
        assert sorted(f"YÖ {n} K" for n in range(1, 301)) == sorted(each for each in plates if each.startswith("YÖ"))
        assert before + 600 == workshop.book.head().sequence
        assert [] == workshop.book.verify(processes=1)
