"""Free words in the file: read through an index, only where there are any, and erased to the last byte."""

from datetime import UTC, datetime
from pathlib import Path
from random import Random

import pytest

from torqueaudit.book.book import Book
from torqueaudit.book.sqlite.connection import Connection
from torqueaudit.ledger.entry import Draft, act_of
from torqueaudit.ledger.words import FreeWords

NOON = datetime(2031, 4, 2, 12, tzinfo=UTC)


def tell(book: Book, id_: str, subject: str, why: str) -> None:
    """Loosen something of a job, and say why."""
    said = {"why": FreeWords(why)} if why else {}
    draft = Draft(subject=subject, kind="loosened.2", happened_at=NOON, who="P-3", said=said)
    book.append(act_of(id_, "loosen", "P-3", subject, said), [draft], {})


def erase(book: Book, entries: list[int]) -> None:
    """Erase the words of these entries."""
    said = {"entries": entries, "why": FreeWords("asked for")}
    judged = {"on": "2031-04-02"}
    draft = Draft(subject="site/YARD", kind="words_erased.1", happened_at=NOON, who="P-1", said=said, judged=judged)
    book.append(act_of(f"E{entries[0]}", "erase", "P-1", "site/YARD", said), [draft], {})


def test_a_subject_without_words_costs_no_second_question(book: Book, connection: Connection) -> None:
    """And one that has words costs one more, served by an index."""
    tell(book, "A", "job/1", "")
    tell(book, "B", "job/2", "seized")
    asked: list[str] = []
    connection.set_trace_callback(asked.append)
    book.entries("job/1")
    without = len(asked)
    book.entries("job/2")
    connection.set_trace_callback(None)
    plan = [step[3] for text in asked if "from words" in text for step in book.rows(f"explain query plan {text}")]

    assert (1, 3) == (without, len(asked))
    assert any("SEARCH words USING INDEX words_subject (subject=?)" in step for step in plan)


@pytest.mark.parametrize("seed", [4, 16, 38])
def test_words_erased_are_gone_from_the_file(book: Book, seed: int) -> None:
    """No byte of the file or its log holds one of them, whatever was moved within the file before; the others stand."""
    chance = Random(seed)
    for number in range(1, 301):
        tell(
            book,
            f"A{number}",
            f"job/{number % 7}",
            f"SECRET{number:04d} " + "x" * chance.choice([5, 30, 100, 400, 3000]),
        )
    gone = chance.sample(range(1, 301), 200)
    for first in range(0, 200, 20):
        erase(book, gone[first : first + 20])
    held = b"".join(file.read_bytes() for file in book.path.parent.iterdir())
    found = {number for number in range(1, 301) if f"SECRET{number:04d}".encode() in held}

    assert set(range(1, 301)) - set(gone) == found
    assert [] == book.verify()


def test_a_backup_carries_the_words(book: Book, tmp_path: Path) -> None:
    """Those that stand, and that the others were erased."""
    tell(book, "A", "job/1", "the washer was forgotten")
    tell(book, "B", "job/1", "named a customer")
    erase(book, [2])
    folder = tmp_path / "backup"
    folder.mkdir()
    book.backup(folder / "copy.book")

    with Book.open(folder / "copy.book", book.clock, Random(1), rows_of=lambda _subject, _entries: {}) as copy:
        told = [entry.told("why") for entry in copy.entries("job/1")]
        faults = [fault for fault in copy.verify() if "rebuild the lists" not in fault]

    assert ["the washer was forgotten", "words erased on 2031-04-02 by P-1"] == told
    assert [] == faults
    assert b"named a customer" not in (folder / "copy.book").read_bytes()
