"""A book moved from a file into a database or back: its entries, words and personal data, and what people sign with.

Nobody writes to it meanwhile. The new one is looked through before it is there, and the old one is closed after that:
a file is put aside, a site in a database is marked as moved. Whatever breaks off in between is done again.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from datetime import datetime
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from typing import NamedTuple, TypeAlias

from torqueaudit.book.address import Place, Server
from torqueaudit.book.book import Book
from torqueaudit.book.copies.making import coming, fill
from torqueaudit.book.copies.restore import put_aside
from torqueaudit.book.disclosures import DISCLOSURES
from torqueaudit.book.disk import told_of_disk
from torqueaudit.book.engine import Engine
from torqueaudit.book.errors import BookError
from torqueaudit.book.flushing import copy_file, copy_folders
from torqueaudit.book.outbox import OUTBOX
from torqueaudit.book.personal import every_row
from torqueaudit.book.places import folders_of, heads_of, night_of, written_of
from torqueaudit.book.signing import SIGNING
from torqueaudit.book.sqlite.file import check_file
from torqueaudit.book.sqlite.held import alone
from torqueaudit.book.words import rows_after
from torqueaudit.ledger.chain import Head

MOST = 3  # faults that one sentence tells
_BESIDE = (*SIGNING, OUTBOX, DISCLOSURES)  # which follow from no entry
Means: TypeAlias = tuple[Callable[[], datetime], Random]


class Moved(NamedTuple):
    """Where the chain of the new book stands; where the old file lies now, None where it was none."""

    head: Head
    aside: Path | None


def move(place: Place, to: Place, *means: *Means) -> Moved:
    """Move the book at a place to another one. Raises BookError: then the one at the place stands as it was."""
    if isinstance(place, Server) == isinstance(to, Server):
        raise BookError(f"{to} is of the same kind as {place}; a book moves from a file into a database, or back.")
    if isinstance(place, Server):
        return Moved(_out_of(place, to, *means), None)
    check_file(place)
    with alone(place):
        with _copy_of(place) as copy, Book.open(copy, *means) as book:
            head = _taken(book, place, to, *means)
        with told_of_disk(place, f"the book is at {to} all the same; do it again once that is mended"):
            return Moved(head, put_aside(place, means[0]()))


def copied(book: Book, target: Path, *means: *Means) -> Head:
    """Copy a book of a database into a file, while others write; the head of the copy, told. Raises BookError."""
    with book.engine.in_words(), book.engine.snapshot():
        head = _fill(book, book.path, target, *means)
    book.tell_head()
    return head


def _out_of(place: Server, to: Place, *means: *Means) -> Head:
    from torqueaudit.book.postgres.making import close

    with Book.open(place, *means) as book, book.engine.in_words(), book.engine.writing():
        head = _taken(book, book.path, to, *means)
        close(place._replace(site=book.site), str(to))
    return head


@contextmanager
def _copy_of(place: Path) -> Iterator[Path]:
    """The file of a book with its logs, copied beside it for a block: nobody opens the book itself."""
    with told_of_disk(place, "nothing was moved"), TemporaryDirectory(dir=place.parent) as folder:
        copy = Path(folder, place.name)
        for file, other in zip(written_of(place), written_of(copy), strict=True):
            if file.exists():
                copy_file(file, other)
        yield copy


def _taken(book: Book, beside: Path, to: Place, *means: *Means) -> Head:
    """Make the new book, or find that it was made already by a run that broke off."""
    if (there := _head_at(to, book.site, *means)) is None or not there.sequence:
        return _fill(book, beside, to, *means)
    if there != book.head():
        raise BookError(f"There is another book of {book.site} at {to}; give another place.")
    return there


def _head_at(to: Place, site: str, *means: *Means) -> Head | None:
    with suppress(BookError), Book.open(_of_site(to, site), *means) as there:
        return there.head()
    return None


def _fill(book: Book, beside: Path, to: Place, *means: *Means) -> Head:
    head = book.head()
    with coming(_of_site(to, book.site), book.site, *means) as new:
        if new.head().sequence:
            raise BookError(f"{to} was filled by another program just now; look at it first.")
        texts = ((text.decode(), hash_) for text, hash_ in book.engine.stored())
        fill(new, texts, rows_after(book.engine, 0), every_row(book.engine))
        _take_beside(book.engine, new.engine)
        if isinstance(new.place, Server):
            _make_room(new.path, new.place, *means)
        copy_folders(folders_of(beside), folders_of(new.path))
        for of in (heads_of, night_of):
            if of(beside).exists():
                copy_file(of(beside), of(new.path))
        if found := new.verify(head):
            raise BookError(f"The book at {beside} makes no sound book: {' '.join(found[:MOST])}")
        return new.tell_head()


def _make_room(path: Path, place: Server, *means: *Means) -> None:
    """Put aside what a run that broke off has left beside a book in a database."""
    if any(each.exists() for each in (*folders_of(path), heads_of(path), night_of(path))):
        put_aside(path, means[0]())
        place.stand_in(path.stem)


def _take_beside(engine: Engine, new: Engine) -> None:
    """Copy what follows from no entry: by what people sign in, and what is still to be sent."""
    with new.in_words(), new.writing():
        for table in _BESIDE:
            columns = engine.columns(table)
            named = ", ".join(f'"{column}"' for column in columns)
            insert = f"insert into {table} ({named}) values ({', '.join('?' * len(columns))})"
            for row in engine.rows(f"select {named} from {table}"):
                new.run(insert, row)


def _of_site(place: Place, site: str) -> Place:
    return place._replace(site=site) if isinstance(place, Server) else place
