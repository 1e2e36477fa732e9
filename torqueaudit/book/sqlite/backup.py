"""A copy of the book that is whole, whoever writes meanwhile, and stays: it is on the disk before it is said to be."""

import shutil
from collections.abc import Iterable, Iterator, Mapping
from contextlib import closing, contextmanager
from pathlib import Path
from typing import BinaryIO

from torqueaudit.book.disk import check_free, check_space, told_of_disk
from torqueaudit.book.errors import BookError
from torqueaudit.book.flushing import copy_folders, flush, rename
from torqueaudit.book.lock import held
from torqueaudit.book.sqlite.connection import Connection, connect, sqlite3
from torqueaudit.book.sqlite.file import check_place
from torqueaudit.book.sqlite.soundness import page_faults
from torqueaudit.book.sqlite.stored import stored
from torqueaudit.ledger.chain import Head, beginning, chain_faults

_BEGINS = b"SQLite format 3\0"
_PIECE = 1024 * 1024  # bytes
_OUTCOME = "no backup was made, and the book is as it was"


def copy(connection: Connection, source: Path, folders: Mapping[Path, Path], target: Path, reserve: int) -> Head:
    """Copy the file at `source`, and the folders after it: every photo and paper the copied ledger knows is there then.

    The file gets its name last, when all is on the disk and the copied chain was walked; the head of the copy. Raises
    BookError when something stands at the target already.
    """
    check_place(target)
    check_space(target.parent, reserve + _size(connection, folders), "no backup was made")
    with told_of_disk(target, _OUTCOME), _being_made(target, list(folders.values())) as part:
        shutil.copymode(source, part.name)
        _copy_pages(connection, part)
        flush(part)
        head = _walked(Path(part.name), target)
        copy_folders(folders.keys(), folders.values())
        rename(Path(part.name), target)
    return head


@contextmanager
def _being_made(target: Path, folders: Iterable[Path]) -> Iterator[BinaryIO]:
    """The file that is going to be a backup, while no other program makes the same one.

    What a killed run left is taken away; on failure nothing is left behind.
    """
    place = target.with_name(f"{target.name}.part")
    left = place.exists()
    for each in (place, *folders):
        if not (left and _may_be_left(place)):
            check_free(each)
    with place.open("a+b") as part, held(place) as alone:
        if alone is False:
            raise BookError(f"A backup to {target} is being made just now; wait for it.")
        check_free(target)  # the part may have got its name since, and would be emptied
        _clear(place, folders)
        part.truncate(0)
        try:
            yield part
        except BaseException:
            _clear(place, folders)
            place.unlink(missing_ok=True)
            raise


def _may_be_left(place: Path) -> bool:
    """Whether a file can be what a killed backup left, and nobody's own."""
    with place.open("rb") as file:
        return file.read(len(_BEGINS)) in (b"", _BEGINS)


def _clear(part: Path, folders: Iterable[Path]) -> None:
    part.with_name(f"{part.name}-journal").unlink(missing_ok=True)
    for folder in folders:
        shutil.rmtree(folder, ignore_errors=True)


def _copy_pages(connection: Connection, part: BinaryIO) -> None:
    """All pages in one step: copied stepwise, every write of another process would start it over.

    SQLite does not say which of the two disks failed, so as much is written to the one as it would have taken.
    """
    try:
        with closing(connect(Path(part.name), wait=0)) as copied:
            connection.backup(copied, pages=-1)
            copied.execute("pragma journal_mode = delete")
    except sqlite3.Error as error:
        part.writelines(bytes(_PIECE) for _ in range(0, _size(connection, ()), _PIECE))
        flush(part)
        says = f"The book cannot be copied ({error}); no backup was made."
        raise BookError(f"{says} Do it again, and if it fails again verify the book.") from error


def _walked(part: Path, target: Path) -> Head:
    """The head of the copy, read back. Raises BookError where its chain is not whole."""
    with closing(connect(part, wait=0)) as copied:
        site = copied.execute("select site from book").fetchone()[0]
        head, found = chain_faults(beginning(site), stored(copied))
        found += page_faults(copied, "quick_check", most=3)
    if found:
        raise BookError(f"The book is damaged, so {target} was not made of it: {found[0]}")
    return head


def _size(connection: Connection, folders: Iterable[Path]) -> int:
    pages = connection.execute("pragma page_count").fetchone()[0] * connection.execute("pragma page_size").fetchone()[0]
    files = (file for folder in folders for file in folder.rglob("*") if file.is_file())
    return int(pages) + sum(file.stat().st_size for file in files)
