"""The book: opened with a clock and a source of randomness, written by `append` alone, read one subject at a time."""

import random
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager, contextmanager, nullcontext, suppress
from datetime import datetime
from functools import partial
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Any, Self

from torqueaudit.book import words
from torqueaudit.book.address import Place, Server
from torqueaudit.book.append import Ledger
from torqueaudit.book.disk import RESERVE, real
from torqueaudit.book.engine import ALL, FINDS, Engine, Value
from torqueaudit.book.errors import BookError, Lost
from torqueaudit.book.lists.upkeep import LISTS, Lists, Rows, RowsOf, by_subject
from torqueaudit.book.personal import (
    PERSONAL,
    forget,
    known_by,
    known_of,
    mentions,
    personal_of,
    sharing,
    subjects_of,
    write_ways_anew,
)
from torqueaudit.book.places import photos_of
from torqueaudit.book.sqlite import file
from torqueaudit.book.sqlite.engine import SQLiteEngine
from torqueaudit.ledger.chain import Head
from torqueaudit.ledger.entry import Act, Draft, Entry, entry_of, require_site
from torqueaudit.ledger.words import Kept
from torqueaudit.model.job.photo import ERASED as PHOTO_ERASED

LONGEST_LOSS, PAUSE = 30.0, 0.2  # seconds that an act waits for a database that was lost, and between two tries
WORDS = ("words", FINDS)  # the tables in which free words stand

if TYPE_CHECKING:
    from torqueaudit.book.disclosures import Disclosures
    from torqueaudit.book.outbox import Outbox
    from torqueaudit.book.shares import Share
    from torqueaudit.book.signing import Beside, Signing


