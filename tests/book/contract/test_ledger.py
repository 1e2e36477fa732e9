"""The ledger: the database itself takes the next entry and refuses everything else, whatever the program does."""

from collections.abc import Callable, Mapping
from threading import Thread
from typing import Protocol, TypeAlias

import pytest

from torqueaudit.book.book import Book
from torqueaudit.ledger.entry import Entry, document_of, hash_of

Say: TypeAlias = Callable[..., list[Entry]]
Tell: TypeAlias = Callable[[Book, str, Mapping[str, str]], None]


class Place(Protocol):
    """Where the book lies, for a stranger who may write."""

    refusal: type[Exception]

    def run(self, sql: str) -> None: ...


@pytest.fixture
def four(book: Book, say: Say) -> Book:
    """A book of four entries, two of each job."""
    for text in "abcd":
        say(f"job/{ord(text) % 2 + 1}", text)
    return book


@pytest.mark.parametrize(
    ("sequence", "changes"),
    [
        (2, {}),
        (2, {"who": "P-4"}),
        (5, {"sequence": 5, "number": 3}),
        (5, {"sequence": 5, "id": "new"}),
        (5, {"sequence": 5, "number": 4, "id": "new"}),
        (6, {"sequence": 6, "number": 3, "id": "new"}),
    ],
    ids=[
        "over an old one",
        "over an old one with other words",
        "a used id",
        "a used number",
        "a number too far",
        "a gap",
    ],
)
def test_only_the_next_entry_enters(four: Book, place: Place, sequence: int, changes: dict[str, object]) -> None:
    """And nothing of a refused one stays."""
    text = document_of(four.entries("job/1")[0]._replace(**changes))  # type: ignore[arg-type]
    before = four.ledger()

    with pytest.raises(place.refusal), four.engine.writing():
        four.engine.insert(sequence, text, hash_of(text))
    assert before == four.ledger()
    assert [] == four.verify()


def test_the_next_entry_itself_enters(four: Book) -> None:
    """So that the test above sees the guard, and no other mistake."""
    text = document_of(four.entries("job/1")[0]._replace(sequence=5, number=3, id="new"))
    with four.engine.writing():
        four.engine.insert(5, text, hash_of(text))

    assert (5, hash_of(text)) == four.engine.last()


@pytest.mark.parametrize(
    "statement",
    [
        "update ledger set hash = 'x' where sequence = 2",
        "update ledger set document = document",
        "update ledger set document = replace(document, 'P-3', 'P-4')",
        "delete from ledger where sequence = 4",
        "delete from ledger",
    ],
)
def test_nothing_is_changed_and_nothing_leaves(four: Book, place: Place, statement: str) -> None:
    """Not even by a statement that would change nothing."""
    before = four.ledger()

    with pytest.raises(place.refusal):
        place.run(statement)
    assert before == four.ledger()


def test_a_transaction_that_breaks_off_writes_nothing(four: Book, say: Say) -> None:
    """Neither entry nor list nor personal data, and the next act is taken as if it had never been."""
    text = document_of(four.entries("job/1")[0]._replace(sequence=5, number=3, id="new"))

    def break_off() -> None:
        with four.engine.writing():
            four.engine.insert(5, text, hash_of(text))
            four.engine.run("insert into personal (subject, field, value) values ('person/P-3', 'name', 'Sample')")
            four.engine.run("delete from jobs")
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        break_off()

    assert 4 == four.head().sequence
    assert {} == four.personal_of("person/P-3")
    assert [] == four.verify()
    assert [5] == [entry.sequence for entry in say("job/1")]


def test_a_snapshot_sees_one_state(four: Book, tell: Tell) -> None:
    """An act that comes meanwhile waits, or is recorded; it is seen by the next question behind the snapshot."""
    writer = Thread(target=tell, args=(four, "person/P-3", {"name": "Sample"}))
    with four.engine.snapshot():
        before = four.personal_of("person/P-3")
        writer.start()
        writer.join(timeout=0.2)
        during = four.personal_of("person/P-3")
    writer.join()

    assert {} == before == during
    assert {"name": "Sample"} == four.personal_of("person/P-3")


@pytest.mark.parametrize("nth", range(4))
def test_a_ledger_is_read_in_parts_that_are_the_whole(four: Book, nth: int) -> None:
    """By sequence and by subject, wherever it is parted: nothing is read twice and nothing is left out."""
    engine = four.engine
    rows, texts = list(engine.stored()), list(engine.texts_by_subject())
    parted = engine.subject_at(nth)

    assert rows == [*engine.stored(0, nth), *engine.stored(nth)]
    assert texts == [*engine.texts_by_subject("", parted), *engine.texts_by_subject(parted)]
    assert (["job/1", "job/2"], ["job/1", "job/1", "job/2", "job/2"][nth]) == (list(engine.subjects()), parted)


def test_what_every_act_asks_at_once_is_what_two_questions_give(four: Book) -> None:
    """The text under its id, or none, and the newest entry."""
    for id_ in (four.ledger(2, 2)[0][0].id, "unknown"):
        expected = (four.engine.text_with_id(id_), four.engine.last())

        assert expected == four.engine.text_with_id_and_last(id_)
