"""A book made of an export: the same entries and so the same head, the same words, the same lists."""

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import datetime
from pathlib import Path
from random import Random
from typing import Any

from torqueaudit.book.address import Place
from torqueaudit.book.copies.form import ENTRIES, FOLDERS, HASHES, PERSONAL, WORDS, checked
from torqueaudit.book.copies.making import coming, fill
from torqueaudit.book.errors import BookError
from torqueaudit.book.flushing import copy_folders
from torqueaudit.book.personal import PersonalRow
from torqueaudit.book.places import folders_of
from torqueaudit.book.words import WordsRow
from torqueaudit.ledger.chain import Head, beginning, chain_faults

MOST = 3  # faults that one sentence tells


def from_export(folder: Path, place: Place, clock: Callable[[], datetime], chance: Random) -> Head:
    """Make a book of an export; its head, which is that of the export. Raises BookError, and nothing is left then."""
    head = checked(folder).head
    _require_chain(folder, head)
    try:
        with coming(place, head.site, clock, chance) as book:
            copy_folders((folder / name for name in FOLDERS), folders_of(book.path))
            fill(book, _entries(folder), _words(folder), _personal(folder))
            if found := book.verify(head):
                raise BookError(f"{folder} makes no sound book: {' '.join(found[:MOST])}")
            return book.tell_head()
    except OSError as error:
        raise BookError(f"{place} cannot be made: {error.strerror}; nothing is left of it.") from error


def _require_chain(folder: Path, head: Head) -> None:
    rows = ((text.encode(), hash_) for text, hash_ in _entries(folder))
    reached, found = chain_faults(beginning(head.site), rows)
    if found or reached != head:
        raise BookError(f"{folder / ENTRIES} is no whole chain up to {head}: {(found or [str(reached)])[0]}")


def _entries(folder: Path) -> Iterator[tuple[str, str]]:
    texts, hashes = _lines(folder / ENTRIES), _lines(folder / HASHES)
    try:
        yield from zip(texts, hashes, strict=True)
    except ValueError:
        raise BookError(f"{folder / ENTRIES} and {HASHES} have not as many lines as each other.") from None


def _words(folder: Path) -> Iterator[WordsRow]:
    for told in _rows(folder / WORDS, WordsRow._fields):
        yield WordsRow(**told)


def _personal(folder: Path) -> Iterator[PersonalRow]:
    for told in _rows(folder / PERSONAL, PersonalRow._fields) if (folder / PERSONAL).exists() else ():
        yield PersonalRow(**told)


def _rows(file: Path, fields: Sequence[str]) -> Iterator[Mapping[str, Any]]:
    """Each line as what stands in it under these fields: texts, or nothing, and the number of an entry."""
    for number, line in enumerate(_lines(file), start=1):
        try:
            told = json.loads(line)
            sound = [*told] == [*fields] and all(
                isinstance(each, int if name == "entry" else str | None) for name, each in told.items()
            )
        except (ValueError, TypeError, RecursionError):
            sound = False
        if not sound:
            raise BookError(f"Line {number} of {file} is not as an export writes it; export the book again.")
        yield told


def _lines(file: Path) -> Iterator[str]:
    """The lines, without their line feed; nothing else ends one."""
    with file.open(encoding="utf-8", errors="replace", newline="\n") as opened:  # what was spoilt gives no hash
        yield from (line.removesuffix("\n") for line in opened)
