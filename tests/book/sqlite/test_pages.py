"""The pages of a file, read without SQLite."""

import sqlite3
import struct
from contextlib import closing
from pathlib import Path

import pytest

from torqueaudit.book.sqlite.pages import Pages

PAGE = 4096


@pytest.fixture
def used_again(tmp_path: Path) -> Path:
    """A file of which many pages became free, and some of those are in use again."""
    path = tmp_path / "yard.book"
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute(f"pragma page_size = {PAGE}")
        for table, rows in (("gone", 60), ("stays", 1)):
            connection.execute(f"create table {table} (a)")
            fill(connection, table, rows)
        connection.execute("drop table gone")
        fill(connection, "stays", 20)
    return path


def fill(connection: sqlite3.Connection, table: str, rows: int) -> None:
    """Write as many rows, each on a page of its own."""
    connection.executemany(f"insert into {table} values (?)", [("x" * (PAGE - 200),)] * rows)  # noqa: S608


def test_a_page_in_use_again_is_no_free_one(used_again: Path) -> None:
    """The list of free pages still names it, behind the count that stands before its names.

    Outside check: https://www.sqlite.org/fileformat.html, section 1.5: the second number of a trunk page is how many
    numbers of leaf pages follow; from memory.
    """
    content = bytearray(used_again.read_bytes())
    trunk = int.from_bytes(content[32:36])
    _, count, *names = struct.unpack(f">{PAGE // 4}I", content[PAGE * (trunk - 1) : PAGE * trunk])
    free, again = names[:count], sorted(set(names[count:]) - {0, *names[:count]})
    assert free
    assert again
    for page in (free[0], again[0]):
        content[PAGE * (page - 1) : PAGE * page] = b"\x55" * PAGE
    used_again.write_bytes(content)
    with closing(Pages(used_again)) as pages:
        list(pages.now())

        assert 1 == pages.unread()
