"""A book kept in one SQLite file."""

import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager, closing, contextmanager
from pathlib import Path
from typing import Any, Self

from torqueaudit.book.disk import RESERVE, check_space
from torqueaudit.book.engine import ALL, Engine, Find, Value
from torqueaudit.book.notes import Notes, Noting
from torqueaudit.book.sqlite import file
from torqueaudit.book.sqlite.connection import Connection, Connections, Writing, aside, in_turn, snapshot
from torqueaudit.book.sqlite.stored import stored
from torqueaudit.book.sqlite.watch import Watch
from torqueaudit.book.sqlite.words import InWords
from torqueaudit.ledger.chain import Head

_INSERT = "insert into ledger (position, document, hash) values (?, ?, ?)"
_LAST = "select position, hash from ledger order by position desc limit 1"
_WITH_ID = "select document from ledger where id = ?"
_WITH_ID_AND_LAST = f"select ({_WITH_ID}), position, hash from ledger order by position desc limit 1"
_BETWEEN = "select document, hash from ledger where site = ? and sequence between ? and ? order by sequence"
_SINCE = "select document from ledger where site = ? and subject = ? and number > ? order by number"
_STRIKING = f'{_SINCE.partition(" order ")[0]} and instr(document, \'"kind":"struck.\') > 0'  # quicker than `kind`
_BY_SUBJECT = """
    select document from ledger where site = ?1 and subject >= ?2 and (?3 is null or subject < ?3)
    order by subject, number
"""
_NUMBER = "select coalesce(max(number), 0) from ledger where site = ? and subject = ?"
# Written as in the index ledger_opened, capitals too: else SQLite reads every row, and not the last of the index alone.
_KEY = """
    select max(cast(ltrim(substr(subject, instr(subject, '/') + 1), 'ABCDEFGHIJKLMNOPQRSTUVWXYZ-') AS INTEGER))
    from ledger where number = 1 and substr(subject, 1, instr(subject, '/') - 1) = ?
"""
_MENTIONED = """
    select subject, count(*) from personal_written where written in (select value from json_each(?))
    group by subject order by subject
"""


