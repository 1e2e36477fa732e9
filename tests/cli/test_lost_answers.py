"""An answer that is lost, and a book that is damaged, are told as what they are, by sentence and exit code."""

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import click
import pytest

from torqueaudit.cli.common import RECORDED
from torqueaudit.cli.failure import RECORDED_UNANSWERED, Unanswered, failure
from torqueaudit.workshop.opening import open_workshop

Run = Callable[..., subprocess.CompletedProcess[str]]
SCRIPT = Path(sys.executable).with_name("torqueaudit")
ADD = ("vehicle", "add", "red", "--model", "M", "--by", "P-2", "--id", "told-1")
PROGRAM = "this is a fault of the program ("
FULL = Path("/dev/full")  # Linux: a disk without room


def shell(book: Path, words: tuple[str, ...], redirected: str) -> subprocess.CompletedProcess[str]:
    """A command as a shell runs it, with its output somewhere else; an ASCII terminal is none here."""
    line = f'exec "$@" {redirected}'
    return subprocess.run(
        ["sh", "-c", line, "sh", str(SCRIPT), "--book", str(book), *words],
        capture_output=True,
        text=True,
        check=False,
        encoding="utf-8",
    )


def vehicles(book: Path) -> int:
    with open_workshop(book) as workshop:
        return workshop.book.next_number("vehicle") - 1


@pytest.mark.parametrize("redirected", [">/dev/full", ">&-", ">/dev/full 2>/dev/full", ">&- 2>&-"])
def test_an_act_whose_answer_is_lost_says_that_it_is_recorded(book_file: Path, run: Run, redirected: str) -> None:
    """A full disk behind the output, a closed one; told by the exit code alone where nothing else can tell it."""
    if not FULL.exists():
        pytest.skip("no /dev/full on this system")
    before = vehicles(book_file)
    lost = shell(book_file, ADD, redirected)
    again = run(*ADD)

    assert lost.returncode == RECORDED_UNANSWERED
    assert ("2>" in redirected) or lost.stderr.startswith("recorded under id told-1, and only the answer failed: ")
    assert ("2>" in redirected) or "told again with --id told-1 records nothing more" in lost.stderr
    assert (0, "V-4: red\n", before + 1) == (again.returncode, again.stdout, vehicles(book_file))


def test_an_act_whose_reader_went_away_says_that_it_is_recorded(book_file: Path) -> None:
    """Of an act somebody has to know it; whoever only reads has read enough."""
    read, write = os.pipe()
    os.close(read)
    asked = [str(SCRIPT), "--book", str(book_file), *ADD[:-2]]
    done = subprocess.run(asked, stdout=write, stderr=subprocess.PIPE, text=True, check=False, encoding="utf-8")
    os.close(write)
    with open_workshop(book_file) as workshop:
        [entry] = workshop.book.entries("vehicle/V-4")

    assert done.returncode == RECORDED_UNANSWERED
    assert done.stderr.startswith(f"recorded under id {entry.id}, and only the answer failed: ")


@pytest.mark.parametrize("redirected", [">/dev/full", ">&-"])
def test_a_question_whose_answer_is_lost_fails_in_one_sentence(book_file: Path, redirected: str) -> None:
    """It is no fault of the program, and nothing was recorded."""
    if not FULL.exists():
        pytest.skip("no /dev/full on this system")
    done = shell(book_file, ("vehicle", "list"), redirected)

    assert done.returncode == 1
    assert done.stderr.startswith("the answer could not be written (")
    assert done.stderr.count("\n") == 1


@pytest.mark.parametrize("redirected", [">/dev/full", ">&-", "| true"])
def test_a_night_that_nobody_was_shown_is_no_quiet_night(book_file: Path, tmp_path: Path, redirected: str) -> None:
    """The files are written before; a code of 0 or 1 would say that somebody knows what was missed."""
    line = f'set -o pipefail; exec 3>&1; ( "$@" {redirected.replace("| true", "")} )'
    line += " | true" if redirected == "| true" else ""
    words = [str(SCRIPT), "--book", str(book_file), "nightly", "--out", str(tmp_path / "nights")]
    done = subprocess.run(["bash", "-c", line, "bash", *words], capture_output=True, text=True, check=False)

    assert (2, 4) == (done.returncode, len(list((tmp_path / "nights").iterdir())))


