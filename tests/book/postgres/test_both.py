"""The same history in a file and in a database: the same heads, lists, words and answers."""

import random
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from datetime import UTC, datetime
from itertools import count
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any, NamedTuple, TypeAlias

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from torqueaudit.book.address import place_of
from torqueaudit.book.book import Book
from torqueaudit.book.engine import ALL, FINDS, PERSONAL_FINDS
from torqueaudit.book.lists.upkeep import LISTS, RowsOf
from torqueaudit.ledger.entry import Act, Draft, act_digest
from torqueaudit.ledger.words import FreeWords

if TYPE_CHECKING:
    from database import Server

NOW = datetime(2031, 4, 2, 9, tzinfo=UTC)
SUBJECTS = ["job/1", "job/12", "vehicle/V-1", "person/P-3", "wrench/W-7", "procedure/9f8e"]
NAMES = st.sampled_from(["Anna Example", "Zoë Ünal", "anna example", "Y-ARD 101", "+43 660 123", "", "李小龍"])
words = st.text(st.characters(codec="utf-8", categories=["L", "N", "P", "S", "Zs"]), max_size=12)
_sites = count(1)


class Told(NamedTuple):
    """One act: a subject and kind for each entry, its words, and who is known from then on."""

    entries: list[tuple[str, str]]
    remark: str
    known: dict[str, str]


histories = st.lists(
    st.builds(
        Told,
        st.lists(
            st.tuples(st.sampled_from(SUBJECTS), st.sampled_from(["noted.1", "struck.1"])), min_size=1, max_size=3
        ),
        words,
        st.dictionaries(st.sampled_from(["owner", "plate", "mobile"]), NAMES, max_size=2),
    ),
    min_size=1,
    max_size=8,
)


@pytest.fixture(scope="session")
def address(server: "Server") -> str:
    """The address of a chain's database."""
    return server.address(server.database())


Pair: TypeAlias = Callable[[], Any]


def pair(address: str, rows_of: RowsOf, until: ExitStack) -> Iterator[Book]:
    """The same new book in a file and in a database: one site, one clock, one source of randomness."""
    site, folder = f"YARD-{next(_sites)}", Path(until.enter_context(TemporaryDirectory()))
    for place in (folder / "yard.book", place_of(f"{address}&site={site}&beside={folder}")):
        yield until.enter_context(Book.new(place, site, lambda: NOW, random.Random(1), rows_of=rows_of))


def record(book: Book, nth: int, told: Told) -> None:
    """Record an act of the history."""
    said = {"text": str(nth), **({"remark": FreeWords(told.remark)} if told.remark else {})}
    act = Act(
        f"a-{nth}",
        act_digest("note", "P-3", "x", {"n": nth}),
        words={"remark": told.remark} if told.remark else {},
    )
    drafts = [
        Draft(subject=subject, kind=kind, happened_at=NOW, who="P-3", said=said) for subject, kind in told.entries
    ]
    known = {told.entries[0][0]: told.known} if told.known else {}
    book.append(act, drafts, {}, personal=known)


def answers(book: Book) -> dict[str, Any]:
    """Whatever a book is asked."""
    lists = {}
    for table in (*LISTS, "words", "personal", "personal_written", FINDS, PERSONAL_FINDS):
        columns = ", ".join(f'"{column}"' for column in book.engine.columns(table))
        lists[table] = sorted(map(repr, book.rows(f"select {columns} from {table}")))  # noqa: S608 of our own
    return {
        "head": str(book.head()),
        "entries": {subject: book.entries(subject) for subject in SUBJECTS},
        "subjects": [subject for subject, _ in book.subjects()],
        "ledger": book.ledger(),
        "documents": list(book.documents()),
        "next": [book.next_number(noun) for noun in ("job", "vehicle", "person", "wrench", "procedure", "device")],
        "mentioned": [book.mentions(text) for text in ("said anna example", "Y ARD 101", "0660123", "zoe", "nobody")],
        "known": [book.known_by(field) for field in ("owner", "plate", "mobile")],
        "found": {
            (table, part): book.found(table, part, ALL, 9)
            for table in (FINDS, PERSONAL_FINDS)
            for part in ("anna", "example", "yard", "660", "zoe unal", "xyz")
        },
        "with words": book.with_words(),
        "verified": book.verify(),
        "lists": lists,
    }


@settings(max_examples=6 if settings().max_examples < 100 else 200, suppress_health_check=[HealthCheck.too_slow])
@given(history=histories)
def test_both_engines_say_the_same(address: str, rows_of: RowsOf, history: list[Told]) -> None:
    """Behind each act in turn, and once all lists are written anew; and the past says the same too."""
    with ExitStack() as until:
        file, database = pair(address, rows_of, until)
        for nth, told in enumerate(history):
            for book in (file, database):
                record(book, nth, told)
            assert answers(file) == answers(database)
        for book in (file, database):
            book.rebuild()
        assert answers(file) == answers(database)
        middle = file.head().sequence // 2 + 1
        with file.then(middle, ["job/1"]) as one, database.then(middle, ["job/1"]) as other:
            assert one.entries("job/1") == other.entries("job/1")
            assert one.rows("select * from jobs") == [row[:-1] for row in other.rows("select * from jobs")]
