"""A book made of entries that are there already: filled beside its place, looked through, and then put there."""

import shutil
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from random import Random

from torqueaudit.book.address import Place, Server
from torqueaudit.book.book import Book
from torqueaudit.book.copies.part_folder import in_making
from torqueaudit.book.disk import check_free
from torqueaudit.book.errors import BookError
from torqueaudit.book.flushing import flush_folder, rename
from torqueaudit.book.personal import PersonalRow, Told, put, told_in
from torqueaudit.book.places import all_of, folders_of, heads_of, told_at
from torqueaudit.book.sqlite.file import check_place
from torqueaudit.book.sqlite.words import InWords
from torqueaudit.book.words import WordsRow


@contextmanager
def coming(place: Place, site: str, clock: Callable[[], datetime], chance: Random) -> Iterator[Book]:
    """A new book, to be filled in a block: it is there behind the block, and nothing of it where that fails."""
    if not isinstance(place, Server):
        with beside(place) as inner, Book.new(inner, site, clock, chance) as book:
            yield book
        return
    with Book.new(place, site, clock, chance) as book:
        try:
            with book.engine.in_words(), book.engine.writing():
                yield book
        except BaseException:
            Book.unmake(place, site)
            raise


@contextmanager
def beside(place: Path) -> Iterator[Path]:
    """Where a book is made that is going to lie at a place: in a folder of its own, gone where the block fails.

    Behind the block everything has its name at the place, the file itself last. Raises BookError where something is
    there already.
    """
    check_place(place)
    for each in all_of(place):
        check_free(each)
    with in_making(place) as folder:
        with _told_of(place, inner := folder / place.name):
            yield inner
        for each in (*folders_of(inner), heads_of(inner), inner):  # a book that was closed has nothing in its logs
            if each.exists():
                rename(each, place.with_name(each.name))
        shutil.rmtree(folder)
        flush_folder(place.parent)


@contextmanager
def _told_of(place: Path, inner: Path) -> Iterator[None]:
    """What is wrong with the book that is being made, or with its disk, is told of the place where it is going to lie.

    What passes is a fault of the program.
    """
    try:
        with InWords(place):
            yield
    except BookError as error:
        says = told_at(error.says, inner, place).replace(str(inner.parent), str(place.parent))
        raise BookError(says, error.see) from error


def fill(
    book: Book, entries: Iterable[tuple[str, str]], words: Iterable[WordsRow], personal: Iterable[PersonalRow]
) -> None:
    """Write stored texts with their hashes, words and personal data into a new book, and its lists."""
    told: Told = {}
    names, places = ", ".join(WordsRow._fields), ", ".join("?" * len(WordsRow._fields))
    with book.engine.in_words(), book.engine.writing():
        for sequence, (text, hash_) in enumerate(entries, start=1):
            book.engine.insert(sequence, text, hash_)
            told |= told_in(text)
        for row in words:
            book.engine.run(f"insert into words ({names}) values ({places})", row)
        put(book.engine, personal, told)
    book.rebuild()
