"""What is sound of a damaged book, read out of its pages into a new one; and what is lost, by name.

An entry proves itself by its hash, or by the one behind it; words, names and plates by the digest in the entry that
told them. So nothing of the damaged file is trusted, and nothing in it is written to. Entries behind a gap cannot go on
with the chain: they, and words and names that nothing proves, lie in two files beside the new book, for people to read.
"""

import json
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import closing
from datetime import datetime
from itertools import chain
from pathlib import Path
from random import Random
from typing import NamedTuple

from torqueaudit.book import heads
from torqueaudit.book.book import Book
from torqueaudit.book.copies.making import beside, fill
from torqueaudit.book.disk import check_free, real
from torqueaudit.book.errors import BookError
from torqueaudit.book.flushing import copy_folders, write_whole
from torqueaudit.book.personal import PersonalRow, Told, told_in
from torqueaudit.book.places import folders_of, told_at
from torqueaudit.book.sqlite.file import check_place
from torqueaudit.book.sqlite.found import Entries
from torqueaudit.book.sqlite.held import alone
from torqueaudit.book.sqlite.pages import Pages
from torqueaudit.book.words import Erased, WordsRow, erased_in, sealed_in
from torqueaudit.ledger.chain import Head
from torqueaudit.ledger.entry import entry_of
from torqueaudit.ledger.words import Kept

_SUBJECT, _FIELD = re.compile(r"(person|vehicle)/[A-Z]+-[0-9]+"), re.compile(r"[a-z_]+")
_WORDS_LOST = re.compile(r"Entry [0-9]+: its words ")  # told here already
_OF_WORDS = len(WordsRow._fields)  # how many values stand in a row


class Spoilt(NamedTuple):
    """What is left of an entry that nobody can read any more."""

    entry: int
    document: str


class Repaired(NamedTuple):
    """The head of the new book, what is lost in sentences, and the files beside it, each with what is in it."""

    head: Head
    lost: tuple[str, ...]
    aside: Mapping[Path, str]


class _Words:
    """The free words that the entries of the new book prove, as far as they are found."""

    def __init__(self) -> None:
        self._sealed: dict[tuple[int, str], tuple[str, str]] = {}  # entry and field: its subject, the digest
        self._erased: Erased = {}
        self._found: dict[tuple[int, str], WordsRow] = {}

    def know(self, text: str) -> None:
        """Take in what an entry says of its words, and of words that were erased."""
        self._sealed |= {(entry, field): (subject, digest) for (entry, field, subject), digest in sealed_in(text)}
        self._erased |= erased_in(text)

    def take(self, row: WordsRow) -> bool:
        """Take in what was found, if it is proved; also what was erased since, of which nothing is kept."""
        sealed = self._sealed.get((row.entry, row.field))
        if sealed is None or sealed[0] != row.subject:
            return False
        if row.entry not in self._erased:
            if row.salt is None or row.text is None or Kept(row.salt, row.text).digest != sealed[1]:
                return False
            self._found[row.entry, row.field] = row
        return True

    def rows(self) -> Iterator[WordsRow]:
        """What the new book keeps of each: the words, when they were erased, or nothing where they are lost."""
        for (entry, field), (subject, _) in sorted(self._sealed.items()):
            on, by = self._erased.get(entry, (None, None))
            row = WordsRow(entry, field, subject, salt=None, text=None, erased_on=on, erased_by=by)
            yield self._found.get((entry, field), row)

    def lost(self) -> Iterator[str]:
        """The words that were not found, in sentences."""
        for entry, field in sorted(self._sealed.keys() - self._found.keys()):
            if entry not in self._erased:
                yield f"Entry {entry}: its words ({field}) are lost."


class _People:
    """What is known of people and vehicles, as far as it is found and the entry that told it proves it."""

    def __init__(self) -> None:
        self._told: Told = {}
        self._here: set[str] = set()  # people of whom something is recorded, and who have not left
        self._found: dict[tuple[str, str], PersonalRow] = {}

    def know(self, text: str) -> None:
        """Take in what an entry says of what is known of its subject."""
        self._told |= told_in(text)
        if '"subject":"person/' in text and (entry := entry_of(text)).subject.startswith("person/"):
            (self._here.discard if entry.what == "ended" else self._here.add)(entry.subject)

    def take(self, row: PersonalRow) -> bool:
        """Take in what was found, if it is proved, or was told before entries held digests; also what was erased."""
        digest = self._told.get((row.subject, row.field))
        if digest is None or not row.value:
            proved = row.salt is None and bool(_SUBJECT.fullmatch(row.subject) and _FIELD.fullmatch(row.field))
        else:
            proved = row.salt is not None and Kept(row.salt, row.value).digest == digest
        if proved:
            self._found[row.subject, row.field] = row
        return proved

    def rows(self) -> Iterable[PersonalRow]:
        """What the new book keeps."""
        return self._found.values()

    def lost(self) -> Iterator[str]:
        """What was told and was not found, in sentences."""
        for subject, field in sorted(self._told.keys() - self._found.keys()):
            yield f"The {field.replace('_', ' ')} of {subject} is lost; tell it anew."
        for subject in sorted(self._here - {subject for subject, _ in (*self._told, *self._found)}):
            yield f"No name was found of {subject}; tell it anew."


class _Read(NamedTuple):
    """What was read: the head of the new book, what is lost, and what lies beside it."""

    head: Head
    lost: list[str]
    unchained: list[str]
    unproved: list[NamedTuple]


