"""The ledger takes only its next entry, whoever writes with whatever statement."""

from collections.abc import Callable, Iterator
from typing import TypeAlias

import pytest

from torqueaudit.book.book import Book
from torqueaudit.book.sqlite.connection import SCHEMA_VERSION, sqlite3
from torqueaudit.ledger.entry import Entry, document_of, hash_of

Say: TypeAlias = Callable[..., list[Entry]]

INSERTS = ["insert", "replace", *(f"insert or {way}" for way in ("replace", "ignore", "abort", "fail", "rollback"))]
VALUES = "into ledger (position, document, hash) values (?, ?, ?)"
UPSERTS = [
    f"insert {VALUES} on conflict do nothing",
    f"insert {VALUES} on conflict do update set hash = 'x'",
    f"insert {VALUES} on conflict (position) do update set document = excluded.document",
]


@pytest.fixture(params=[True, False], ids=["recursive triggers", "no recursive triggers"])
def stranger(request: pytest.FixtureRequest, book: Book, say: Say) -> Iterator[sqlite3.Connection]:
    """A connection that somebody else opened on a book of four entries, with recursive triggers on or off."""
    for text in "abcd":
        say(f"job/{ord(text) % 2 + 1}", text)
    connection = sqlite3.connect(book.path, isolation_level=None)
    connection.execute(f"pragma recursive_triggers = {'on' if request.param else 'off'}")
    yield connection
    connection.close()


@pytest.mark.parametrize(
    ("position", "changes"),
    [
        (2, {}),
        (2, {"who": "P-4"}),
        (5, {}),
        (5, {"sequence": 5}),
        (5, {"sequence": 5, "id": "new"}),
        (5, {"sequence": 5, "number": 3}),
        (5, {"sequence": 6, "number": 3, "id": "new"}),
        (6, {"sequence": 5, "number": 3, "id": "new"}),
        (5, {"sequence": 5, "number": 4, "id": "new"}),
        (4, {"sequence": 5, "number": 3, "id": "new"}),
        (None, {"sequence": 5, "number": 3, "id": "new"}),
        (-1, {"sequence": 5, "number": 3, "id": "new"}),
    ],
)
@pytest.mark.parametrize("statement", [*(f"{way} {VALUES}" for way in INSERTS), *UPSERTS])
def test_no_insert_but_the_next_passes(
    book: Book, stranger: sqlite3.Connection, statement: str, position: int | None, changes: dict[str, object]
) -> None:
    """An entry over an old one, beside its place, or with a used id."""
    document = document_of(book.entries("job/1")[0]._replace(**changes))  # type: ignore[arg-type]
    before = book.ledger()

    with pytest.raises(sqlite3.Error, match="the ledger takes only its next entry"):
        stranger.execute(statement, (position, document, hash_of(document)))
    assert before == book.ledger()
    assert [] == book.verify()


def test_the_next_entry_itself_passes(book: Book, stranger: sqlite3.Connection) -> None:
    """The trigger stops what is wrong, not everything."""
    document = document_of(book.entries("job/1")[0]._replace(sequence=5, number=3, id="new"))
    stranger.execute(f"insert {VALUES}", (5, document, hash_of(document)))

    assert 5 == book.head().sequence


@pytest.mark.parametrize(
    "statement",
    [
        "update ledger set hash = 'x' where position = 2",
        "update or replace ledger set position = 1 where position = 2",
        "update ledger set document = document",
        "delete from ledger where position = 4",
        "delete from ledger",
    ],
)
def test_nothing_is_changed_and_nothing_leaves(book: Book, stranger: sqlite3.Connection, statement: str) -> None:
    """Not even by a statement that would change nothing."""
    before = book.ledger()

    with pytest.raises(sqlite3.Error, match=r"the ledger is never changed|nothing leaves the ledger"):
        stranger.execute(statement)
    assert before == book.ledger()


@pytest.mark.parametrize("document", ["{}", "no JSON", '{"site":"YARD","sequence":"5"}', "[]"])
def test_a_text_that_is_no_entry_never_enters(stranger: sqlite3.Connection, document: str) -> None:
    """The columns are read out of the text, and none may be missing."""
    with pytest.raises(sqlite3.Error):
        stranger.execute("insert into ledger (position, document, hash) values (5, ?, 'x')", (document,))


def test_the_exact_triggers_stand_after_every_migration(book: Book) -> None:
    """A migration that rebuilds a table drops its triggers without a word."""
    found = book.rows("select tbl_name, name from sqlite_schema where type = 'trigger' order by name")
    expected = [("ledger", "ledger_next_only"), ("ledger", "ledger_no_delete"), ("ledger", "ledger_no_update")]

    assert expected == found


def test_the_schema_version_is_the_number_of_migrations(book: Book) -> None:
    """It is compared before sqlite_utils is imported."""
    made = book.rows("select count(*) from _sqlite_migrations")[0][0]

    assert SCHEMA_VERSION == made == book.rows("pragma user_version")[0][0]
