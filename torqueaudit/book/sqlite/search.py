"""Rows that are found by any three letters of their words, through an index of trigrams (SQLite's FTS5).

Each table has an index beside it, which holds the rows' numbers alone. Nothing is used that SQLite 3.40 lacks. An index
keeps what was deleted until it is written anew (`overwrite`).
"""

from collections.abc import Iterable, Sequence

from torqueaudit.book.engine import Find, Value
from torqueaudit.book.sqlite.connection import Connection

INDEXES = {"finds": "finds_index", "personal_finds": "personal_finds_index"}
FOUND = """
    select found.number, found.subject, found.about, found.field, found.words
    from {index} join {table} found on found.number = {index}.rowid
    where {index}.words like ? and {index}.rowid < ? order by {index}.rowid desc limit ?
"""
_INSERT = "insert into {} (number, subject, about, field, words) values (?, ?, ?, ?, ?)"


def keep(connection: Connection, table: str, row: Find) -> None:
    """Write a row, and put it into the index."""
    connection.execute(_INSERT.format(table), row)
    connection.execute(f"insert into {INDEXES[table]} (rowid, words) values (?, ?)", (row.number, row.words))


def drop(connection: Connection, table: str, where: str, values: Sequence[Value]) -> None:
    """Take rows away, and out of the index."""
    index = INDEXES[table]
    gone = connection.execute(f"select number, words from {table} where {where}", values).fetchall()
    if gone:
        connection.executemany(f"insert into {index} ({index}, rowid, words) values ('delete', ?, ?)", gone)
        connection.execute(f"delete from {table} where {where}", values)


def fill(connection: Connection, table: str, rows: Iterable[Find]) -> None:
    """Write these rows in place of all others."""
    connection.execute(f"delete from {table}")
    connection.executemany(_INSERT.format(table), rows)
    overwrite(connection, table)


def overwrite(connection: Connection, table: str) -> None:
    """Write the index of a table anew: nothing is left in it of rows that are gone."""
    index = INDEXES[table]
    connection.execute(f"insert into {index} ({index}) values ('rebuild')")
