"""A backup on its way to the place of a book: copied beside it first, put there last, and nothing lost on the way.

What lies at the place goes into a folder beside it (`yard.book.aside-20310402T091500Z`); the backup waits in the folder
`coming` in there until it was looked through. The book leaves its place first and the backup comes last, so nobody
finds half of either. Whatever a run that broke off left is taken up by the next one.
"""

import glob
import itertools
import shutil
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager, nullcontext, suppress
from datetime import datetime
from pathlib import Path

from torqueaudit.book import heads, seals
from torqueaudit.book.disk import check_disk, mounts_here, told_of_disk
from torqueaudit.book.errors import BookError
from torqueaudit.book.flushing import copy_file, copy_folders, flush, flush_folder, rename
from torqueaudit.book.heads import Told
from torqueaudit.book.lock import held
from torqueaudit.book.places import all_of, as_book, folders_of, heads_of, owned_as_book, written_of
from torqueaudit.book.sqlite.held import alone
from torqueaudit.book.sqlite.newest import newest_in, rows_behind
from torqueaudit.ledger.chain import Head, chain_faults
from torqueaudit.ledger.entry import Entry, NoEntry, entry_of

COMING = "coming"
_OUTCOME = "nothing is lost. Do it again once that is mended"
NEWEST = 3  # seals that are looked at


class Restoring:
    """A copy of a backup beside the place of a book, and what is known of the book that lay there."""

    def __init__(self, place: Path, aside: Path) -> None:
        self._place = place
        self._aside = aside
        self.book = aside / COMING / place.name

    def told(self) -> list[Told]:
        """The heads that the book at the place told, by what lies beside it and by its seals."""
        return [each for book in self._lying() for each in (*heads.told(book), *_sealed(book))]

    def newest(self) -> list[Head]:
        """Where the chain of the book at the place stands, told or not, as far as it can be read."""
        found = (newest_in(book, self._aside / COMING) for book in self._lying() if book.is_file())
        return [head for head in found if head]

    def unreadable(self) -> list[Path]:
        """The files of told heads that are there and cannot be read to their ends."""
        return [heads_of(book) for book in self._lying() if heads.unreadable(book)]

    def behind(self, head: Head, known: Sequence[Head]) -> list[Entry] | None:
        """The entries behind a head, without their words, in a book at the place that has all of the known heads.

        None where no book there has them whole, so that nobody can tell what they say.
        """
        for book in self._lying():
            rows = rows_behind(book, self._aside / COMING, head.sequence) if book.is_file() else None
            if rows and _has_all(head, rows, known):
                with suppress(NoEntry, UnicodeDecodeError):
                    return [entry_of(text.decode()) for text, _ in rows]
        return None

    def _lying(self) -> tuple[Path, Path]:
        """Where the book lies that is there; of a run that broke off in the folder that it is put aside to."""
        return self._place, self._aside / self._place.name

    def put(self, told: Iterable[Told]) -> Path | None:
        """Put the copy in its place, with the heads that it goes on remembering.

        The folder in which now lies what was there; None where nothing was. Raises BookError: whatever has moved by
        then is found again by the next run.
        """
        with told_of_disk(self._place, _OUTCOME):
            remembered = b"".join(map(heads.line_of, told))
            if heads_of(self.book).exists() or remembered:
                heads_of(self.book).write_bytes(remembered + _content(heads_of(self.book)))
            _as_before(self._place, self._aside / COMING)
            _flush_all(self._aside / COMING)
            self._swap()
        return self._aside if self._aside.exists() else None

    def _swap(self) -> None:
        _put_into(self._aside, self._place)
        for each in reversed(all_of(self.book)):
            if each.exists():
                rename(each, self._place.with_name(each.name))
        shutil.rmtree(self._aside / COMING)
        with suppress(OSError):  # not empty
            self._aside.rmdir()
        flush_folder(self._place.parent)


def put_aside(place: Path, now: datetime) -> Path:
    """Put a book and all that belongs to it into a folder beside it, as if another came; the folder. Raises OSError."""
    aside = _aside(place, now)
    aside.mkdir(exist_ok=True)
    _put_into(aside, place)
    return aside


def _put_into(aside: Path, place: Path) -> None:
    for each in all_of(place):
        if each.exists():
            each.rename(_free(aside / each.name))
    flush_folder(aside)
    flush_folder(place.parent)