@pytest.mark.parametrize("asked", ["--help", "--version"])
def test_help_that_cannot_be_written_is_one_sentence(asked: str) -> None:
    """Click prints these by itself."""
    done = subprocess.run(["sh", "-c", f'"$1" {asked} >/dev/full', "sh", str(SCRIPT)], capture_output=True, check=False)

    assert (1, b"Error: the answer could not be written (No space left on device).\n") == (done.returncode, done.stderr)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("book", "backup", "copy.book"), "copy.book is a whole copy"),
        (("book", "export", "plain"), "plain is a whole export"),
        (("person", "forget", "P-3", "--yes", "--by", "P-1"), "recorded under id "),
    ],
)
def test_what_was_made_while_its_answer_is_lost_is_named(
    book_file: Path, tmp_path: Path, words: tuple[str, ...], says: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With the code of an act whose answer is lost; of a command that takes no id nobody is told to give one."""
    monkeypatch.chdir(tmp_path)
    done = shell(book_file, words, ">/dev/full")

    assert (RECORDED_UNANSWERED, True) == (done.returncode, done.stderr.startswith(says))
    assert "and only the answer failed: the answer could not be written" in done.stderr
    assert "--id" not in done.stderr


def test_an_act_behind_which_the_program_breaks_says_that_it_is_recorded() -> None:
    """Whatever is raised once it is recorded: an error, a refusal of something else, a stop by whoever waits."""
    context = click.Context(click.Command("any"))
    context.meta[RECORDED] = "told-1"
    broken = [ZeroDivisionError("none"), click.UsageError("no such thing"), click.Abort()]
    with context:
        told = [failure(context, error) for error in broken]

    assert [True] * 3 == [isinstance(each, Unanswered) for each in told]
    for said, each in zip(("ZeroDivisionError: none", "no such thing", "it was stopped"), told, strict=True):
        assert f"recorded under id told-1, and only the answer failed: {said}" in str(each).replace(PROGRAM, "")


def test_a_sign_that_the_terminal_does_not_have_loses_no_answer(book_file: Path) -> None:
    """The number of the sign stands there."""
    asked = [str(SCRIPT), "--book", str(book_file), "vehicle", "add", "řed", "--model", "M", "--by", "P-2"]
    plain = {**os.environ, "PYTHONIOENCODING": "latin-1"}
    done = subprocess.run(asked, env=plain, capture_output=True, text=True, check=False)

    assert (0, "V-4: \\u0159ed\n", "") == (done.returncode, done.stdout, done.stderr)


def spoil(book: Path, old: bytes, new: bytes) -> None:
    """Write over every place of the file where these bytes stand."""
    content = book.read_bytes()
    assert content.count(old) > 0
    book.write_bytes(content.replace(old, new))


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (b'"tag":"bike-1"', b'"tag":"bike\xff1"'),
        (b'"tag":"bike-1"', b'"tag":bike-1""'),
        (b'"vehicle/V-1"', b'"vehicle/V-7"'),
        (b'"entered.1"', b'"entered.7"'),
        (b"CREATE TABLE jobs", b"CREATE TABLE joba"),
        (b"CREATE INDEX ledger_opened", b"CREATE INDEX ledger_o\xffened"),
    ],
    ids=["no UTF-8", "no JSON", "another subject", "another kind", "a list gone", "an index spoilt"],
)
@pytest.mark.parametrize(
    "words",
    [
        ("vehicle", "show", "V-1"),
        ("job", "open", "--vehicle", "V-1", "--procedure", "axle"),
        ("ledger", "verify"),
        ("book", "rebuild"),
        ("nightly",),
    ],
    ids=" ".join,
)
def test_a_damaged_book_is_told_as_such(
    run: Run, book_file: Path, words: tuple[str, ...], old: bytes, new: bytes
) -> None:
    """By every command that meets it: which file, and what to do. Whatever does not meet it answers as ever."""
    checkpointed(book_file)
    spoil(book_file, old, new)
    done = run(*words)
    verified = run("ledger", "verify")

    assert "fault of the program" not in done.stdout + done.stderr
    assert "Traceback" not in done.stderr
    assert verified.returncode == 1
    if done.returncode != 0 and words != ("ledger", "verify"):
        named = f"{book_file} is damaged" in done.stderr or "cannot be read: its kind, entered.7," in done.stderr
        assert named or (words, done.returncode) == (("nightly",), 2)


def checkpointed(book: Path) -> None:
    """Put everything into the file itself."""
    with open_workshop(book) as workshop:
        list(workshop.book.engine.rows("pragma wal_checkpoint(truncate)"))
