"""The book: opened with a clock and a source of randomness, written by `append` alone, read one subject at a time."""

import random
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import datetime
from pathlib import Path
from types import TracebackType
from typing import Self

from torqueaudit.book import guard
from torqueaudit.book.engine import Connection, Connections, in_turn, reading, writing
from torqueaudit.book.errors import BookError, IdUsed, Moved, told
from torqueaudit.book.known import Known
from torqueaudit.book.lists import Lists, RowsOf
from torqueaudit.book.opening import admit, make
from torqueaudit.book.personal import forget, mentions, personal_of, set_personal
from torqueaudit.ledger.chain import Head
from torqueaudit.ledger.entry import (
    FIRST_PREVIOUS,
    Act,
    Draft,
    Entry,
    document_of,
    entry_of,
    hash_of,
    place,
    require_act,
    require_site,
    stamp,
)

_INSERT = "insert into ledger (position, document, hash) values (?, ?, ?)"
_LAST = "select position, hash from ledger order by position desc limit 1"
_NUMBER = "select coalesce(max(number), 0) from ledger where site = ? and subject = ?"
_HIGHEST = """
    select max(cast(ltrim(substr(subject, instr(subject, '/') + 1), 'ABCDEFGHIJKLMNOPQRSTUVWXYZ-') as integer))
    from ledger where number = 1 and substr(subject, 1, instr(subject, '/') - 1) = ?
"""


