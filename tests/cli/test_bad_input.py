"""Bad input gets one clear sentence and an exit code that is not zero, and loses nothing."""

import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

Run = Callable[..., subprocess.CompletedProcess[str]]
SCRIPT = Path(sys.executable).with_name("torqueaudit")

MANY = "9" * 6000
TIGHTEN = ("fastener", "tighten", "1", "rear-axle-nut", "--wrench", "W-1", "--outcome", "turned, then clicked")


@pytest.fixture
def opened(run: Run) -> Run:
    """The ready-made book with job 1 opened on V-1."""
    result = run("job", "open", "--vehicle", "V-1", "--procedure", "axle", "--odometer", "12 000 km")
    assert result.returncode == 0, result.stderr
    return run


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        ((*TIGHTEN, "--shown", "108 furlong"), 1, "known are N·m"),
        ((*TIGHTEN, "--shown", "108 kg"), 1, "so it is no torque"),
        ((*TIGHTEN, "--shown", "-108 N·m"), 1, "must be above zero"),
        ((*TIGHTEN, "--shown", "1,085,5 N·m"), 1, "1,085,5"),
        ((*TIGHTEN, "--shown", "108 N·m", "--at", "2199-01-01 10:00"), 1, "lies ahead of this clock"),
        ((*TIGHTEN, "--shown", "108 N·m", "--at", "226-11-27 10:00"), 2, "write a time as"),
        ((*TIGHTEN, "--shown", "108 N·m", "--at", "0226-11-27 10:00"), 2, "a year lies between 2000 and 2200"),
        ((*TIGHTEN, "--shown", "108 N·m", "--ago", "9" * 30), 1, "lies before the year 2000"),
        (("nightly", "--date", "0226-11-27"), 2, "0226-11-27: a year lies between 2000 and 2200"),
        ((*TIGHTEN, "--shown", "108 N·m", "--at", "yesterday"), 2, "write a time as"),
        ((*TIGHTEN, "--shown", "108 N·m", "--by", "P-99"), 1, "nobody of that number works here"),
        ((*TIGHTEN, "--shown", "108 N·m", "--adapter", "50"), 2, "write an adapter as length@angle"),
        (("fastener", "tighten", "1", "front-nut", "--outcome", "turned, then clicked"), 1, "has no such fastener"),
        (("fastener", "mark", "1", "rear-axle-nut", "intact"), 1, "tighten it first"),
        (("job", "show", "77"), 1, "no such job"),
        (("job", "show", "../1"), 1, "no such job"),
        (("job", "show", MANY), 1, f"job {'9' * 60}…{'9' * 60}: no such job"),
        (("vehicle", "show", MANY), 1, f"{'9' * 60}…{'9' * 60}: no such vehicle"),
        (("job", "open", "--vehicle", "V-1", "--procedure", "axle", "--ago", "9999999"), 1, "more than a year before"),
        (("job", "open", "--vehicle", "V-9", "--procedure", "axle"), 1, "no such vehicle"),
        (("job", "open", "--vehicle", "V-1", "--procedure", "no-such"), 1, "no such procedure"),
        (("job", "open", "--vehicle", "V-1", "--procedure", "axle", "--odometer", "12000"), 2, "12000"),
        (("job", "strike", "1", "1", "--why", "wrong"), 1, "is not one of job 1"),
        (("recheck", "done", "1", "--odometer", "12 100 km"), 1, "has not been handed over yet"),
        (("measurement", "take", "1", "slack", "25 mm"), 1, "has no such measurement"),
        (("ledger", "verify", "--head", "YARD/3"), 2, "--head: 'YARD/3' is no head"),
        (("ledger", "verify", "--head", f"YARD/{MANY}/{'0' * 64}"), 2, "is no head"),
        (("ledger", "verify", "--head", ""), 2, "is no head"),
        (("book", "restore", "copy.book", "--head", "YARD/3"), 2, "is no head"),
        (("ledger", "show", "--from", "9" * 25), 2, "is not in the range"),
        (("ledger", "erase-words", "9" * 25, "--why", "x", "--by", "P-1"), 2, "give an entry's number"),
        (("job", "strike", "1", f"#{MANY}", "--why", "wrong"), 2, "give an entry's number"),
        (("job", "open", "--vehicle", "V-2", "--procedure", "axle", "--odometer", "10 000 000 km"), 2, "no odometer"),
        (("vehicle", "arrived", "V-2", "--odometer", f"{'9' * 19} mi", "--sure"), 2, "no odometer shows more"),
        (("vehicle", "add", "red\u202e", "--model", "M"), 2, "TAG: sign 4 is U+202E (right-to-left override)"),
        (("vehicle", "add", "red\udc80", "--model", "M"), 2, "TAG: sign 4 is U+DC80 (half a character)"),
        (("vehicle", "add", "red", "--model", "M\x1b[2J"), 2, "--model: sign 2 is U+001B (escape)"),
        (("part", "fit", "1", "washer", "18 mm", "--lot", "L\u200b7"), 2, "--lot: sign 2 is U+200B"),
        (("job", "strike", "1", "1", "--why", "wrong\nline"), 2, "--why: sign 6 is U+000A (a line end)"),
        (
            ("vehicle", "add", "red", "--model", "M", "--id", "my id!"),
            1,
            "'my id!' cannot be an act's id; write it like",
        ),
        (("procedure", "enter", "no\udc80such.toml"), 1, "cannot be read"),
        (("job", "show", "1\u2066"), 2, "sign 2 is U+2066 (left-to-right isolate), which nobody sees"),
        (("job", "sh\u200bow", "1"), 2, "sh⟨U+200B⟩ow"),
        (("settings", "change", "--untouched-days", "3651", "--by", "P-1"), 1, "1 to 3650 days"),
        (("settings", "change", "--due-soon-days", "9" * 25, "--by", "P-1"), 1, "has more than 20 digits"),
        (("settings", "change", "--late-minutes", "43201", "--by", "P-1"), 1, "1 to 43200 minutes"),
        ((*TIGHTEN, "--shown", "108 N·m", "--stage", "9" * 25), 1, "this is more than there can be"),
        ((*TIGHTEN, "--shown", f"{MANY} N·m"), 1, "is longer than 60 characters"),
        (("step",), 2, "Usage"),
        (("no-such-command",), 2, "no-such-command"),
    ],
)
def test_one_sentence_and_nothing_lost(opened: Run, words: tuple[str, ...], code: int, says: str) -> None:
    """The sentence says what is wrong; the head of the ledger stands where it stood."""
    before = opened("ledger", "head").stdout

    result = opened(*words)

    assert (result.returncode, "Traceback" in result.stderr) == (code, False)
    assert says in result.stderr
    assert "fault of the program" not in result.stderr
    assert before == opened("ledger", "head").stdout


