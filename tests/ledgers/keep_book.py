"""Keep a book's file as SQL, so that every later version is held to opening it: `keep_book.py BOOK NAME`.

Made with the program as it stands before a step is added to the migrations, of a small book that a few commands made.
"""

import lzma
import sys
from collections.abc import Iterator
from pathlib import Path

from torqueaudit.book.sqlite.connection import sqlite3

BOOKS = Path(__file__).parent / "books"
_MADE = """
    select name, sql from sqlite_schema where sql is not null and name not like 'sqlite_%'
    and name not in (select name from pragma_table_list where type in ({})) and type
"""
_ROWS, _ALL = _MADE.format("'shadow', 'virtual'"), _MADE.format("'shadow'")


def written(connection: sqlite3.Connection) -> Iterator[str]:
    """The statements that make the file again: tables, rows, then indexes and triggers, which would refuse the rows.

    A virtual table is filled anew of the table that it lies beside, as it was set.
    """
    tables = connection.execute(f"{_ROWS} = 'table'").fetchall()
    yield from (sql for _, sql in tables)
    for name, _ in tables:
        columns = ", ".join(f'"{column[1]}"' for column in connection.execute(f"pragma table_info({name})"))
        for row in connection.execute(f"select {columns} from {name}"):
            values = ", ".join(connection.execute("select quote(?)", (value,)).fetchone()[0] for value in row)
            yield f"insert into {name} ({columns}) values ({values})"
    yield from (sql for _, sql in connection.execute(f"{_ROWS} <> 'table'"))
    virtual = set(connection.execute(f"{_ALL} = 'table'")) - set(tables)
    for name, sql in sorted(virtual):
        yield sql
        for key, value in connection.execute(f"select k, v from {name}_config where k <> 'version'"):
            yield f"insert into {name} ({name}, rank) values ('{key}', {value})"
        yield f"insert into {name} ({name}) values ('rebuild')"
    for pragma in ("application_id", "user_version"):
        yield f"pragma {pragma} = {connection.execute(f'pragma {pragma}').fetchone()[0]}"


def main(book: str, name: str) -> None:
    """Write books/NAME.sql.xz; one that is there already is never written over."""
    connection = sqlite3.connect(book, isolation_level=None)
    text = "".join(f"{statement};\n" for statement in written(connection))
    connection.close()
    with (BOOKS / f"{name}.sql.xz").open("xb") as file:
        file.write(lzma.compress(text.encode(), preset=9))


if __name__ == "__main__":
    main(*sys.argv[1:])