class SQLiteEngine:
    """What `torqueaudit.book.engine.Engine` asks for, in the file at `path`; each thread has a connection of its own.

    The file holds one site, so an entry's position in it is its sequence.
    """

    def __init__(self, path: Path, wait: float, reserve: int = RESERVE, site: str = "") -> None:
        self._path = path
        self._folder = str(path.parent)
        self._wait = wait
        self._reserve = reserve
        self._connections = Connections(path, wait)
        self._watch = Watch(path)
        self.notes = Noting()
        self._site = site
        self._in_words = InWords(path, self._faults_of_schema)

    @classmethod
    def open(cls, path: Path, wait: float, reserve: int, rebuild: Callable[[Engine], None]) -> Self:
        """Open a book's file and bring an older one up to date: `rebuild` writes its lists anew. Raises BookError."""
        file.check_file(path)
        engine = cls(path, wait, reserve)

        def write_anew() -> None:
            engine.require_room()
            rebuild(engine)

        try:
            with engine.in_words():
                engine._site = file.admit(engine.connection, path)
                file.bring_up_to_date(engine.connection, write_anew)
        except BaseException:
            engine.close()
            raise
        return engine

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
        self._watch.close()
        self._connections.close()

    def changes(self) -> int | None:
        return self._watch.count()

    def holds(self, notes: Notes) -> bool:
        return notes.hold(self._connections.here().execute)

    def require_room(self) -> None:
        check_space(self._folder, self._reserve)

    def in_words(self) -> AbstractContextManager[None]:
        return self._in_words

    def _faults_of_schema(self) -> list[str]:
        from torqueaudit.book.sqlite import soundness  # only where something failed

        return soundness.schema_faults(self.connection)

    def writing(self) -> AbstractContextManager[None]:
        return Writing(self.connection)

    def snapshot(self) -> AbstractContextManager[None]:
        return snapshot(self.connection)

    def last(self) -> tuple[int, str] | None:
        """Read by position, so that no text is parsed."""
        row: tuple[int, str] | None = self._one(_LAST)
        return row

    def insert(self, sequence: int, text: str, hash_: str) -> None:
        self.connection.execute(_INSERT, (sequence, text, hash_))

    def text_with_id(self, id_: str) -> str | None:
        row = self._one(_WITH_ID, id_)
        return None if row is None else str(row[0])

    def text_with_id_and_last(self, id_: str) -> tuple[str | None, tuple[int, str] | None]:
        row = self._one(_WITH_ID_AND_LAST, id_)
        return (None, None) if row is None else (row[0], row[1:])

    def texts(self, site: str, first: int, last: int) -> Iterable[tuple[str, str]]:
        return self._asked(_BETWEEN, site, first, last)

    def texts_of(self, subject: str, after: int) -> Iterator[str]:
        return (text for (text,) in self._asked(_SINCE, self._site, subject, after))

    def texts_striking(self, subject: str, after: int) -> Iterator[str]:
        return (text for (text,) in self._asked(_STRIKING, self._site, subject, after))

    def texts_by_subject(self, first: str = "", until: str | None = None) -> Iterator[str]:
        return (text for (text,) in self._asked(_BY_SUBJECT, self._site, first, until))

    def subjects(self) -> Iterator[str]:
        asked = "select distinct subject from ledger where site = ? order by subject"
        return (subject for (subject,) in self._asked(asked, self._site))

    def subject_at(self, place: int) -> str:
        asked = "select subject from ledger where site = ? order by subject limit 1 offset ?"
        return str(self._one(asked, self._site, place)[0])

    def stored(self, after: int = 0, last: int = ALL) -> Iterable[tuple[bytes, str]]:
        return stored(self.connection, after, last)

    def hash_at(self, sequence: int) -> str | None:
        row = self._one("select hash from ledger where position = ?", sequence)
        return None if row is None else str(row[0])

    def highest_number(self, subject: str) -> int:
        return int(self._one(_NUMBER, self._site, subject)[0])

    def highest_key(self, noun: str) -> int:
        return self._one(_KEY, noun)[0] or 0

    def rows(self, sql: str, values: Sequence[Value] = ()) -> Iterable[tuple[Any, ...]]:
        return self._asked(sql, *values)

    def run(self, sql: str, values: Sequence[Value] = ()) -> None:
        self.connection.execute(sql, values)

    def columns(self, table: str) -> tuple[str, ...]:
        asked = "select name from pragma_table_info(?) order by cid"
        return tuple(name for (name,) in self._asked(asked, table))

    def mentioned(self, ways: Sequence[str]) -> list[tuple[str, int]]:
        return list(self._asked(_MENTIONED, json.dumps(ways)))

    def keep_find(self, table: str, row: Find) -> None:
        from torqueaudit.book.sqlite import search  # whoever reads one job finds nothing by words

        search.keep(self.connection, table, row)

    def drop_finds(self, table: str, where: str, values: Sequence[Value]) -> None:
        from torqueaudit.book.sqlite import search

        search.drop(self.connection, table, where, values)

    def fill_finds(self, table: str, rows: Iterable[Find]) -> None:
        from torqueaudit.book.sqlite import search

        search.fill(self.connection, table, rows)

    def found(self, table: str, part: str, before: int, most: int) -> Iterable[tuple[Any, ...]]:
        from torqueaudit.book.sqlite import search

        asked = search.FOUND.format(table=table, index=search.INDEXES[table])
        return self._asked(asked, f"%{part}%", before, most)

    def wipe(self, *tables: str) -> None:
        """Write the tables anew: a page that is freed is overwritten, but not what a row left where it lay before.

        Then the write-ahead log is emptied. Where another program reads at that moment, the log is overwritten by its
        next writes instead.
        """
        from torqueaudit.book.sqlite import search

        with aside(self.connection), self.writing():
            for table in tables:
                self.connection.execute(f"create table aside.{table} as select * from main.{table}")
                self.connection.execute(f"delete from main.{table}")
                self.connection.execute(f"insert into main.{table} select * from aside.{table}")
                self.connection.execute(f"drop table aside.{table}")
                if table in search.INDEXES:
                    search.overwrite(self.connection, table)
        in_turn(self.connection, "pragma wal_checkpoint(truncate)")

    def faults(self, *, whole: bool = True) -> list[str]:
        from torqueaudit.book.sqlite import soundness  # only whoever verifies needs it

        return soundness.faults(self.connection, whole=whole)

    def copy(self, target: Path, folders: Mapping[Path, Path]) -> Head:
        from torqueaudit.book.sqlite import backup  # only whoever copies needs it

        return backup.copy(self.connection, self._path, folders, target, self._reserve)

    @contextmanager
    def then(self, last: int, subjects: Sequence[str], lists: Iterable[str]) -> Iterator[Engine]:
        from torqueaudit.book.sqlite import then  # few ask how anything stood

        self.notes.spoil()
        engine = type(self)(self._path, self._wait, self._reserve, self._site)
        with closing(engine), engine.snapshot():
            then.hide_later(engine.connection, last, subjects, lists)
            yield engine

    def _asked(self, sql: str, *values: Value) -> Iterable[tuple[Any, ...]]:
        rows = self._connections.here().execute(sql, values)
        return rows if self.notes.nobody else self.notes.noted((sql, values), rows)

    def _one(self, sql: str, *values: Value) -> Any:
        """The first row, or None."""
        return next(iter(self._asked(sql, *values)), None)
