"""Free words of entries: beside the ledger, proved by the digests that the entries hold, and erasable.

An erasure is an entry itself, on the site's subject: it names whose words are gone, and what lies here follows from it
in the same transaction. So a word that is lost without such an entry is told by a verification. See decision 0067.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple, TypeAlias

from torqueaudit.book.engine import Engine
from torqueaudit.ledger.entry import LOST, Entry, entry_of
from torqueaudit.ledger.words import Kept

ERASED = "words_erased.1"
Place: TypeAlias = tuple[int, str, str]  # the entry, the field and the subject of words
Erased: TypeAlias = dict[int, tuple[str, str]]  # entry: the day on which its words were erased, and by whom
_COLUMNS = "entry, field, subject, salt, text, erased_on, erased_by"


class WordsRow(NamedTuple):
    """Free words told under one field of an entry, or when and by whom they were erased.

    None of it, where a damaged book was repaired and they are lost, until somebody says so by erasing them.
    """

    entry: int
    field: str
    subject: str  # of the entry
    salt: str | None
    text: str | None
    erased_on: str | None
    erased_by: str | None

    @property
    def shown(self) -> str:
        """The words as they were typed, or what is shown in their place."""
        if self.text is not None:
            return self.text
        return f"words erased on {self.erased_on} by {self.erased_by}" if self.erased_on else LOST


def sealed_in(text: str) -> Iterator[tuple[Place, str]]:
    """The digests of words that a stored text holds, by field; most hold none, and are not read. Raises NoEntry."""
    if '},"words":{' in text:
        entry = entry_of(text)
        for field, digest in sorted(entry.sealed.items()):
            yield (entry.sequence, field, entry.subject), digest


def erased_in(text: str) -> Erased:
    """The entries whose words are erased by what a stored text says; most erase none. Raises NoEntry."""
    if ERASED not in text or (entry := entry_of(text)).kind != ERASED:
        return {}
    return dict.fromkeys(entry.said["entries"], (entry.judged["on"], entry.who))


def keep(engine: Engine, entry: Entry, told: Mapping[str, Kept]) -> None:
    """Keep the free words of an entry. The caller is writing it."""
    insert = "insert into words (entry, field, subject, salt, text) values (?, ?, ?, ?, ?)"
    for field, kept in told.items():
        engine.run(insert, (entry.sequence, field, entry.subject, kept.salt, kept.text))


def erase(engine: Engine, erasure: Entry) -> None:
    """Take away the words that an entry says are erased. The caller is writing it, and wipes afterwards."""
    gone = "salt = null, text = null, erased_on = ?, erased_by = ?"
    for entry in erasure.said["entries"]:
        engine.run(
            f"update words set {gone} where entry = ? and erased_on is null", (erasure.judged["on"], erasure.who, entry)
        )


def with_words_of(engine: Engine, subject: str, entries: Sequence[Entry]) -> list[Entry]:
    """The entries of a subject with their words: one more question, and none where they have no words."""
    if not any(entry.sealed for entry in entries):
        return list(entries)
    return _joined(entries, _rows(engine, "subject = ?", subject))


def with_words_between(engine: Engine, entries: Sequence[Entry]) -> list[Entry]:
    """Entries that follow each other in the ledger, with their words."""
    if not any(entry.sealed for entry in entries):
        return list(entries)
    first, last = entries[0].sequence, entries[-1].sequence
    return _joined(entries, _rows(engine, "entry between ? and ?", first, last))


def told_otherwise(engine: Engine, entries: Sequence[Entry], told: Mapping[str, str]) -> bool:
    """Whether the entries of one act keep other words than these; what was erased agrees with any."""
    if not any(entry.sealed for entry in entries):
        return False
    first, last = entries[0].sequence, entries[-1].sequence
    rows = _rows(engine, "entry between ? and ?", first, last)
    return any(row.text is not None and row.text != told.get(row.field) for row in rows)


def rows_of(engine: Engine, entry: int) -> Iterator[WordsRow]:
    """What is kept of the words of one entry."""
    return _rows(engine, "entry = ?", entry)


def standing_entries(engine: Engine, *subjects: str) -> list[int]:
    """The entries that have words not erased, in order: of these subjects, or all where none is named."""
    places = ", ".join("?" * len(subjects))
    where = f"and subject in ({places})" if subjects else ""
    asked = f"select distinct entry from words where text is not null {where} order by entry"
    return [entry for (entry,) in engine.rows(asked, subjects)]


def rows_after(engine: Engine, entry: int) -> Iterator[WordsRow]:
    """Whatever is kept of the words of the entries after one, in order."""
    return _rows(engine, "entry > ?", entry)


def rows_between(engine: Engine, first: int, last: int) -> Iterator[WordsRow]:
    """Whatever is kept of the words of the entries from one to another, in order."""
    return _rows(engine, "entry between ? and ?", first, last)


def _joined(entries: Iterable[Entry], rows: Iterable[WordsRow]) -> list[Entry]:
    words: dict[int, dict[str, str]] = {}
    for row in rows:
        words.setdefault(row.entry, {})[row.field] = row.shown
    return [each._replace(words=words.get(each.sequence, {})) if each.sealed else each for each in entries]


def _rows(engine: Engine, where: str, *values: str | int) -> Iterator[WordsRow]:
    asked = f"select {_COLUMNS} from words where {where} order by entry, field"
    return (WordsRow(*row) for row in engine.rows(asked, values))
