"""Where each engine keeps a book, so that one suite says what every engine must do.

Each engine has a class as `File` and its name in `ENGINES`; no test of this folder knows which one it has.
"""

import random
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import datetime
from functools import partial
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol, TypeAlias

import psycopg
import pytest

from torqueaudit.book.address import place_of
from torqueaudit.book.book import Book
from torqueaudit.book.lists.upkeep import RowsOf
from torqueaudit.book.sqlite.connection import sqlite3

if TYPE_CHECKING:
    from database import Server


class Place(Protocol):
    """Where a book lies, and what can be done to it there behind the program's back."""

    address: str  # for another program
    refusal: type[Exception]  # what a statement raises that the database refuses

    def new(self, clock: Callable[[], datetime], rows_of: RowsOf) -> Book:
        """Make the book there and open it."""

    def open(self, clock: Callable[[], datetime], rows_of: RowsOf) -> Book:
        """Open it once more, as another program would."""

    def run(self, sql: str) -> None:
        """Run a statement as a stranger who may write."""

    def forge(self, sequence: int, text: str, hash_: str) -> None:
        """Write over an entry as somebody who knows how to put the guards of the ledger aside for a moment."""

    def lose(self, sequence: int) -> None:
        """Take an entry away as somebody who knows how to put the guards of the ledger aside for a moment."""


class File:
    """A book in an SQLite file."""

    refusal: type[Exception] = sqlite3.Error

    def __init__(self, folder: Path) -> None:
        self._path = folder / "yard.book"
        self.address = str(self._path)

    def new(self, clock: Callable[[], datetime], rows_of: RowsOf) -> Book:
        return Book.new(self._path, "YARD", clock, random.Random(1), rows_of=rows_of)

    def open(self, clock: Callable[[], datetime], rows_of: RowsOf) -> Book:
        return Book.open(self._path, clock, random.Random(1), rows_of=rows_of)

    def run(self, sql: str) -> None:
        with closing(sqlite3.connect(self._path, isolation_level=None)) as stranger:
            stranger.execute(sql)

    def forge(self, sequence: int, text: str, hash_: str) -> None:
        self._unguarded("update ledger set document = ?, hash = ? where position = ?", text, hash_, sequence)

    def lose(self, sequence: int) -> None:
        self._unguarded("delete from ledger where position = ?", sequence)

    def _unguarded(self, sql: str, *values: str | int) -> None:
        with closing(sqlite3.connect(self._path, isolation_level=None)) as forger:
            guards = forger.execute("select name, sql from sqlite_schema where type = 'trigger'").fetchall()
            for name, _ in guards:
                forger.execute(f"drop trigger {name}")
            forger.execute(sql, values)
            for _, made in guards:
                forger.execute(made)


class Database:
    """A book of one site in a database, with those of all places before it."""

    refusal: type[Exception] = psycopg.Error

    def __init__(self, chain: str, sites: Iterator[int], folder: Path) -> None:
        self._chain = chain
        self._site = f"YARD-{next(sites)}"
        self.address = f"{chain}&site={self._site}&beside={folder}"

    def new(self, clock: Callable[[], datetime], rows_of: RowsOf) -> Book:
        return Book.new(place_of(self.address), self._site, clock, random.Random(1), rows_of=rows_of)

    def open(self, clock: Callable[[], datetime], rows_of: RowsOf) -> Book:
        return Book.open(place_of(self.address), clock, random.Random(1), rows_of=rows_of)

    def run(self, sql: str) -> None:
        with self._connected() as stranger:
            stranger.execute("set role torqueaudit_writer")
            stranger.execute(sql.encode())

    def forge(self, sequence: int, text: str, hash_: str) -> None:
        changed = "update ledger set document = %s, hash = %s where sequence = %s and site = %s"
        self._unguarded(changed, text, hash_, sequence, self._site)

    def lose(self, sequence: int) -> None:
        self._unguarded("delete from ledger where sequence = %s and site = %s", sequence, self._site)

    def _unguarded(self, sql: str, *values: str | int) -> None:
        with self._connected() as forger:
            forger.execute("alter table chain.ledger disable trigger user")
            forger.execute(sql.encode(), values)
            forger.execute("alter table chain.ledger enable trigger user")

    def _connected(self) -> psycopg.Connection[Any]:
        connection = psycopg.connect(self._chain, autocommit=True)
        connection.execute(f"set search_path = site; set torqueaudit.site = '{self._site}'".encode())
        return connection


ENGINES = ("sqlite", "postgres")
PlaceIn: TypeAlias = Callable[[Path], Place]


@pytest.fixture(scope="session")
def chain(server: "Server", tmp_path_factory: pytest.TempPathFactory) -> str:
    """The address of a chain's database."""
    address = server.address(server.database())
    place = place_of(f"{address}&beside={tmp_path_factory.mktemp('first')}")
    Book.new(place, "FIRST", datetime.now, random.Random(1)).close()
    return address


@pytest.fixture(params=ENGINES, scope="session")
def place_in(request: pytest.FixtureRequest) -> PlaceIn:
    """A place for a book of this engine in a folder."""
    if request.param == "sqlite":
        return File
    return partial(Database, request.getfixturevalue("chain"), count(1))


@pytest.fixture
def place(place_in: PlaceIn, tmp_path: Path) -> Place:
    """Where the book lies."""
    return place_in(tmp_path)


@pytest.fixture
def book(place: Place, clock: Callable[[], datetime], rows_of: RowsOf) -> Iterator[Book]:
    """A new book, open."""
    with place.new(clock, rows_of) as made:
        yield made