def repair(damaged: Path, new: Path, clock: Callable[[], datetime], chance: Random) -> Repaired:
    """Make a new book of what can be read of a damaged one, which stays as it is.

    Raises BookError: for a file that is missing or open elsewhere, or of which nothing can be read.
    """
    damaged = real(damaged)
    if not damaged.is_file():
        raise BookError(f"There is no file at {damaged}; give that of the damaged book.")
    check_place(new)
    aside = [new.with_name(f"{new.name}.{end}.jsonl") for end in ("unchained", "unproved")]
    for each in aside:
        check_free(each)
    try:
        with alone(damaged), beside(new) as inner:
            scratch = inner.with_name("found")
            with closing(Pages(damaged)) as pages, closing(Entries(scratch)) as entries:
                read = _read_out(pages, entries, (damaged, inner), (clock, chance))
            scratch.unlink()
            return _written(read, *aside, places=(inner, new))
    except OSError as error:
        raise BookError(f"{new} cannot be made: {error.strerror}; {damaged} is as it was.") from error


def _read_out(
    pages: Pages, entries: Entries, places: tuple[Path, Path], means: tuple[Callable[[], datetime], Random]
) -> _Read:
    """Fill the new book at the second place with what the pages of the first hold."""
    damaged, inner = places
    found, known_of = _sorted(pages, entries)
    if (site := entries.site) is None:
        raise BookError(f"Nothing in {damaged} can be read as a book; keep it, and go on from the newest backup.")
    words, people = _Words(), _People()
    unproved: list[NamedTuple] = []
    copy_folders(folders_of(damaged), folders_of(inner))

    def known(texts: Iterable[tuple[str, str]]) -> Iterator[tuple[str, str]]:
        for text, hash_ in texts:
            words.know(text)
            people.know(text)
            yield text, hash_

    def proved() -> Iterator[WordsRow]:
        unproved.extend(row for row in found if not words.take(row))
        yield from words.rows()

    def personal() -> Iterator[PersonalRow]:
        unproved.extend(row for row in known_of if not people.take(row))
        yield from people.rows()

    with Book.new(inner, site, *means) as book:
        fill(book, known(entries.chain(site)), proved(), personal())
        head = book.head()
        told = max((each.head.sequence for each in heads.told(damaged)), default=0)
        faults = [fault for fault in book.verify() if not _WORDS_LOST.match(fault)]
    found_as = set(entries.numbers())
    unproved += [Spoilt(number, text) for number, text in entries.spoilt.items() if number not in found_as]
    unchained = list(entries.unchained())
    of_ledger = [*_gaps(entries, head.sequence, told), *_left_out(head, unchained)]
    lost = [*of_ledger, *words.lost(), *people.lost(), *_unread(pages.unread()), *faults]
    return _Read(head, lost, unchained, unproved)


def _sorted(pages: Pages, entries: Entries) -> tuple[list[WordsRow], list[PersonalRow]]:
    """Give the entries to `entries`; the rows that may be words, and those that may be known of somebody."""
    for page in pages.before():
        entries.take_from(page)
    words: list[WordsRow] = []
    people: list[PersonalRow] = []
    for page in pages.now():
        entries.take_from(page)
        for row in () if page.in_table else page.rows:
            match row:
                case (int(entry), str(field), str(subject), *rest) if len(row) == _OF_WORDS and _are_texts(rest):
                    words.append(WordsRow(entry, field, subject, *map(_text, rest)))
                case (str(subject), str(field), str(value)) if _SUBJECT.fullmatch(subject):
                    people.append(PersonalRow(subject, field, value, None))
                case (subject, field, value, salt) if not isinstance(salt, int | float):
                    people.append(PersonalRow(_shown(subject), _shown(field), _shown(value), _text(salt)))
    return words, people


def _shown(value: object) -> str:
    return value.decode(errors="replace") if isinstance(value, bytes) else str(value)


def _text(value: object) -> str | None:
    return None if value is None else _shown(value)


def _are_texts(values: Iterable[object]) -> bool:
    return all(value is None or isinstance(value, str) for value in values)


def _unread(pages: int) -> Iterator[str]:
    if pages:
        says = f"{pages} pages of the file cannot be read" if pages > 1 else "1 page of the file cannot be read"
        yield f"{says} to the end. The newest entries, plates and contacts may have stood there; nothing tells which."


def _gaps(entries: Entries, end: int, told: int) -> Iterator[str]:
    """What of the ledger is lost, up to the highest number that is known of, in sentences."""
    last, before = max(entries.last, told, end), 0
    for number in chain(entries.numbers(), [last + 1]):
        if number > before + 1:
            many = number > before + 2
            yield f"Entries {before + 1} to {number - 1} are lost." if many else f"Entry {before + 1} is lost."
        before = max(before, number)


def _left_out(head: Head, unchained: Sequence[str]) -> Iterator[str]:
    if unchained:
        says = f"{len(unchained)} entries cannot go on with it, or nothing proves them"
        yield f"The chain goes up to entry {head.sequence}; {says}."


def _written(read: _Read, unchained: Path, unproved: Path, *, places: tuple[Path, Path]) -> Repaired:
    """Write what lies beside the new book, and word what is lost by where the new book is going to lie."""
    aside: dict[Path, str] = {}
    if read.unchained:
        write_whole(unchained, "".join(f"{text}\n" for text in read.unchained).encode())
        aside[unchained] = f"{len(read.unchained)} entries"
    if read.unproved:
        lines = (json.dumps(row._asdict(), ensure_ascii=False) + "\n" for row in read.unproved)
        write_whole(unproved, "".join(lines).encode(errors="backslashreplace"))
        aside[unproved] = f"{len(read.unproved)} words, names or remains of entries"
    return Repaired(read.head, tuple(told_at(each, *places) for each in read.lost), aside)
