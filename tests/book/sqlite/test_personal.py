"""Personal data in the file: found through an index, and erasable to the last byte."""

import re
from collections.abc import Callable, Mapping
from typing import TypeAlias

import pytest

from torqueaudit.book.book import Book
from torqueaudit.book.sqlite.connection import Connection

Tell: TypeAlias = Callable[[Book, str, Mapping[str, str]], None]


@pytest.fixture
def known(book: Book, tell: Tell) -> Book:
    """A book that knows a mechanic and a vehicle, both invented."""
    tell(book, "person/P-7", {"name": "Edda Vorlage-Muster", "telephone": "0555 12 34 56", "secret": "tangerine"})
    tell(book, "vehicle/V-1", {"plate": "XX-YZ 12", "frame": "ZZZ0TEST1AB123456"})
    return book


def test_the_look_up_is_served_by_an_index(known: Book, connection: Connection) -> None:
    """However many people the book knows."""
    asked: list[str] = []
    connection.set_trace_callback(asked.append)
    known.mentions("seen by Edda")
    connection.set_trace_callback(None)
    plan = [step[3] for text in asked for step in known.rows(f"explain query plan {text}")]

    assert any("SEARCH personal_written USING PRIMARY KEY (written=?)" in step for step in plan)


def test_telling_what_is_known_looks_at_nobody_else(known: Book, connection: Connection, tell: Tell) -> None:
    """A list of many motorcycles that are moved in costs each the same; no plan scans what is known of others."""
    asked: list[str] = []
    connection.set_trace_callback(asked.append)
    tell(known, "vehicle/V-1", {"plate": "XX-YZ 13"})
    connection.set_trace_callback(None)
    texts = [text for text in asked if re.search(r"\b(from|update) personal", text)]
    plan = [step[3] for text in texts for step in known.rows(f"explain query plan {text}")]

    assert plan
    assert [] == [step for step in plan if step.startswith("SCAN")]


def test_what_is_forgotten_is_gone_from_the_file(known: Book) -> None:
    """Not only from the answers: no byte of the file or its log holds it any more."""
    files = [known.path, known.path.with_name(known.path.name + "-wal")]
    known.forget("person/P-7")
    held = b"".join(file.read_bytes() for file in files if file.exists())

    assert {} == known.personal_of("person/P-7")
    assert [] == known.mentions("Edda Vorlage-Muster")
    assert b"Edda" not in held
    assert b"eddavorlagemuster" not in held
    assert b"XX-YZ 12" in held
    assert [] == known.verify()
