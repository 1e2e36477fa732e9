"""Somebody who may write the book's file and knows its format: what they can do to a ledger and to all beside it."""

import json
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from random import Random
from typing import Any, TypeAlias

from torqueaudit.book.places import papers_of, photos_of
from torqueaudit.book.sqlite.connection import sqlite3
from torqueaudit.ledger.canonical import canonical
from torqueaudit.ledger.entry import FIRST_PREVIOUS, hash_of

Fields: TypeAlias = dict[str, Any]
Change: TypeAlias = Callable[[Fields], None]


class Forger:
    """The book's file, opened with the guards of the ledger put aside, and a seeded chance.

    `kept` is the number of the newest entry that somebody knows a head of; it is not the newest one.
    """

    def __init__(self, book: Path, kept: int, chance: Random) -> None:
        self.book = book
        self.kept = kept
        self.chance = chance
        self.connection = sqlite3.connect(book, isolation_level=None)
        self.guards = self.rows("select name, sql from sqlite_schema where type = 'trigger'")

    def rows(self, sql: str, *values: object) -> list[Any]:
        """What a statement gives."""
        with closing(self.connection.execute(sql, values)) as cursor:
            return cursor.fetchall()

    @contextmanager
    def without_guards(self) -> Iterator[None]:
        """While the triggers of the ledger are away; behind it they are as they were."""
        for name, _ in self.guards:
            self.rows(f"drop trigger {name}")
        yield
        for _, made in self.guards:
            self.rows(made)

    def unguarded(self, sql: str, *values: object) -> None:
        """Change the ledger by one statement."""
        with self.without_guards():
            self.rows(sql, *values)

    def number(self, least: int = 1) -> int:
        """Any entry at or below the kept one."""
        return self.chance.randint(least, self.kept)

    def texts(self) -> list[str]:
        """The stored texts in order."""
        return [text for (text,) in self.rows("select document from ledger order by position")]

    def entries(self) -> list[Fields]:
        """The entries as they are stored, in order."""
        return [json.loads(text) for text in self.texts()]

    def put(self, number: int, text: str, hash_: str) -> None:
        """Write over one entry."""
        self.unguarded("update ledger set document = ?, hash = ? where position = ?", text, hash_, number)

    def chained(self, entries: list[Fields], write: Callable[[Fields], str] = canonical) -> None:
        """Write the whole ledger anew with right numbers, hashes and links: a chain without a fault."""
        previous = FIRST_PREVIOUS
        subjects: dict[str, int] = {}
        with self.without_guards():
            self.rows("begin")
            self.rows("delete from ledger")
            for sequence, entry in enumerate(entries, start=1):
                number = subjects[entry["subject"]] = subjects.get(entry["subject"], 0) + 1
                text = write({**entry, "sequence": sequence, "number": number, "previous": previous})
                previous = hash_of(text)
                self.rows("insert into ledger (position, document, hash) values (?, ?, ?)", sequence, text, previous)
            self.rows("commit")

    def altered(self, change: Change, wanted: Callable[[Fields], bool] = bool) -> None:
        """Change one entry at or below the kept one, and give every entry behind it its right hash."""
        entries = self.entries()
        change(self.chance.choice([entry for entry in entries[: self.kept] if wanted(entry)]))
        self.chained(entries)

    def papers(self) -> list[Path]:
        """The files of certificates."""
        return sorted(papers_of(self.book).iterdir())

    def photos(self) -> list[Path]:
        """The files of photos, large and small."""
        return sorted(photos_of(self.book).iterdir())

    def close(self) -> None:
        """Close the file."""
        self.connection.close()
