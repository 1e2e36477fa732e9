"""How a chain's tables are made, read from the database's own catalogue."""

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import psycopg
import pytest

from torqueaudit.book.book import Book
from torqueaudit.book.lists.upkeep import LISTS

if TYPE_CHECKING:
    from database import Server

OF_NO_SITE = {"made"}
KEYS = """
    select relname, array(
        select attname from unnest(indkey) with ordinality place(attribute, nth)
        join pg_attribute on attrelid = indrelid and attnum = attribute order by nth
    )
    from pg_index join pg_class on pg_class.oid = indrelid
    where relnamespace = 'chain'::regnamespace and indisunique
"""
REFERENCES = """
    select conrelid::regclass::text, array(
        select attname from unnest(conkey) attribute join pg_attribute on attrelid = conrelid and attnum = attribute
    )
    from pg_constraint where contype = 'f' and connamespace = 'chain'::regnamespace
"""
TEXTS = """
    select table_name || '.' || column_name from information_schema.columns
    where table_schema = 'chain' and data_type = 'text' and collation_name is distinct from 'C'
"""
FLOATS = """
    select table_name || '.' || column_name from information_schema.columns
    where table_schema = 'chain' and data_type not in ('text', 'bigint', 'integer', 'name')
"""


@pytest.fixture
def catalogue(two: tuple[Book, Book], server: "Server", database: str) -> Iterator[psycopg.Connection[Any]]:
    """The database, asked by its superuser."""
    assert two
    with psycopg.connect(server.address(database), autocommit=True) as connection:
        yield connection


def test_every_unique_key_carries_the_site(catalogue: psycopg.Connection[Any]) -> None:
    """So an engine that spreads PostgreSQL over machines by a column can take it."""
    keys = catalogue.execute(KEYS).fetchall()

    assert [] == [(table, key) for table, key in keys if table not in OF_NO_SITE and "site" not in key]
    assert {"ledger", "jobs", "personal", "outbox"} < {table for table, _ in keys}


def test_every_reference_is_to_the_site(catalogue: psycopg.Connection[Any]) -> None:
    """No row leans on one of another site."""
    references = catalogue.execute(REFERENCES).fetchall()

    assert [] == [(table, key) for table, key in references if key != ["site"]]


def test_texts_compare_by_their_bytes_and_nothing_is_rounded(catalogue: psycopg.Connection[Any]) -> None:
    """As they do in a book's file."""
    assert [] == catalogue.execute(TEXTS).fetchall()
    assert [] == catalogue.execute(FLOATS).fetchall()


def test_every_table_keeps_sites_apart(catalogue: psycopg.Connection[Any]) -> None:
    """Row security is on, and each has its view of one site."""
    asked = "select relname, relrowsecurity from pg_class where relnamespace = 'chain'::regnamespace and relkind = 'r'"
    tables = dict(catalogue.execute(asked).fetchall())
    asked = "select relname from pg_class where relnamespace = 'site'::regnamespace and relkind = 'v'"
    views = {name for (name,) in catalogue.execute(asked)}
    apart = {name for name in tables if name not in {"made", "sites", "logins"}}

    assert apart == {name for name, hidden in tables.items() if hidden}
    assert apart == views


def test_lists_have_the_same_columns_as_in_a_file(two: tuple[Book, Book], book: Book, tmp_path: Path) -> None:
    """In the same order; so have the tables beside the ledger."""
    assert tmp_path.is_dir()
    beside = ("words", "personal", "personal_written", "pins", "device_keys", "invitations", "sessions", "wrong_pins")
    names = [*LISTS, *beside, "locked", "outbox", "disclosures", "program_keys", "finds", "personal_finds"]
    in_file = {name: book.engine.columns(name) for name in names}

    assert in_file == {name: two[0].engine.columns(name) for name in names}
