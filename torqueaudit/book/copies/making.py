"""A book made of entries that are there already: filled beside its place, looked through, and then put there."""

import shutil
import tempfile
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

from torqueaudit.book.book import Book
from torqueaudit.book.disk import flush_folder, rename
from torqueaudit.book.errors import BookError
from torqueaudit.book.personal import PersonalRow, put
from torqueaudit.book.places import all_of, folders_of, heads_of
from torqueaudit.book.sqlite.file import check_place
from torqueaudit.book.words import WordsRow


@contextmanager
def beside(place: Path) -> Iterator[Path]:
    """Where a book is made that is going to lie at a place: in a folder of its own, gone where the block fails.

    Behind the block everything has its name at the place, the file itself last. Raises BookError where something is
    there already.
    """
    check_place(place)
    for each in all_of(place):
        if each.exists():
            raise BookError(f"{each} is there already; nothing was written over it. Give another name.")
    folder = Path(tempfile.mkdtemp(prefix=f".{place.name}.", suffix=".part", dir=place.parent))
    try:
        yield (inner := folder / place.name)
        for each in (*folders_of(inner), heads_of(inner), inner):  # a book that was closed has nothing in its logs
            if each.exists():
                rename(each, place.with_name(each.name))
        shutil.rmtree(folder)
        flush_folder(place.parent)
    except BaseException:
        shutil.rmtree(folder, ignore_errors=True)
        raise


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