def test_a_comma_is_a_decimal_sign(opened: Run) -> None:
    """108,5 Nm is read as 108.5 N·m."""
    result = opened(*TIGHTEN, "--shown", "108,5 Nm")

    assert result.returncode == 0, result.stderr
    assert "108.5 N·m" in opened("job", "show", "1").stdout


def test_a_used_id_with_other_content_is_refused(opened: Run) -> None:
    """The same act sent again changes nothing; another one under its id is refused."""
    first = opened(*TIGHTEN, "--shown", "108 N·m", "--id", "act-1")
    head = opened("ledger", "head").stdout
    again = opened(*TIGHTEN, "--shown", "108 N·m", "--id", "act-1")
    other = opened(*TIGHTEN, "--shown", "109 N·m", "--id", "act-1")

    assert (first.returncode, again.returncode, other.returncode) == (0, 0, 1)
    assert "was used before for something else" in other.stderr
    assert head == opened("ledger", "head").stdout


def test_a_withdrawn_job_takes_nothing(opened: Run, book_file: Path) -> None:
    """Striking the opening withdraws the job; later acts are refused and the reason is told."""
    del book_file
    opening = opened("ledger", "head").stdout.split("/")[1]
    struck = opened("job", "strike", "1", opening, "--why", "wrong vehicle")

    result = opened(*TIGHTEN, "--shown", "108 N·m")

    assert struck.returncode == 0, struck.stderr
    assert (result.returncode, "was withdrawn (wrong vehicle)" in result.stderr) == (1, True)


def test_broken_toml_is_told_with_its_line(run: Run, tmp_path: Path) -> None:
    """A syntax error is told alone, with file and line."""
    broken = tmp_path / "broken.toml"
    broken.write_text('format = 1\nname = "x\n', encoding="utf-8")

    result = run("procedure", "enter", str(broken))

    assert result.returncode == 1
    assert f"{broken}:line 2" in result.stderr


