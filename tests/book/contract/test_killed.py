"""A program is killed while it writes: what it said is recorded stands, and of the act in hand all or nothing."""

import os
import runpy
import subprocess
import sys
from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path
from typing import Any, Protocol

import pytest

from torqueaudit.book.book import Book
from torqueaudit.book.lists.upkeep import RowsOf

KILLED = Path(__file__).with_name("killed.py")
PROGRAM: dict[str, Any] = runpy.run_path(str(KILLED))
NEVER = -1


class Place(Protocol):
    """Where the book lies, for another program."""

    address: str

    def open(self, clock: Callable[[], datetime], rows_of: RowsOf) -> Book: ...


@pytest.fixture
def left(book: Book, place: Place) -> Iterator[Book]:
    """The book as a program after the killed one finds it."""
    with place.open(book.clock, PROGRAM["rows_of"]) as opened:
        yield opened


def whole_acts(book: Book) -> int:
    """How many acts stand: each with all of its entries, with its lists and its personal data, or not at all."""
    entries = [entry for entry, _ in book.ledger()]
    acts = len(entries) // 4

    assert [f"K-{act}{end}" for act in range(acts) for end in ("", "~2", "~3", "~4")] == [entry.id for entry in entries]
    assert ({"name": f"Sample {acts - 1}"} if acts else {}) == book.personal_of("person/P-3")
    assert [] == book.verify()
    return acts


@pytest.mark.parametrize("last", [0, 3])
def test_killed_in_the_middle_of_an_act(place: Place, left: Book, last: int) -> None:
    """Nothing of it is there, and the same act sent again is recorded."""
    died = subprocess.run([sys.executable, KILLED, place.address, str(last)], capture_output=True, check=False)
    stand = whole_acts(left)
    PROGRAM["record"](left, last)

    assert (-9, b"") == (died.returncode, died.stderr)
    assert last == stand
    assert last + 1 == whole_acts(left)


@pytest.mark.proof
def test_killed_at_any_moment(place: Place, left: Book) -> None:
    """Every act that was said to be recorded is there, and the one in hand may be. Three times, and 50 in proof."""
    for _ in range(50 if "TORQUEAUDIT_PROOF" in os.environ else 3):
        before = whole_acts(left)
        with subprocess.Popen([sys.executable, KILLED, place.address, str(NEVER)], stdout=subprocess.PIPE) as program:
            assert program.stdout is not None
            said = [program.stdout.readline() for _ in range(before + 7)]
            program.kill()
            said += program.stdout.readlines()

        assert whole_acts(left) - len(said) in {0, 1}
