"""What lies below a book that is an SQLite file."""

from collections.abc import Callable

import pytest

from torqueaudit.book.book import Book
from torqueaudit.book.sqlite.connection import Connection
from torqueaudit.book.sqlite.engine import SQLiteEngine


def connection_below(book: Book) -> Connection:
    """The calling thread's connection."""
    assert isinstance(book.engine, SQLiteEngine)
    return book.engine.connection


@pytest.fixture(scope="session")
def connection_of() -> Callable[[Book], Connection]:
    """The calling thread's connection of a book."""
    return connection_below


@pytest.fixture
def connection(book: Book) -> Connection:
    """This thread's connection of the book."""
    return connection_below(book)
