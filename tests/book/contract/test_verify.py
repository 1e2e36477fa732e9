"""Verification: whatever is done to the ledger behind the program's back is told."""

from collections.abc import Callable
from typing import Any, Protocol, TypeAlias

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from torqueaudit.book.book import Book
from torqueaudit.ledger.entry import Entry, document_of, hash_of

Say: TypeAlias = Callable[..., list[Entry]]


class Clock(Protocol):
    """The clock of these tests."""

    def pass_by(self, seconds: int) -> None: ...


class Place(Protocol):
    """Where the book lies, for somebody who puts the guards of the ledger aside for a moment."""

    def forge(self, sequence: int, text: str, hash_: str) -> None: ...

    def lose(self, sequence: int) -> None: ...


@pytest.fixture
def five(book: Book, say: Say) -> Book:
    """A book of five entries."""
    for number in range(1, 6):
        say(f"job/{number % 2 + 1}", "N·m"[: number % 3])
    return book


def test_a_sound_book_has_no_fault(five: Book) -> None:
    """Also held against its own head, and against an earlier one."""
    early = five.ledger(3, 3)[0][1]

    assert [] == five.verify() == five.verify(five.head())
    assert [] == five.verify(five.head()._replace(sequence=3, hash=early))


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=40, deadline=None)
@given(data=st.data())
def test_a_tampered_row_is_always_noticed(five: Book, place: Place, data: st.DataObject) -> None:
    """One entry's words are changed at or below a kept head, with its hash computed anew or not; then put back."""
    head = five.head()
    sequence = data.draw(st.integers(1, 5))
    entry, digest = five.ledger(sequence, sequence)[0]
    field = data.draw(st.sampled_from(["who", "kind", "said", "happened_at", "recorded_at", "digest", "of"]))
    other: dict[str, Any] = {"said": {"text": "forged"}, "who": "P-9", "kind": "forged.1", "digest": "cd" * 32, "of": 9}
    forged = document_of(entry._replace(**{field: other.get(field, "2030-01-01T00:00:00Z")}))
    anew = hash_of(forged) if data.draw(st.booleans()) else digest
    place.forge(sequence, forged, anew)
    noticed = five.verify(head)
    place.forge(sequence, document_of(entry), digest)

    assert [] != noticed
    assert [] == five.verify(head)


def test_a_ledger_written_anew_is_noticed_by_a_kept_head(five: Book, place: Place) -> None:
    """Every hash behind the forged entry computed anew: the chain is sound, and only the head tells."""
    head, previous = five.head(), five.ledger(2, 2)[0][0].previous
    for entry, _ in five.ledger(2):
        who = "P-9" if entry.sequence == 2 else entry.who
        document = document_of(entry._replace(previous=previous, who=who))
        previous = hash_of(document)
        place.forge(entry.sequence, document, previous)

    assert [] == five.verify()
    assert "Entry 5 is not the one the printed head knew: the ledger was written anew." in five.verify(head)


def test_a_cut_tail_is_noticed_by_a_kept_head(five: Book, place: Place) -> None:
    """The lists, too, hold what the ledger no longer knows."""
    head = five.head()
    place.lose(5)

    assert "The ledger ends at entry 4; the printed head knew entry 5: its tail is lost." in five.verify(head)
    assert ["The list jobs differs from the ledger on job/2; rebuild the lists."] == [
        sentence for sentence in five.verify() if "list jobs" in sentence
    ]


def test_a_lost_entry_is_noticed_without_a_head(five: Book, place: Place) -> None:
    """The one behind it does not follow."""
    place.lose(3)

    assert "Entry 3 does not follow the entry before it." in five.verify()


def test_a_clock_set_back_is_told(five: Book, say: Say, clock: Clock) -> None:
    """It is recorded as it reads, and told for ever; a book is sound all the same."""
    clock.pass_by(-60)
    say("job/9")
    expected = ["The clock was set back before entry 6: from 2031-04-02T09:00:00Z to 2031-04-02T08:59:00Z."]

    assert (expected, []) == (five.remarks(), five.verify())
