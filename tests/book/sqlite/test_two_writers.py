"""Two programs write one book at once."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from torqueaudit.book.book import Book
from torqueaudit.book.lists.upkeep import RowsOf
from torqueaudit.book.sqlite.turns import Turns

WRITER = Path(__file__).parents[1] / "writer.py"


def seconds() -> float:
    """How long they write: 2 s, and 30 s in `make proof`."""
    return 30 if "TORQUEAUDIT_PROOF" in os.environ else 2


def written_before_my_turn(book: Book, turns: Turns) -> int:
    """Take a turn between theirs: the entries that were written after I was first in line and before my turn."""
    turns.come(30)
    stood = book.head().sequence
    book.engine.run("begin immediate")
    turns.leave()
    began = book.head().sequence
    book.engine.run("rollback")
    return began - stood


@pytest.mark.proof
def test_two_programs_write_one_book(book: Book, rows_of: RowsOf) -> None:
    """No error, no lost entry, the chain sound; who is first in line waits for the act in hand and for no other."""
    command = [sys.executable, "-W", "error", str(WRITER), str(book.path)]
    writers = [
        subprocess.Popen([*command, name, str(seconds())], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        for name in ("2", "3")
    ]
    turns = Turns(book.path)
    waited = set()
    while None in [writer.poll() for writer in writers]:
        waited.add(written_before_my_turn(book, turns))
    turns.close()
    ends = [writer.communicate() for writer in writers]
    acts = [int(out or -1) for out, _ in ends]

    assert ["", ""] == [err for _, err in ends]
    assert [0, 0] == [writer.returncode for writer in writers]
    assert waited <= {0, 2}
    assert 2 * sum(acts) == book.head().sequence
    ids = {entry.id for entry, _ in book.ledger()}
    assert ids == {
        f"{name}-{act}{end}" for name, done in zip("23", acts, strict=True) for act in range(done) for end in ("", "~2")
    }
    book.rebuild()
    assert [] == book.verify()
    with Book.open(book.path, book.clock, book.chance, rows_of=rows_of) as again:
        assert book.head() == again.head()


def test_two_programs_open_an_old_book_at_once(book: Book) -> None:
    """Each sees that it is behind; one brings it up to date and the other finds nothing left to do."""
    book.engine.run("pragma user_version = 0")
    book.close()
    command = [sys.executable, "-W", "error", str(WRITER), str(book.path)]
    programs = [
        subprocess.Popen([*command, name, "0.05"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        for name in ("2", "3", "4")
    ]
    errors = [program.communicate()[1] for program in programs]

    assert ["", "", ""] == errors
    assert [0, 0, 0] == [program.returncode for program in programs]