class Book:
    """A workshop's record: one SQLite file, with a folder of photos (`photos`) and one of papers beside it.

    `clock` tells the moment, with its time zone; `chance` is `random.SystemRandom` in real life. `reserve` is the
    number of bytes that stay free on the disk, `wait` the seconds an act waits for another one to finish. May be
    shared between threads; each gets a connection of its own. Close it, or use it in a `with` statement.
    """

    def __init__(
        self,
        path: Path,
        clock: Callable[[], datetime],
        chance: random.Random,
        *,
        reserve: int = guard.RESERVE,
        wait: float = 30.0,
        rows_of: RowsOf | None = None,
    ) -> None:
        self.path = path
        self.clock = clock
        self.chance = chance
        self.photos = path.with_name(path.stem + "-photos")
        self.site = ""
        self._folder = str(path.parent)
        self._reserve = reserve
        self._connections = Connections(path, wait)
        self._known = Known()
        self._lists = Lists(rows_of or _model_rows)

    @classmethod
    def new(
        cls,
        path: Path,
        site: str,
        clock: Callable[[], datetime],
        chance: random.Random,
        *,
        reserve: int = guard.RESERVE,
        wait: float = 30.0,
        rows_of: RowsOf | None = None,
    ) -> Self:
        """Make a book for one site ("YARD-2") and open it; on failure nothing is left behind. Raises BookError."""
        try:
            require_site(site)
        except ValueError as error:
            raise BookError(f"{error}.") from None
        guard.check_place(path)
        guard.check_space(path.parent, reserve)
        try:
            path.touch(exist_ok=False)
        except OSError as error:
            raise BookError(f"{path} cannot be made: {error.strerror}.") from None
        try:
            with told(path):
                make(path, site, wait)
            return cls.open(path, clock, chance, reserve=reserve, wait=wait, rows_of=rows_of)
        except BaseException:
            for end in ("", "-wal", "-shm", "-journal"):
                path.with_name(path.name + end).unlink(missing_ok=True)
            raise

    @classmethod
    def open(
        cls,
        path: Path,
        clock: Callable[[], datetime],
        chance: random.Random,
        *,
        reserve: int = guard.RESERVE,
        wait: float = 30.0,
        rows_of: RowsOf | None = None,
    ) -> Self:
        """Open a book and bring an older one up to date. Raises BookError with a sentence."""
        guard.check_file(path)
        book = cls(path, clock, chance, reserve=reserve, wait=wait, rows_of=rows_of)
        try:
            with told(path):
                book.site = admit(book.connection, path)
        except BaseException:
            book.close()
            raise
        return book

    @property
    def connection(self) -> Connection:
        """The calling thread's connection, for the other modules of this room."""
        return self._connections.here()

    def close(self) -> None:
        """Close every connection."""
        self._connections.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def append(
        self,
        act: Act,
        drafts: Sequence[Draft],
        expect: Mapping[str, int],
        personal: Mapping[str, Mapping[str, str]] | None = None,
    ) -> list[Entry]:
        """Write one act: its entries, the chain and the lists, in one transaction; the entries as they now stand.

        `expect` maps each subject that was read to its highest number then (0: it had no entry); `personal` maps a
        subject to fields set in the same transaction. An act already recorded with the same digest changes nothing
        and gives its entries. Raises IdUsed, Moved, BookError (nothing written), or ValueError and TypeError for a
        draft the ledger could not hold.
        """
        if not drafts:
            raise ValueError("an act without entries records nothing")
        guard.check_space(self._folder, self._reserve)
        with told(self.path), writing(self.connection):
            before = self._earlier(act)
            if before is not None:
                return before
            subjects = {draft.subject: self._entries(draft.subject) for draft in drafts}
            self._require_unmoved(expect, subjects)
            for subject, fields in (personal or {}).items():
                set_personal(self.connection, subject, fields)
            entries = self._write(place(act, drafts, self.site, stamp(self.clock())), subjects)
            for subject, own in subjects.items():
                self._lists.refresh(self.connection, subject, own)
        for subject, own in subjects.items():
            self._known.keep(subject, own)
        return entries

    def earlier(self, act: Act) -> list[Entry] | None:
        """The entries of this act if it was recorded before, else None. Raises IdUsed when the id said otherwise."""
        with told(self.path):
            return self._earlier(act)

    def entries(self, subject: str) -> list[Entry]:
        """One subject's entries in order; none when the book does not know it."""
        with told(self.path):
            own = self._entries(subject)
        self._known.keep(subject, own)
        return own

    def entry(self, sequence: int) -> Entry | None:
        """The entry with this sequence on the site, or None."""
        with told(self.path):
            found = self._documents("where site = ? and sequence = ?", (self.site, sequence))
        return found[0] if found else None

    def ledger(self, first: int = 1, last: int | None = None) -> list[tuple[Entry, str]]:
        """Entries with their hashes from sequence `first` to `last` (None: to the end)."""
        with told(self.path):
            rows = self.connection.execute(
                "select document, hash from ledger where site = ? and sequence between ? and ? order by sequence",
                (self.site, first, 2**53 if last is None else last),
            )
            return [(entry_of(document), digest) for document, digest in rows]

    def next_number(self, noun: str) -> int:
        """One more than the highest number among a noun's subjects ("job/12", "wrench/W-12").

        Append the subject's first entry with `expect={subject: 0}`, so that two who asked at once do not collide.
        """
        with told(self.path):
            return (self.connection.execute(_HIGHEST, (noun,)).fetchone()[0] or 0) + 1

    def head(self) -> Head:
        """Where the chain stands; sequence 0 and zeros when nothing is recorded yet."""
        with told(self.path):
            return Head(self.site, *self._last())

    def personal_of(self, subject: str) -> dict[str, str]:
        """What is known of a person or vehicle by field ("name"); empty when forgotten."""
        with told(self.path):
            return personal_of(self.connection, subject)

    def set_personal(self, subject: str, fields: Mapping[str, str]) -> None:
        """Set these fields and leave the others; an empty value takes the field away. Raises BookError."""
        guard.check_space(self._folder, self._reserve)
        with told(self.path), writing(self.connection):
            set_personal(self.connection, subject, fields)

    def forget(self, subject: str) -> None:
        """Erase everything personal of a subject, also from the file's spare bytes and its write-ahead log.

        Where another program reads at that moment, the log is overwritten by its next writes instead.
        """
        with told(self.path):
            with writing(self.connection):
                forget(self.connection, subject)
            in_turn(self.connection, "pragma wal_checkpoint(truncate)")

    def mentions(self, text: str) -> list[str]:
        """The subjects whose name, plate or number stands in a text; such a text is not recorded."""
        with told(self.path):
            return mentions(self.connection, text)

    def rebuild(self) -> None:
        """Write every list anew from the ledger."""
        guard.check_space(self._folder, self._reserve)
        with told(self.path), writing(self.connection):
            self._lists.rebuild(self.connection, self.site)

    def verify(self, head: Head | None = None) -> list[str]:
        """What is wrong with the book, in sentences; none when it is sound. `head` is one printed earlier."""
        from torqueaudit.book import papers, soundness  # only whoever verifies needs it

        with told(self.path), reading(self.connection):
            found = soundness.faults(self.connection, self.site, self._lists, head)
            kept = papers.kept(self.connection)
        return [*found, *papers.faults(self.path, kept)]

    def clock_remarks(self) -> list[str]:
        """Where the machine's clock was set back between two entries, in sentences."""
        from torqueaudit.book import soundness  # only whoever verifies needs it

        with told(self.path):
            return soundness.clock_remarks(self.connection, self.site)

    def backup(self, target: Path) -> None:
        """Copy the book, its photos and its papers to a new file and folders beside it. Raises BookError."""
        from torqueaudit.book import backup, papers  # only whoever copies needs it

        folders = {
            self.photos: target.with_name(target.stem + "-photos"),
            papers.folder_of(self.path): papers.folder_of(target),
        }
        with told(self.path):
            backup.copy(self.connection, folders, target, self._reserve)

    def _earlier(self, act: Act) -> list[Entry] | None:
        require_act(act)
        first = self._documents("where id = ?", (act.id,))
        if not first:
            return None
        start = first[0].sequence
        if first[0].digest != act.digest:
            raise IdUsed(f"The id {act.id} was used before for something else (entry {start}); give a new id.")
        return self._documents(
            "where site = ? and sequence between ? and ? order by sequence",
            (first[0].site, start, start + first[0].of - 1),
        )

    def _require_unmoved(self, expect: Mapping[str, int], subjects: Mapping[str, Sequence[Entry]]) -> None:
        for subject, number in expect.items():
            own = subjects.get(subject)
            if (self._highest(subject) if own is None else len(own)) != number:
                raise Moved(subject)

    def _highest(self, subject: str) -> int:
        return int(self.connection.execute(_NUMBER, (self.site, subject)).fetchone()[0])

    def _write(self, placed: Iterable[Entry], subjects: Mapping[str, list[Entry]]) -> list[Entry]:
        """Give each entry its place, write it, link the chain, and add it to its subject's entries."""
        sequence, previous = self._last()
        entries = []
        for lacking in placed:
            sequence += 1
            own = subjects[lacking.subject]
            entry = lacking._replace(sequence=sequence, number=len(own) + 1, previous=previous)
            document = document_of(entry)
            previous = hash_of(document)
            self.connection.execute(_INSERT, (sequence, document, previous))
            entries.append(entry)
            own.append(entry)
        return entries

    def _last(self) -> tuple[int, str]:
        """Sequence and hash of the newest entry. In a book of one site the position is the sequence, and unparsed."""
        row = self.connection.execute(_LAST).fetchone()
        return (0, FIRST_PREVIOUS) if row is None else (row[0], row[1])

    def _entries(self, subject: str) -> list[Entry]:
        """Those read before, and whatever was written since; not kept, for the transaction may yet fail."""
        known = self._known.of(subject)
        since = "where site = ? and subject = ? and number > ? order by number"
        return [*known, *self._documents(since, (self.site, subject, len(known)))]

    def _documents(self, where: str, values: tuple[str | int, ...]) -> list[Entry]:
        rows = self.connection.execute(f"select document from ledger {where}", values)
        return [entry_of(document) for (document,) in rows]


def _model_rows(subject: str, entries: Sequence[Entry]) -> Mapping[str, Sequence[Mapping[str, str | int | None]]]:
    from torqueaudit.book.rows import rows_of  # only whoever writes or verifies needs it

    return rows_of(subject, entries)
