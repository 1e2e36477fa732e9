"""A site's book in a database that holds the books of a whole chain."""

import time
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager, closing, contextmanager
from pathlib import Path
from typing import Any, Self

import psycopg

from torqueaudit.book.address import Server
from torqueaudit.book.engine import ALL, Engine, Find, Value
from torqueaudit.book.errors import BookError
from torqueaudit.book.notes import Notes, Noting
from torqueaudit.book.postgres import making, soundness
from torqueaudit.book.postgres.connection import (
    Connection,
    Connections,
    asks_alone,
    plain,
    snapshot,
    worded,
    writing,
)
from torqueaudit.book.postgres.then import hide_later
from torqueaudit.book.postgres.words import in_words, is_gone
from torqueaudit.ledger.chain import Head

AT_ONCE = 5000  # entries that are read in one question, however many are asked for
_PAUSE = 0.2
_WITH_ID = "select document from ledger where id = ?"
_WITH_ID_AND_LAST = f"select ({_WITH_ID}), sequence, hash from ledger order by sequence desc limit 1"
_FIND = "insert into {} (number, subject, about, field, words) values ($1, $2, $3, $4, $5)"
_COLUMNS = """
    select attname from pg_attribute where attrelid = to_regclass(?) and attnum > 0 and attname <> 'rowid'
    order by attnum
"""
# Another one whenever anything that was committed meanwhile is seen.
_CHANGES = "select hashtextextended(pg_current_snapshot()::text, 0)"
_KEY = """
    select coalesce(max(substring(subject from '/[A-Z-]*([0-9]{1,15})')::bigint), 0)
    from ledger where number = 1 and split_part(subject, '/', 1) = ?
"""
_MENTIONED = """
    select subject, count(*) from personal_written where written = any(string_to_array(?, chr(10)))
    group by subject order by subject
"""