@contextmanager
def restoring(backup: Path, place: Path, now: datetime) -> Iterator[Restoring]:
    """Copy a backup beside the place of a book, for a block that looks it through and puts it there.

    Where the block fails before that, everything is as it was. Raises BookError.
    """
    _check(backup, place)
    with _only_one(place.parent), alone(place) if place.is_file() else nullcontext():
        with told_of_disk(place, _OUTCOME):
            aside = _aside(place, now)
        try:
            with told_of_disk(place, _OUTCOME):
                (aside / COMING).mkdir(parents=True)
                _fetch(backup, aside / COMING / place.name)
            yield Restoring(place, aside)
        except BaseException:
            if [each.name for each in aside.iterdir()] == [COMING]:
                shutil.rmtree(aside)
            raise


def _check(backup: Path, place: Path) -> None:
    if not place.name:
        raise BookError(f"{place} is a folder, not a book; give the book's file.")
    if backup.is_dir():
        raise BookError(f"{backup} is a folder, not a backup; give the file that was copied.")
    if not backup.is_file():
        raise BookError(f"There is no backup at {backup}; give the file that was copied.")
    if place.exists() and backup.samefile(place):
        raise BookError(f"{backup} is the book itself; give the file of a backup.")
    if not place.parent.is_dir():
        raise BookError(f"The folder {place.parent} is not there; make it first.")
    check_disk(place.parent, mounts_here())


@contextmanager
def _only_one(folder: Path) -> Iterator[None]:
    """Let no other program put a backup back in the same folder meanwhile."""
    with held(folder) as alone_here:
        if alone_here is False:
            raise BookError(f"Another program puts a backup back in {folder} just now; wait for it.")
        yield


def _aside(place: Path, now: datetime) -> Path:
    """Where what lies at the place is put: the folder of a run that broke off in the middle, else a new one."""
    for left in sorted(place.parent.glob(f"{glob.escape(place.name)}.aside-*/{COMING}")):
        broken_off = not place.exists() or (left / place.name).exists()
        shutil.rmtree(left)
        if broken_off:
            return left.parent
        with suppress(OSError):  # not empty
            left.parent.rmdir()
    return _free(place.with_name(f"{place.name}.aside-{now:%Y%m%dT%H%M%SZ}"))


def _free(path: Path) -> Path:
    """This name, or the first that is free behind it: nothing is ever written over."""
    names = itertools.chain([path], (path.with_name(f"{path.name}-{count}") for count in itertools.count(2)))
    return next(each for each in names if not each.exists())


def _fetch(backup: Path, target: Path) -> None:
    """Copy a backup with its logs and folders. Nothing is opened where it lies, so nothing of it changes."""
    with alone(backup):
        for file, copied in zip(written_of(backup), written_of(target), strict=True):
            if file.exists():
                copy_file(file, copied)
        copy_folders(folders_of(backup), folders_of(target))
    flush_folder(target.parent)


def _as_before(place: Path, folder: Path) -> None:
    """What comes belongs to whom the book belonged to, and may be read by the same people."""
    if place.is_file():
        for each in folder.rglob("*"):
            owned_as_book(place, each)
        for name in (place, heads_of(place)):
            if (each := folder / name.name).exists():
                as_book(place, each)


def _flush_all(folder: Path) -> None:
    for each in folder.iterdir():
        if each.is_file():
            with each.open("rb") as file:
                flush(file)
    flush_folder(folder)


def _has_all(head: Head, rows: Sequence[tuple[bytes, str]], known: Iterable[Head]) -> bool:
    """Whether the rows behind a head are a whole chain, and every known head is one of theirs."""
    _, faults = chain_faults(head, rows)
    hashes = {number: hash_ for number, (_, hash_) in enumerate(rows, head.sequence + 1)}
    return not faults and all(hashes.get(each.sequence) == each.hash for each in known)


def _content(file: Path) -> bytes:
    return file.read_bytes() if file.exists() else b""


def _sealed(book: Path) -> Iterator[Told]:
    """The heads in the newest seals that can be read."""
    for file in seals.files_of(book)[-NEWEST:]:
        with suppress(BookError):
            sealed = seals.read(file).checkpoint
            yield Told(sealed.head, sealed.sealed_at)
