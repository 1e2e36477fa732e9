"""A book made of entries that are there already: filled beside its place, looked through, and then put there."""

import glob
import os
import shutil
import sys
import tempfile
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

from torqueaudit.book.book import Book
from torqueaudit.book.disk import check_free, flush_folder, rename
from torqueaudit.book.errors import BookError
from torqueaudit.book.personal import PersonalRow, put
from torqueaudit.book.places import all_of, folders_of, heads_of
from torqueaudit.book.sqlite.file import check_place
from torqueaudit.book.sqlite.words import in_words
from torqueaudit.book.words import WordsRow

if sys.platform != "win32":
    import fcntl


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
        with in_words(place):
            yield
    except BookError as error:
        says = error.says.replace(str(inner), str(place)).replace(str(inner.parent), str(place.parent))
        raise BookError(says, error.see) from error


@contextmanager
def in_making(place: Path) -> Iterator[Path]:
    """A folder beside a place, for what is going to lie there; gone behind the block, unless it was given its name.

    What a killed run left of the same place is taken away, also when that run held nothing but the folder. One that
    is being made just now is left alone. Raises OSError.
    """
    place = place.absolute()
    for left in place.parent.glob(f"{glob.escape(f'.{place.name}.')}{'[a-z0-9_]' * 8}.part"):
        if left.is_dir():
            with _held(left) as alone:
                if alone:
                    shutil.rmtree(left, ignore_errors=True)
    folder = Path(tempfile.mkdtemp(prefix=f".{place.name}.", suffix=".part", dir=place.parent))
    try:
        with _held(folder):
            yield folder
    finally:
        shutil.rmtree(folder, ignore_errors=True)


@contextmanager
def _held(folder: Path) -> Iterator[bool]:
    """Whether this program alone holds a folder; the others find it held for the block. Not known on Windows."""
    if sys.platform == "win32":
        yield False
        return
    opened = os.open(folder, os.O_RDONLY)
    try:
        fcntl.flock(opened, fcntl.LOCK_EX | fcntl.LOCK_NB)
        alone = True
    except OSError:
        alone = False
    try:
        yield alone
    finally:
        os.close(opened)


def fill(
    book: Book, entries: Iterable[tuple[str, str]], words: Iterable[WordsRow], personal: Iterable[PersonalRow]
) -> None:
    """Write stored texts with their hashes, words and personal data into a new book, and its lists."""
    names, places = ", ".join(WordsRow._fields), ", ".join("?" * len(WordsRow._fields))
    with book.engine.in_words(), book.engine.writing():
        for sequence, (text, hash_) in enumerate(entries, start=1):
            book.engine.insert(sequence, text, hash_)
        for row in words:
            book.engine.run(f"insert into words ({names}) values ({places})", row)
        put(book.engine, personal)
    book.rebuild()