@pytest.mark.parametrize("kind", ["folder", "text", "absent", "damaged"])
def test_a_file_that_is_no_book(run: Run, tmp_path: Path, book_file: Path, kind: str) -> None:
    """A folder, a text, nothing at all, or a damaged book in place of a book."""
    path = tmp_path / "other.book"
    if kind == "folder":
        path.mkdir()
    elif kind == "text":
        path.write_text("not a book, but long enough to be read as one" * 200, encoding="utf-8")
    elif kind == "damaged":
        shutil.copy(book_file, path)
        with path.open("r+b") as file:
            file.truncate(4096 * 3)

    result = run("job", "list", book=path)

    assert (result.returncode, "Traceback" in result.stderr, result.stdout) == (1, False, "")
    assert str(path) in result.stderr


def test_a_book_that_may_not_be_written(run: Run, book_file: Path) -> None:
    """A read-only book refuses an act with a sentence, also where the system would let root write all the same."""
    book_file.chmod(0o444)

    result = run("job", "open", "--vehicle", "V-1", "--procedure", "axle")

    assert (result.returncode, "Traceback" in result.stderr) == (1, False)
    assert "may only be read" in result.stderr


def test_a_disk_that_takes_no_more(book_file: Path) -> None:
    """The system refuses to let any file grow: the act is refused whole, and the book stays sound."""
    words = [str(SCRIPT), "--book", str(book_file), "job", "open", "--vehicle", "V-1", "--procedure", "axle"]
    before = subprocess.run([*words[:3], "ledger", "head"], capture_output=True, text=True, check=True).stdout

    # Where the lines that run are counted, the counting would want to write as well.
    uncounted = {name: value for name, value in os.environ.items() if not name.startswith("COVERAGE_")}

    full = subprocess.run(
        ["sh", "-c", 'ulimit -f 16; exec "$@"', "sh", *words, "--by", "P-2"],
        env=uncounted,
        capture_output=True,
        text=True,
        check=False,
    )
    sound = subprocess.run([*words[:3], "ledger", "verify"], capture_output=True, text=True, check=False)

    assert (full.returncode, "Traceback" in full.stderr) == (1, False)
    assert "Look at the disk first" in full.stderr  # what it says of the act depends on the write that failed
    assert (sound.returncode, before.strip() in sound.stdout) == (0, True)


def test_an_odometer_is_asked_back_and_taken_for_one_word(opened: Run) -> None:
    """A digit too many at the next job; `--sure` where the instrument is another one."""
    words = ("job", "open", "--vehicle", "V-1", "--procedure", "final-drive")
    asked = opened(*words, "--odometer", "120 010 km")
    lower = opened(*words, "--odometer", "1210 km")
    taken = opened(*words, "--odometer", "1210 km", "--sure")

    assert "is ten times the 12000 km read on" in asked.stderr
    assert asked.stderr.endswith("Read the odometer again; if it is so, add --sure\n")
    assert lower.stderr.endswith(
        " in job 1; read the odometer again; if the instrument was replaced, `torqueaudit vehicle instrument V-1` says "
        "so; if it is so all the same, add --sure\n"
    )
    assert (1, 1, 0) == (asked.returncode, lower.returncode, taken.returncode)


@pytest.mark.parametrize(("words", "code"), [(("job", "show", "1"), 1), (("nightly",), 2)], ids=["job", "night"])
def test_a_reader_who_has_read_enough_is_told_nothing(
    opened: Run, book_file: Path, words: tuple[str, ...], code: int
) -> None:
    """As `head` does: no fault of the program, and no traceback; but a report that nobody reads is no quiet night."""
    assert opened("job", "show", "1").returncode == 0
    asked = [str(SCRIPT), "--book", str(book_file), *words]
    with subprocess.Popen(asked, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as told:
        assert told.stdout
        told.stdout.close()
        assert told.stderr

        assert ("", code) == (told.stderr.read(), told.wait())


def test_words_of_the_environment_hold_no_sign_that_nobody_sees(book_file: Path) -> None:
    """The number of whoever speaks, as a variable tells it."""
    surroundings = {**os.environ, "TORQUEAUDIT_BOOK": str(book_file), "TORQUEAUDIT_BY": "P-2\u200b"}
    words = [str(SCRIPT), "vehicle", "add", "red", "--model", "M"]
    done = subprocess.run(words, env=surroundings, capture_output=True, text=True, check=False, encoding="utf-8")

    assert (2, "") == (done.returncode, done.stdout)
    assert done.stderr == "--by: sign 4 is U+200B (zero width space), which nobody sees; write it without\n"
