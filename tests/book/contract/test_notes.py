"""What a book was asked is noted, so that it is known whether that still holds: whoever writes, in whatever program."""

from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from typing import Protocol

import pytest

from torqueaudit.book.book import Book
from torqueaudit.book.lists.upkeep import RowsOf
from torqueaudit.book.notes import Notes
from torqueaudit.book.words import ERASED
from torqueaudit.ledger.entry import Act, Draft, act_digest
from torqueaudit.ledger.words import FreeWords

NOON = datetime(2031, 4, 2, 12, tzinfo=UTC)
EVENTS = "select position from fastener_events where vehicle = ? order by entry"


class Place(Protocol):
    """Where the book lies, for another program and for a stranger."""

    def open(self, clock: Callable[[], datetime], rows_of: RowsOf) -> Book: ...

    def run(self, sql: str) -> None: ...


def note(book: Book, id_: str, subject: str = "job/1") -> None:
    """Record a fact with words that may be erased."""
    act = Act(id_, act_digest("note", "P-3", subject, {"text": id_}), words={"remark": "rusty"})
    said = {"text": id_, "remark": FreeWords("rusty")}
    book.append(act, [Draft(subject=subject, kind="noted.1", happened_at=NOON, who="P-3", said=said)], {})


def erase(book: Book, entry: int) -> None:
    """Erase the words of an entry."""
    subject, said = f"site/{book.site}", {"entries": [entry]}
    drafts = [Draft(subject=subject, kind=ERASED, happened_at=NOON, who="P-1", said=said, judged={"on": "2031-04-02"})]
    book.append(Act("erase", act_digest("erase", "P-1", subject, said)), drafts, {})


@pytest.fixture
def book(book: Book) -> Book:
    """One job of which something is told."""
    note(book, "A")
    return book


@pytest.fixture
def other(book: Book, place: Place, clock: Callable[[], datetime], rows_of: RowsOf) -> Iterator[Book]:
    """The same book, open a second time."""
    assert book.head().sequence
    with place.open(clock, rows_of) as opened:
        yield opened


def asked(book: Book) -> Notes:
    """Ask for a job and for a list, and note it."""
    with book.engine.notes.taken() as notes:
        book.entries("job/1")
        book.rows(EVENTS, "V-1")
    return notes


WRITES: dict[str, Callable[[Book, Book, Place], None]] = {
    "an act here": lambda book, *_: note(book, "B"),
    "an act of another program": lambda _, other, __: note(other, "B"),
    "words erased by another program": lambda _, other, __: erase(other, 1),
    "a list changed by a stranger": lambda *places: places[2].run("update fastener_events set position = 'x'"),
}


@pytest.mark.parametrize("write", WRITES.values(), ids=WRITES.keys())
def test_what_was_asked_holds_until_it_is_answered_otherwise(
    book: Book, other: Book, place: Place, write: Callable[[Book, Book, Place], None]
) -> None:
    """Whoever changes it, and by what way."""
    notes, before = asked(book), book.engine.changes()
    expected = [(True, True), (False, False)]
    actual = [(book.engine.holds(notes), book.engine.changes() == before)]
    write(book, other, place)
    actual.append((book.engine.holds(notes), book.engine.changes() == before))

    assert expected == actual


def test_what_others_do_elsewhere_leaves_it_as_it_is(book: Book, other: Book) -> None:
    """The book has changed, and not what was asked of it."""
    notes, before = asked(book), book.engine.changes()
    other.append(
        Act("C", act_digest("note", "P-3", "person/P-3", {})),
        [Draft(subject="person/P-3", kind="noted.1", happened_at=NOON, who="P-3", said={})],
        {},
    )

    assert before != book.engine.changes()
    assert book.engine.holds(notes)


def test_every_thread_counts_the_same_changes(book: Book) -> None:
    """Also one that has written itself."""
    with ThreadPoolExecutor(4) as threads:
        before = {each.result() for each in [threads.submit(book.engine.changes) for _ in range(8)]}
        threads.submit(note, book, "B").result()
        after = {each.result() for each in [threads.submit(book.engine.changes) for _ in range(8)]}

    assert (1, 1, set()) == (len(before), len(after), before & after)


def test_what_also_writes_is_nothing_to_keep(book: Book) -> None:
    """Nor is what asks in a way that no notes tell of; the work around it knows it too."""
    with book.engine.notes.taken() as around:
        book.entries("job/1")
        with book.engine.notes.taken() as notes:
            note(book, "B")

    assert (True, True) == (notes.spoilt, around.spoilt)
    assert not book.engine.holds(around)


def test_a_book_that_moved_on_meanwhile_is_nothing_to_keep(book: Book, other: Book) -> None:
    """Half of the work would be of before, and half of after."""
    with book.engine.notes.taken() as notes:
        book.rows(EVENTS, "V-1")
        note(other, "B")
        book.rows(EVENTS, "V-1")

    assert notes.spoilt