class PostgresEngine:
    """What `torqueaudit.book.engine.Engine` asks for, of one site in a database. Each thread has a connection."""

    def __init__(self, server: Server, site: str, wait: float) -> None:
        self._server = server
        self._site = site
        self._wait = wait
        self._connections = Connections(server, site, wait)
        self.notes = Noting()

    @classmethod
    def open(cls, server: Server, wait: float) -> Self:
        """Open a site's book in a database. Raises BookError."""
        with in_words(server):
            return cls(server, making.admit(server), wait)

    @property
    def connection(self) -> Connection:
        """The calling thread's own, for what no notes are taken of: whoever takes some is told so."""
        if not self.notes.nobody:
            self.notes.spoil()
        return self._connections.here()

    @property
    def site(self) -> str:
        return self._site

    def close(self) -> None:
        self._connections.close()

    def changes(self) -> int | None:
        """Also another one where another site has changed something."""
        return int(self._asked_now(_CHANGES)[0][0])

    def holds(self, notes: Notes) -> bool:
        return notes.hold(self._asked_now)

    def require_room(self) -> None:
        """The room is the server's, which says so when an act finds none."""

    def in_words(self) -> AbstractContextManager[None]:
        return in_words(self._server, lambda: soundness.faults(self._connections.here()))

    def writing(self) -> AbstractContextManager[None]:
        return writing(self.connection, self._site)

    def snapshot(self) -> AbstractContextManager[None]:
        return snapshot(self.connection)

    def last(self) -> tuple[int, str] | None:
        row: tuple[int, str] | None = self._one("select sequence, hash from ledger order by sequence desc limit 1")
        return row

    def insert(self, sequence: int, text: str, hash_: str) -> None:
        del sequence  # the database reads it out of the text
        self.connection.execute("insert into ledger (document, hash) values ($1, $2)", (text, hash_))

    def text_with_id(self, id_: str) -> str | None:
        row = self._one(_WITH_ID, id_)
        return None if row is None else str(row[0])

    def text_with_id_and_last(self, id_: str) -> tuple[str | None, tuple[int, str] | None]:
        row = self._one(_WITH_ID_AND_LAST, id_)
        return (None, None) if row is None else (row[0], tuple(row[1:]))

    def texts(self, site: str, first: int, last: int) -> Iterator[tuple[str, str]]:
        if site == self._site:
            asked = "select sequence, document, hash from ledger where sequence > ? and sequence <= ?"
            yield from (row[1:] for row in self._paged(asked, (first - 1,), (last,), "sequence"))

    def texts_of(self, subject: str, after: int) -> Iterator[str]:
        asked = "select document from ledger where subject = ? and number > ? order by number"
        return (text for (text,) in self._asked(asked, subject, after))

    def texts_striking(self, subject: str, after: int) -> Iterator[str]:
        asked = """
            select document from ledger where subject = ? and number > ? and strpos(document, '"kind":"struck.') > 0
            order by number
        """
        return (text for (text,) in self._asked(asked, subject, after))

    def texts_by_subject(self, first: str = "", until: str | None = None) -> Iterator[str]:
        asked = """
            select subject, number, document from ledger
            where (subject, number) > (?, ?) and (?::text is null or subject < ?)
        """
        return (text for *_, text in self._paged(asked, (first, 0), (until, until), "subject, number"))

    def subjects(self) -> Iterator[str]:
        return (subject for (subject,) in self._asked("select distinct subject from ledger order by subject"))

    def subject_at(self, place: int) -> str:
        return str(self._one("select subject from ledger order by subject limit 1 offset ?", place)[0])

    def stored(self, after: int = 0, last: int = ALL) -> Iterator[tuple[bytes, str]]:
        asked = "select sequence, convert_to(document, 'UTF8'), hash from ledger where sequence > ? and sequence <= ?"
        return (row[1:] for row in self._paged(asked, (after,), (last,), "sequence"))

    def hash_at(self, sequence: int) -> str | None:
        row = self._one("select hash from ledger where sequence = ?", sequence)
        return None if row is None else str(row[0])

    def highest_number(self, subject: str) -> int:
        return int(self._one("select coalesce(max(number), 0) from ledger where subject = ?", subject)[0])

    def highest_key(self, noun: str) -> int:
        return int(self._one(_KEY, noun)[0])

    def rows(self, sql: str, values: Sequence[Value] = ()) -> Iterable[tuple[Any, ...]]:
        return self._asked(sql, *values)

    def run(self, sql: str, values: Sequence[Value] = ()) -> None:
        self.connection.execute(worded(sql), plain(values))

    def columns(self, table: str) -> tuple[str, ...]:
        return tuple(name for (name,) in self._asked(_COLUMNS, table))

    def mentioned(self, ways: Sequence[str]) -> list[tuple[str, int]]:
        return [(subject, ways) for subject, ways in self._asked(_MENTIONED, "\n".join(ways))]

    def keep_find(self, table: str, row: Find) -> None:
        self.connection.execute(_FIND.format(table), row)

    def drop_finds(self, table: str, where: str, values: Sequence[Value]) -> None:
        self.run(f"delete from {table} where {where}", values)

    def fill_finds(self, table: str, rows: Iterable[Find]) -> None:
        told = list(rows)  # which are asked for through the same connection
        self.run(f"delete from {table}")
        with self.connection.cursor() as cursor:
            cursor.executemany(_FIND.format(table), told)

    def found(self, table: str, part: str, before: int, most: int) -> Iterable[tuple[Any, ...]]:
        asked = "select number, subject, about, field, words from found(?, ?, ?, ?)"
        return self._asked(asked, table, part, before, most)

    def wipe(self, *tables: str) -> None:
        """What was deleted is seen by nobody any more; when its bytes go is the server's affair (docs/chain.md)."""

    def faults(self, *, whole: bool = True) -> list[str]:
        del whole
        return soundness.faults(self._connections.here())

    def copy(self, target: Path, folders: Mapping[Path, Path]) -> Head:
        del folders
        raise BookError(
            f"{self._server} is kept by a database, whose own tools back it up, as docs/chain.md says; to have it as a "
            f"file, export it. No backup was made to {target}."
        )

    @contextmanager
    def then(self, last: int, subjects: Sequence[str], lists: Iterable[str]) -> Iterator[Engine]:
        self.notes.spoil()
        engine = type(self)(self._server, self._site, self._wait)
        with closing(engine), engine.snapshot():
            hide_later(engine.connection, last, subjects, lists)
            yield engine

    def _paged(
        self, asked: str, after: tuple[Value, ...], more: tuple[Value, ...], key: str
    ) -> Iterator[tuple[Any, ...]]:
        """Rows in the order of their key, which are their first columns, some at a time: they may be millions."""
        while True:
            page = list(self._asked(f"{asked} order by {key} limit {AT_ONCE}", *after, *more))
            yield from page
            if len(page) < AT_ONCE:
                return
            after = page[-1][: len(after)]

    def _asked(self, sql: str, *values: Value) -> Iterable[tuple[Any, ...]]:
        rows = self._asked_now(sql, values)
        return rows if self.notes.nobody else self.notes.noted((sql, values), rows)

    def _asked_now(self, sql: str, values: Sequence[Value] = ()) -> list[tuple[Any, ...]]:
        """What a question gives. Where the connection is lost it is asked once more, unless it is part of something."""
        until = time.monotonic() + self._wait
        while True:
            alone = True
            try:
                connection = self._connections.here()
                alone = asks_alone(connection)
                return connection.execute(worded(sql), plain(values)).fetchall()
            except psycopg.OperationalError as error:
                if not alone or not is_gone(error) or time.monotonic() > until:
                    raise
            time.sleep(_PAUSE)

    def _one(self, sql: str, *values: Value) -> Any:
        """The first row, or None."""
        return next(iter(self._asked(sql, *values)), None)
