"""Appending: one act, once, in one transaction."""

import threading
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from typing import Protocol

import pytest

from torqueaudit.book.book import Book
from torqueaudit.book.errors import IdUsed, Moved
from torqueaudit.book.lists.upkeep import RowsOf
from torqueaudit.ledger.entry import Act, Draft, act_digest


class Place(Protocol):
    """Where the book lies, for another program."""

    def open(self, clock: Callable[[], datetime], rows_of: RowsOf) -> Book: ...


NOON = datetime(2031, 4, 2, 12, tzinfo=UTC)


def act(id_: str = "A", text: str = "x") -> Act:
    """An act with this to say."""
    return Act(id_, act_digest("note", "P-3", "job/1", {"text": text}))


def draft(subject: str = "job/1", text: object = "x") -> Draft:
    """A fact about a subject."""
    return Draft(subject=subject, kind="noted.1", happened_at=NOON, who="P-3", said={"text": text})


def test_entries_stand_in_their_places(book: Book) -> None:
    """Sequence counts on the site, number within the subject, and each names the one before it."""
    entries = book.append(act(), [draft("job/1"), draft("job/2"), draft("job/1")], {"job/1": 0, "job/2": 0})

    assert [1, 2, 3] == [entry.sequence for entry in entries]
    assert [1, 1, 2] == [entry.number for entry in entries]
    assert ["A", "A~2", "A~3"] == [entry.id for entry in entries]
    assert [hash_ for _, hash_ in book.ledger()][:2] == [entry.previous for entry in entries][1:]
    assert book.head().hash == book.ledger()[-1][1]
    assert [entries[0], entries[2]] == book.entries("job/1")
    assert entries[1] == book.entry(2)
    assert book.entry(4) is None
    assert [] == book.verify()


def test_the_same_act_twice_changes_nothing(book: Book) -> None:
    """A phone that lost the answer sends again, also when others have written since."""
    first = book.append(act(), [draft(), draft()], {"job/1": 0})
    book.append(act("B"), [draft()], {"job/1": 2})
    again = book.append(act(), [draft(), draft()], {"job/1": 0})

    assert first == again == book.earlier(act())
    assert book.earlier(act("C")) is None
    assert 3 == book.head().sequence


def test_a_used_id_with_other_words_is_refused(book: Book) -> None:
    """Nothing is written, and the sentence names the id."""
    book.append(act(), [draft()], {})

    with pytest.raises(IdUsed, match="The id A was used before for something else"):
        book.earlier(act(text="y"))
    with pytest.raises(IdUsed, match="The id A was used before for something else"):
        book.append(act(text="y"), [draft()], {})
    assert 1 == book.head().sequence


@pytest.mark.parametrize("expect", [{"job/1": 0}, {"job/1": 2}, {"job/2": 1}, {"job/1": 1, "wrench/W-2": 1}])
def test_a_subject_that_moved_on_is_told(book: Book, expect: dict[str, int]) -> None:
    """Also one that was only read, such as the wrench."""
    book.append(act(), [draft()], {})

    with pytest.raises(Moved) as moved:
        book.append(act("B"), [draft()], expect)
    assert moved.value.subject in expect
    assert 1 == book.head().sequence


@pytest.mark.parametrize("text", [None, 1.5, 2**53, "\ud800", {"A": 1}])
def test_what_the_ledger_cannot_hold_writes_nothing(book: Book, text: object) -> None:
    """The whole act is refused, not half of it."""
    with pytest.raises((TypeError, ValueError)):
        book.append(
            act(),
            [draft(), draft("person/P-3"), draft(text=text)],
            {},
            personal={"person/P-3": {"name": "Anna Example"}},
        )

    assert 0 == book.head().sequence
    assert [] == book.entries("job/1")
    assert {} == book.personal_of("person/P-3")
    assert [] == book.verify()


def test_lists_that_cannot_be_worked_out_write_nothing(misnaming: Book) -> None:
    """A list the schema does not know is a fault of the program; the entry is not written either."""
    with pytest.raises(ValueError, match="there is no list typos"):
        misnaming.append(act(), [draft()], {})

    assert 0 == misnaming.head().sequence
    assert [] == misnaming.entries("job/1")


@pytest.fixture
def misnaming(book: Book, place: Place) -> Iterator[Book]:
    """The book, opened again by a program that names a list wrongly."""
    with place.open(book.clock, lambda _subject, _entries: {"typos": []}) as broken:
        yield broken


def test_the_next_number_is_one_more_than_the_highest(book: Book) -> None:
    """Whatever stands before the number, and in whatever order they came."""
    for index, subject in enumerate(["job/9", "job/10", "job/2", "wrench/W-7", "wrench/W-3", "procedure/" + "ab" * 32]):
        book.append(act(f"A{index}"), [draft(subject)], {subject: 0})

    assert (11, 8, 1) == (book.next_number("job"), book.next_number("wrench"), book.next_number("person"))


def test_threads_share_a_book(book: Book) -> None:
    """Each gets a connection of its own; nobody's entry is lost and the chain is sound."""

    def write(name: int) -> None:
        for index in range(20):
            book.append(act(f"T{name}-{index}"), [draft(f"job/{name}")], {})

    threads = [threading.Thread(target=write, args=(name,)) for name in range(1, 5)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert 80 == book.head().sequence
    assert [20] * 4 == [len(book.entries(f"job/{name}")) for name in range(1, 5)]
    assert [] == book.verify()


def test_entries_read_before_are_not_stale(book: Book, place: Place) -> None:
    """What another program wrote in between is seen, and a list handed out is the caller's own."""
    book.append(act(), [draft()], {})
    own = book.entries("job/1")
    own.clear()
    with place.open(book.clock, lambda _subject, _entries: {}) as other:
        other.append(act("B"), [draft()], {"job/1": 1})

    assert ["A", "B"] == [entry.id for entry in book.entries("job/1")]
