"""Where there is no wheel of pysqlite3, Python's own SQLite serves."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

HERE = Path(__file__).parent
PROOF = "TORQUEAUDIT_PROOF" in os.environ
TORQUEAUDIT = Path(sys.executable).with_name("torqueaudit")
CONTRACT = HERE.parent / "contract"
# What hangs most on the SQLite that is there; `make proof` runs all.
SHARE = [
    HERE / "test_opening.py",
    *(CONTRACT / f"test_{name}.py" for name in ("append", "killed", "ledger", "writers")),
]
WHOLE = [CONTRACT, HERE / "test_migrating.py", HERE / "test_opening.py"]


@pytest.fixture
def own(tmp_path: Path) -> dict[str, str]:
    """The surroundings of a program that finds no pysqlite3."""
    (tmp_path / "pysqlite3.py").write_text("raise ImportError")
    return {**os.environ, "PYTHONPATH": f"{tmp_path}{os.pathsep}{os.environ.get('PYTHONPATH', '')}"}


def run(tmp_path: Path, own: dict[str, str], *command: str | Path) -> subprocess.CompletedProcess[str]:
    """Run a command there."""
    return subprocess.run(command, env=own, cwd=tmp_path, capture_output=True, text=True, check=False)


def test_a_program_that_finds_no_pysqlite3_takes_pythons_own(tmp_path: Path, own: dict[str, str]) -> None:
    """Else the tests below would try the same module twice."""
    which = "from torqueaudit.book.sqlite.connection import sqlite3; print(sqlite3.__name__)"
    chosen = run(tmp_path, own, sys.executable, "-c", which)

    assert "sqlite3" == chosen.stdout.strip()


@pytest.mark.proof
def test_pythons_own_sqlite_passes_the_tests_of_the_book(tmp_path: Path, own: dict[str, str]) -> None:
    """Making and opening, and part of the contract.

    The whole contract, and every migration from each older schema and of each kept ledger, in `make proof`.
    """
    pytest_here = ["-m", "pytest", "-q", "-n", "0", "-o", f"cache_dir={tmp_path}"]
    suite = run(tmp_path, own, sys.executable, *pytest_here, *(WHOLE if PROOF else SHARE))

    assert (0, "") == (suite.returncode, suite.stderr), suite.stdout


def test_a_book_of_the_other_sqlite_is_waited_for(book_file: Path, tmp_path: Path, own: dict[str, str]) -> None:
    """Its journal mode cannot be changed while another program is there, which may be about to do the same."""
    program = (
        "import random, sqlite3, sys, threading; from datetime import UTC, datetime; from pathlib import Path\n"
        "from torqueaudit.book.book import Book\n"
        "other = sqlite3.connect(sys.argv[1], check_same_thread=False); other.execute('pragma user_version')\n"
        "print(other.execute('pragma journal_mode').fetchone()[0])\n"
        "threading.Timer(0.3, other.close).start()\n"
        "with Book.open(Path(sys.argv[1]), lambda: datetime.now(UTC), random.Random()) as book:\n"
        "    print(book.rows('pragma journal_mode')[0][0])\n"
    )
    opened = run(tmp_path, own, sys.executable, "-c", program, book_file)

    assert ("wal\ntruncate\n", "") == (opened.stdout, opened.stderr)


def test_pythons_own_sqlite_makes_a_workshops_book(tmp_path: Path, own: dict[str, str]) -> None:
    """From `new` to an entry, and sound."""
    typed = [["new", "--site", "YARD", "--zone", "Europe/Vienna", "--address", "https://yard.example/"]]
    typed += [["person", "add", "Ada Example", "--role", "foreman", "--by", "setup"], ["ledger", "verify"]]
    said = [run(tmp_path, own, TORQUEAUDIT, "--book", "yard.book", *words) for words in typed]

    assert [(0, "")] * 3 == [(each.returncode, each.stderr) for each in said]
    assert "a new book for YARD" in said[0].stdout
    assert "sound" in said[2].stdout