class Book:
    """A workshop's record: one SQLite file, with a folder of photos (`photos`) and one of papers beside it.

    Or a site's part of a database: then `path` is a file that stands for it, beside which the folders lie. `place` is
    where it is opened. `clock` tells the moment, with its time zone; `chance` is `random.SystemRandom` in real life.
    `reserve` is the number of bytes that stay free on the disk, `wait` the seconds an act waits for another one to
    finish. May be shared between threads. Close it, or use it in a `with` statement.
    """

    def __init__(
        self,
        place: Place,
        engine: Engine,
        lists: Lists,
        *,
        clock: Callable[[], datetime],
        chance: random.Random,
    ) -> None:
        self.place = place
        self.path = place.stand_in(engine.site) if isinstance(place, Server) else place
        self.engine = engine
        self.clock = clock
        self.chance = chance
        self.photos = photos_of(self.path)
        self.site = engine.site
        self._lists = lists
        self._ledger = Ledger(engine, lists, clock, chance)

    @classmethod
    def new(
        cls,
        place: Place,
        site: str,
        clock: Callable[[], datetime],
        chance: random.Random,
        *,
        reserve: int = RESERVE,
        wait: float = 30.0,
        rows_of: RowsOf | None = None,
    ) -> Self:
        """Make a book for one site ("YARD-2") and open it; on failure nothing is left behind. Raises BookError."""
        try:
            require_site(site)
        except ValueError as error:
            raise BookError(f"{error}.") from None
        if isinstance(place, Server):
            from torqueaudit.book.postgres import making  # a book in a file needs nothing of it

            place = place._replace(site=site)
            made: AbstractContextManager[None] = making.new(place)
        else:
            made = file.new(place, site, wait, reserve)
        with made:
            return cls.open(place, clock, chance, reserve=reserve, wait=wait, rows_of=rows_of)

    @classmethod
    def open(
        cls,
        place: Place,
        clock: Callable[[], datetime],
        chance: random.Random,
        *,
        reserve: int = RESERVE,
        wait: float = 30.0,
        rows_of: RowsOf | None = None,
    ) -> Self:
        """Open a book and bring an older one up to date. Raises BookError with a sentence."""
        lists = Lists(rows_of or _model_rows)
        engine: Engine
        if isinstance(place, Server):
            from torqueaudit.book.postgres.engine import PostgresEngine  # a book in a file needs nothing of it

            engine = PostgresEngine.open(place, wait)
        else:
            place = real(place)
            engine = SQLiteEngine.open(place, wait, reserve, partial(_write_anew, lists))
        return cls(place, engine, lists, clock=clock, chance=chance)

    @classmethod
    def unmake(cls, place: Place, site: str) -> None:
        """Take a new book away again, in which nothing is recorded yet and which nobody has open."""
        if isinstance(place, Server):
            from torqueaudit.book.postgres import making  # a book in a file needs nothing of it

            making.remove(place._replace(site=site))
        else:
            file.remove(place)

    @contextmanager
    def then(self, last: int, subjects: Sequence[str]) -> Iterator["Book"]:
        """The book as it stood at an entry, for whoever asks about these subjects; nothing is written to it.

        Their rows in the lists are worked out of their entries up to it, so that what was struck later stands there.
        """
        with self.engine.in_words(), self.engine.then(last, subjects, LISTS) as engine:
            then = Book(self.place, engine, self._lists, clock=self.clock, chance=self.chance)
            for subject in subjects:
                if own := then.entries(subject):
                    self._lists.lay_out(engine, subject, own)
            yield then

    def close(self) -> None:
        """Give back what the engine holds; no thread may be using it."""
        self.engine.close()

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
        beside: "Beside | None" = None,
    ) -> list[Entry]:
        """Write one act in one transaction: its entries, their words, the chain, the lists; the entries as they stand.

        `expect` maps each subject that was read to its highest number then (0: it had no entry); `personal` maps a
        subject of the drafts to fields set in the same transaction; an empty value takes the field away. `beside`
        changes what people sign with, in that transaction as well. An act already recorded with the same digest and
        words changes nothing and gives its entries. Raises IdUsed, Moved, BookError and whatever `beside` raises
        (nothing written), or ValueError and TypeError for a draft the ledger could not hold.
        """
        if not drafts:
            raise ValueError("an act without entries records nothing")
        self.engine.require_room()
        changed = (partial(beside, self.signing.inside),) if beside else ()
        record = partial(self._record, act, drafts, expect, personal or {}, *changed)
        try:
            entries = record()
        except Lost:
            entries = _again(record)
        kinds = {entry.kind for entry in entries}
        if words.ERASED in kinds:
            self._overwrite(*WORDS)
        if PHOTO_ERASED in kinds:
            self._erase_photos()
        return entries

    def _record(self, *told: Any) -> list[Entry]:
        with self.engine.in_words():
            return self._ledger.append(*told)

    def earlier(self, act: Act) -> list[Entry] | None:
        """The entries of this act if it was recorded before, else None. Raises IdUsed when the id said otherwise."""
        with self.engine.in_words():
            return self._ledger.earlier(act)

    def of_act(self, id_: str) -> list[Entry]:
        """The entries of the act that was recorded under an id, with their words; none where none was."""
        with self.engine.in_words():
            return self._ledger.of_act(id_)

    def entries(self, subject: str) -> list[Entry]:
        """One subject's entries in order; none when the book does not know it."""
        with self.engine.in_words():
            return self._ledger.entries(subject)

    def subjects(self) -> Iterator[tuple[str, list[Entry]]]:
        """Every subject with its entries in order, without their words; one subject in memory at a time."""
        with self.engine.in_words():
            yield from by_subject(self.engine)

    def entry(self, sequence: int) -> Entry | None:
        """The entry with this sequence on the site, or None."""
        return next((entry for entry, _ in self.ledger(sequence, sequence)), None)

    def ledger(self, first: int = 1, last: int | None = None) -> list[tuple[Entry, str]]:
        """Entries with their hashes from sequence `first` to `last` (None: to the end)."""
        with self.engine.in_words():
            rows = list(self.engine.texts(self.site, first, ALL if last is None else last))
            entries = words.with_words_between(self.engine, [entry_of(text) for text, _ in rows])
            return [(entry, hash_) for entry, (_, hash_) in zip(entries, rows, strict=True)]

    def first_entry(self, subject: str) -> Entry | None:
        """The entry with which a subject begins, without its words; None where the book does not know it."""
        with self.engine.in_words():
            return next(map(entry_of, self.engine.texts_of(subject, 0)), None)

    def found(self, table: str, part: str, before: int, most: int) -> list[tuple[Any, ...]]:
        """The rows found by a part of their words, as the engine gives them."""
        with self.engine.in_words():
            return list(self.engine.found(table, part, before, most))

    def with_words(self, *subjects: str) -> list[int]:
        """The entries that have free words which stand, in order: of these subjects, or all where none is named."""
        with self.engine.in_words():
            return words.standing_entries(self.engine, *subjects)

    def words_erased(self, sequence: int) -> str:
        """What is shown in place of the words of an entry: "words erased on 2031-04-02 by P-1"; "" while they stand."""
        with self.engine.in_words():
            return next((row.shown for row in words.rows_of(self.engine, sequence) if row.erased_on), "")

    def kept_words(self, sequence: int) -> dict[str, Kept]:
        """The free words of an entry that stand, by field, each with the salt that proves it."""
        with self.engine.in_words():
            rows = list(words.rows_of(self.engine, sequence))
        return {row.field: Kept(row.salt, row.text) for row in rows if row.salt is not None and row.text is not None}

    def next_number(self, noun: str) -> int:
        """One more than the highest number among a noun's subjects ("job/12", "wrench/W-12").

        Append the subject's first entry with `expect={subject: 0}`, so that two who asked at once do not collide.
        """
        with self.engine.in_words():
            return self.engine.highest_key(noun) + 1

    def head(self) -> Head:
        """Where the chain stands; sequence 0 and zeros when nothing is recorded yet."""
        with self.engine.in_words():
            return Head(self.site, *self._ledger.last())

    def tell_head(self) -> Head:
        """Where the chain stands, for whoever shows it: written down beside the book first, as a head that was told."""
        from torqueaudit.book import heads  # most acts tell none

        head = self.head()
        heads.keep(self.path, head, self.clock(), self.has)
        return head

    def has(self, head: Head) -> bool:
        """Whether the ledger has the entry that a head knew."""
        with self.engine.in_words():
            return head.site == self.site and self.engine.hash_at(head.sequence) == head.hash

    def documents(self, after: int = 0) -> Iterator[tuple[bytes, str]]:
        """What is hashed of each entry behind a sequence, with its hash, in order, as the book stands at the first."""
        with self.engine.in_words(), self.engine.snapshot():
            yield from self.engine.stored(after)

    def explained(self) -> Callable[[Head], bool]:
        """Whether the entries that a head knew are said to be lost, by an entry of whoever put a backup back."""
        from torqueaudit.book import restored  # few ask

        with self.engine.in_words():
            return restored.explained(self.engine)

    def rows(self, sql: str, *values: Value) -> list[tuple[Any, ...]]:
        """What a question about the lists gives."""
        with self.engine.in_words():
            return list(self.engine.rows(sql, values))

    def personal_of(self, subject: str) -> dict[str, str]:
        """What is known of a person or vehicle by field ("name"); empty when forgotten."""
        with self.engine.in_words():
            return personal_of(self.engine, subject)

    def known_of(self, subjects: Sequence[str]) -> dict[tuple[str, str], str]:
        """What is known of some people and vehicles, by subject and field."""
        with self.engine.in_words():
            return known_of(self.engine, subjects)

    def known_by(self, field: str) -> dict[str, str]:
        """Everybody of whom, and everything of which, a field ("plate") is known, with what it is."""
        with self.engine.in_words():
            return known_by(self.engine, field)

    def sharing(self, subject: str, fields: Sequence[str]) -> list[str]:
        """The others of whom a whole name, telephone number or mail address under these fields is known as well."""
        with self.engine.in_words():
            return sharing(self.engine, subject, fields)

    def subjects_of(self, field: str, value: str) -> list[str]:
        """Everybody of whom, and everything of which, a field is known to be just this."""
        with self.engine.in_words():
            return subjects_of(self.engine, field, value)

    def forget(self, subject: str) -> None:
        """Erase everything personal of a subject, with who was shown it, also from wherever the engine may hold it."""
        from torqueaudit.book import disclosures  # few are forgotten

        with self.engine.in_words(), self.engine.writing():
            forget(self.engine, subject)
            disclosures.forget(self.engine, subject)
        self._overwrite(*PERSONAL, disclosures.DISCLOSURES)

    def overwrite_personal(self) -> None:
        """Leave nothing in the file of what was taken away of people and vehicles. Raises BookError."""
        self._overwrite(*PERSONAL)

    def mentions(self, text: str, *, singly: bool = True) -> list[str]:
        """The subjects whose name, plate, address or number stands in a text; such a text is not recorded.

        Also a single word of a name, unless not `singly`. Of several those of whom the most stands in it.
        """
        with self.engine.in_words():
            return mentions(self.engine, text, singly=singly)

    @property
    def signing(self) -> "Signing":
        """PINs, keys of devices and sessions, which lie in no entry and in no list."""
        from torqueaudit.book.signing import Signing  # whoever only reads the book signs nothing

        return Signing(self.engine)

    @property
    def disclosures(self) -> "Disclosures":
        """Who was shown what is known of whom, which lies in no entry and in no list."""
        from torqueaudit.book.disclosures import Disclosures  # few commands show anything of anybody

        return Disclosures(self.engine)

    @property
    def outbox(self) -> "Outbox":
        """Reminders that are to be sent, which lie in no entry and in no list."""
        from torqueaudit.book.outbox import Outbox  # few commands remind anybody

        return Outbox(self.engine)

    def rebuild(self) -> None:
        """Write every list anew from the ledger, and how names may be written; overwrite once more what was erased.

        What is kept for signing by somebody or something that the ledger does not know is taken away, and reminders of
        jobs and disclosures of what it does not know.
        """
        self.engine.require_room()
        with self.engine.in_words(), self.engine.writing():
            _write_anew(self._lists, self.engine)
        self._overwrite(*WORDS, *PERSONAL, "pins")
        self._erase_photos()

    def faults_of_file(self) -> list[str]:
        """What is wrong with the file and its tables, whatever stands in their rows, in sentences."""
        with self.engine.in_words():
            return self.engine.faults()

    def verify(self, head: Head | None = None, *, after: int = 0, processes: int | None = None) -> list[str]:
        """What is wrong with the book, in sentences; none when it is sound. `head` is one printed earlier.

        With `after`, only what was recorded after that entry is looked at: whatever came before was verified before.
        The whole of a large book is shared out to `processes`; None: as many as the machine has processors.
        """
        from torqueaudit.book import heads, restored, soundness  # only whoever verifies needs it

        with self.engine.in_words(), self.engine.snapshot(), self._shared_out(after, processes) as elsewhere:
            if not soundness.are_there(self.engine, "ledger"):
                return soundness.faults(self.engine, self._lists, head, after)
            explained = restored.explained(self.engine)
            told = soundness.found(
                self.engine, lambda: heads.faults(self.path, self.head(), self.engine.hash_at, explained)
            )
            beside = soundness.found(self.engine, lambda: self.faults_beside(after=after))
            on_paper = None if head and explained(head) else head
            found = soundness.faults(self.engine, self._lists, on_paper, after, elsewhere)
        return list(dict.fromkeys([*found, *told, *beside]))

    def _shared_out(self, after: int, processes: int | None) -> AbstractContextManager[Callable[[], bool]]:
        """Other processes that look at shares of the book, where that is worth it; a question whether all are sound."""
        from torqueaudit.book import shares  # only whoever verifies needs it

        with suppress(BookError), self.engine.in_words():  # damage is told by whoever looks for it
            head = self.head()
            many = shares.processes_for(head.sequence) if processes is None else processes
            if many > 1 and not after and self._lists.rows_of is _model_rows:  # no process knows any other
                return shares.shared_out(self.path, head, many)
        return nullcontext(lambda: False)

    def is_sound_in(self, share: "Share") -> bool:
        """Whether nothing is wrong with a share of the book, which still stands at its head."""
        from torqueaudit.book import soundness  # only whoever verifies needs it

        with self.engine.in_words(), self.engine.snapshot():
            return self.head() == share.head and soundness.is_sound_in(self.engine, self._lists, share)

    def faults_beside(self, *, after: int = 0) -> list[str]:
        """What is wrong with the papers and photos that entries name, in sentences; with `after`, of later entries."""
        from torqueaudit.book import papers, photos  # only whoever verifies needs it

        with self.engine.in_words():
            texts = [text for text, _ in self.engine.stored(after) if papers.may_name(text) or photos.may_name(text)]
            found, named = papers.faults(self.path, papers.named(texts)), photos.named(texts)
            if after and photos.are_there(self.path, named.erased):  # an earlier entry of another job may name one
                named = photos.named(text for text, _ in self.engine.stored())
            return [*found, *photos.faults(self.path, named)]

    def remarks(self) -> list[str]:
        """What is no damage and is told for ever: a clock that was set back, years that cannot be, entries lost."""
        from torqueaudit.book import restored, soundness  # only whoever verifies needs it

        with self.engine.in_words():
            return [*soundness.clock_remarks(self.engine), *restored.remarks(restored.lost_in(self.engine))]

    def backup(self, target: Path) -> Head:
        """Copy the book and the folders beside it; the head of the copy, told. Raises BookError."""
        from torqueaudit.book import heads, places  # only whoever copies needs it

        file.check_place(target)
        folders = zip(places.folders_of(self.path), places.folders_of(target), strict=True)
        with self.engine.in_words():
            head = self.engine.copy(target, dict(folders))
        heads.keep(self.path, head, self.clock(), self.has)
        return head

    def _erase_photos(self) -> None:
        """Take away the files of photos that were erased and that no job names. Raises BookError."""
        from torqueaudit.book import photos  # few acts erase one

        if not self.photos.is_dir():
            return
        with self.engine.in_words():
            named = photos.named(text for text, _ in self.engine.stored())
        photos.erase(self.path, named.erased)

    def _overwrite(self, *tables: str) -> None:
        """Leave nothing in the file of what was erased. Raises BookError, which says that the erasure stands."""
        try:
            with self.engine.in_words():
                self.engine.wipe(*tables)
        except BookError as error:
            stands = f"All is recorded and erased, but {self.path} could not be written anew"
            does = "Look at the disk, then rebuild the lists: that overwrites it."
            raise BookError(f"{stands}, so the disk may still hold what was erased. {does}") from error


def _again(record: Callable[[], list[Entry]]) -> list[Entry]:
    """Record an act once more when the database was lost: what is recorded already gives its entries.

    A server that starts anew is waited for.
    """
    until = time.monotonic() + LONGEST_LOSS
    while True:
        with suppress(Lost):
            return record()
        if time.monotonic() > until:
            return record()
        time.sleep(PAUSE)


def _write_anew(lists: Lists, engine: Engine) -> None:
    """Whatever is worked out from something else in the book. The caller is writing."""
    lists.rebuild(engine)
    write_ways_anew(engine)
    from torqueaudit.book import disclosures, finds_anew, outbox, signing  # only whoever writes anew needs them

    finds_anew.write_anew(engine)
    signing.take_strangers(engine)
    outbox.take_strangers(engine)
    disclosures.take_strangers(engine)


def _model_rows(subject: str, entries: Sequence[Entry]) -> Rows:
    from torqueaudit.book.lists.rows import rows_of  # only whoever writes or verifies needs it

    return rows_of(subject, entries)
