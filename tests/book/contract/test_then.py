"""A book as it stood at an entry: the ledger ends there, and the lists hold what was so then."""

from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Protocol, TypeAlias

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from torqueaudit.book.book import Book
from torqueaudit.book.lists.upkeep import LISTS, RowsOf
from torqueaudit.ledger.entry import Act, Draft, Entry, act_digest

Say: TypeAlias = Callable[..., list[Entry]]


class Place(Protocol):
    """Where a book lies, and what is raised there for a statement that is refused."""

    refusal: type[Exception]

    def new(self, clock: Callable[[], datetime], rows_of: RowsOf) -> Book: ...


PlaceIn: TypeAlias = Callable[[Path], Place]

NOW = datetime(2031, 4, 2, 9, tzinfo=UTC)
SUBJECTS = ["job/1", "job/2", "wrench/W-1"]
acts = st.lists(
    st.lists(
        st.tuples(st.sampled_from(SUBJECTS), st.sampled_from(["noted.1", "struck.1"])),
        min_size=1,
        max_size=4,
    ),
    min_size=1,
    max_size=10,
)


def rows(book: Book, subjects: Sequence[str]) -> list[list[str]]:
    """What every list holds of these subjects."""
    asked = ", ".join("?" * len(subjects))
    told = []
    for table in LISTS:
        columns = ", ".join(f'"{column}"' for column in book.engine.columns(table))
        found = book.rows(f"select {columns} from {table} where subject in ({asked})", *subjects)  # noqa: S608 of LISTS
        told.append(sorted(map(repr, found)))
    return told


def told(book: Book, subjects: Sequence[str]) -> tuple[str, list[list[Entry]], list[list[str]]]:
    """The head, the entries of these subjects, and their rows."""
    return str(book.head()), [book.entries(subject) for subject in subjects], rows(book, subjects)


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(said=acts, asked=st.lists(st.sampled_from(SUBJECTS), min_size=1, max_size=3, unique=True))
def test_a_book_as_it_stood_is_what_it_was(
    place_in: PlaceIn, rows_of: RowsOf, said: list[list[tuple[str, str]]], asked: list[str]
) -> None:
    """Behind each act in turn, whatever was told and struck since; and afterwards the book is what it is."""
    with TemporaryDirectory() as folder, place_in(Path(folder)).new(lambda: NOW, rows_of) as book:
        then = []
        for number, act in enumerate(said):
            drafts = [
                Draft(subject=subject, kind=kind, happened_at=NOW, who="P-3", said={"text": f"{number}"})
                for subject, kind in act
            ]
            book.append(Act(f"a-{number}", act_digest("note", "P-3", "x", {"n": number})), drafts, {})
            then.append((book.head().sequence, told(book, asked)))
        for last, expected in then:
            with book.then(last, asked) as past:
                assert expected == told(past, asked)
        assert then[-1][1] == told(book, asked)


def test_what_others_did_by_then_stands_in_the_events(book: Book, say: Say) -> None:
    """How often a wrench was used is asked across all vehicles."""
    say("job/1", text="one")
    last = book.head().sequence
    say("job/2", text="two")
    with book.then(last, ["job/9"]) as past:
        positions = past.rows("select position from fastener_events where entry > ?", 0)

    assert [("one",)] == positions


def test_nothing_is_written_to_the_past(book: Book, place: Place, say: Say) -> None:
    """The ledger is not there to be written to."""
    say("job/1", text="one")
    head, (text, hash_) = book.head(), next(iter(book.engine.texts(book.site, 1, 1)))
    with book.then(head.sequence, ["job/1"]) as past, pytest.raises(place.refusal):
        past.engine.insert(2, text, hash_)

    assert (head, 1) == (book.head(), len(book.entries("job/1")))
