"""A chain's database with the books of two sites in it."""

import random
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeAlias

import psycopg
import pytest

from torqueaudit.book.address import place_of
from torqueaudit.book.book import Book
from torqueaudit.book.lists.upkeep import RowsOf
from torqueaudit.ledger.entry import Act, Draft, act_digest

if TYPE_CHECKING:
    from database import Server

NOW = datetime(2031, 4, 2, 9, tzinfo=UTC)
Note: TypeAlias = Callable[[Book, str], None]


@pytest.fixture(scope="session")
def chain(server: "Server", tmp_path_factory: pytest.TempPathFactory) -> str:
    """The name of a database with a chain's tables, of which copies are made."""
    name = server.database()
    place = place_of(f"{server.address(name)}&beside={tmp_path_factory.mktemp('first')}")
    Book.new(place, "FIRST", datetime.now, random.Random(1)).close()
    return name


@pytest.fixture
def database(server: "Server", request: pytest.FixtureRequest) -> Iterator[str]:
    """The name of a new database; where there are two books, with a chain's tables already."""
    copied = "two" in request.fixturenames
    name = server.database(request.getfixturevalue("chain")) if copied else server.database()
    yield name
    server.drop(name)


@pytest.fixture
def address(server: "Server", database: str, tmp_path: Path) -> Callable[[str], str]:
    """The address of a site's book there."""
    return lambda site: f"{server.address(database)}&site={site}&beside={tmp_path}"


@pytest.fixture
def two(address: Callable[[str], str], rows_of: RowsOf) -> Iterator[tuple[Book, Book]]:
    """The books of YARD and QUAY, open."""

    def new(site: str) -> Book:
        return Book.new(place_of(address(site)), site, lambda: NOW, random.Random(site), rows_of=rows_of)

    with new("YARD") as yard, new("QUAY") as quay:
        yield yard, quay


@pytest.fixture
def note() -> Note:
    """Record one act that tells whose motorcycle it is."""

    def noted(book: Book, text: str) -> None:
        said = {"text": text}
        act = Act(f"act-{book.site}-{book.head().sequence}", act_digest("note", "P-3", "vehicle/V-1", said))
        draft = Draft(subject="vehicle/V-1", kind="noted.1", happened_at=NOW, who="P-3", said=said)
        book.append(act, [draft], {}, personal={"vehicle/V-1": {"owner": f"Owner {text}"}})

    return noted


@pytest.fixture
def writer(server: "Server", database: str, two: tuple[Book, Book]) -> Iterator[psycopg.Connection[Any]]:
    """A login that works for YARD alone, connected as a stranger would: with the rights of a writer."""
    assert two
    server.say("drop role if exists yard_login", database)
    server.say("create role yard_login login; grant torqueaudit_writer to yard_login", database)
    server.say("insert into chain.logins values ('yard_login', 'YARD')", database)
    with psycopg.connect(server.address(database, "yard_login"), autocommit=True) as connection:
        connection.execute("set role torqueaudit_writer; set search_path = site; set torqueaudit.site = 'YARD'")
        yield connection
    server.say("drop owned by yard_login; drop role yard_login", database)
