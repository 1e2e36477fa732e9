"""A book's file: where one may lie, how it is made, and whether this program can work with it."""

import glob
import os
import stat
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from torqueaudit.book.disk import check_disk, check_free, check_names, check_space, mounts_here
from torqueaudit.book.errors import BookError, damaged
from torqueaudit.book.places import check_unused, engine_of
from torqueaudit.book.sqlite.connection import (
    APPLICATION_ID,
    SCHEMA_VERSION,
    Connection,
    Writing,
    connect,
    is_book,
    set_journal,
)
from torqueaudit.book.sqlite.words import InWords, no_book
from torqueaudit.model.act import See, Topic

_HALF_MADE = ".new-"  # behind the name while a book is made


def check_file(path: Path) -> None:
    """Refuse what is no writable file on a disk of this machine. Reads nothing of the file itself.

    (Opening and closing a book's file outside SQLite would drop the locks this process holds on it.)
    """
    if path.is_dir():
        raise BookError(f"{path} is a folder, not a book; give the book's file.")
    if not path.exists():
        raise BookError(f"There is no book at {path}", See(Topic.NEW_BOOK))
    if not path.is_file():
        raise BookError(f"{path} is not a file, so it is not a book; give the book's file.")
    if not os.access(path, os.W_OK) or not path.stat().st_mode & (stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH):
        raise BookError(f"{path} may only be read; allow writing to the file, or give another book.")
    mounts = mounts_here()
    check_disk(path.parent, mounts)
    if path.stat().st_nlink > 1:
        _remove_half_made(path)
    check_names(path, mounts)


def _remove_half_made(path: Path) -> None:
    """Take away the first name of a book whose making was killed when it had got its second."""
    for part in path.parent.glob(f"{glob.escape(path.name)}{_HALF_MADE}*"):
        if part.samefile(path):
            part.unlink(missing_ok=True)


def check_place(path: Path) -> None:
    """Refuse a place where no new book can be made."""
    check_free(path)
    if not path.parent.is_dir():
        raise BookError(f"The folder {path.parent} is not there; make it first.")
    check_unused(path)
    check_disk(path.parent, mounts_here())


@contextmanager
def new(path: Path, site: str, wait: float, reserve: int) -> Iterator[None]:
    """Make a book's file for a block that opens it; when either fails nothing is left behind. Raises BookError."""
    check_place(path)
    check_space(path.parent, reserve)
    part = path.with_name(f"{path.name}{_HALF_MADE}{os.getpid()}-{time.monotonic_ns()}")
    try:
        part.touch(exist_ok=False)
    except OSError as error:
        raise BookError(f"{path} cannot be made: {error.strerror}.") from None
    try:
        with InWords(path):
            _fill(part, site, wait)
        _name(part, path)
    except BaseException:
        remove(part)
        raise
    try:
        yield
    except BaseException:
        remove(path)
        raise


def _name(part: Path, path: Path) -> None:
    """Give a whole book its name, so that one that was killed while it was made stands in nobody's way."""
    try:
        os.link(part, path)
    except FileExistsError:
        check_place(path)
        raise
    except OSError:  # a file system without a second name for a file
        check_place(path)
        part.rename(path)
    part.unlink(missing_ok=True)


def remove(path: Path) -> None:
    """Take a book's file away with its logs; what lies beside it stays."""
    for each in engine_of(path):
        each.unlink(missing_ok=True)


def _fill(path: Path, site: str, wait: float) -> None:
    """Schema, the site's name, and last the mark that says it is a book."""
    connection = connect(path, wait)
    try:
        set_journal(connection)
        bring_up_to_date(connection, lambda: None)  # no entry, no list
        with Writing(connection):
            connection.execute("insert into book (one, site) values (1, ?)", (site,))
            connection.execute(f"pragma application_id = {APPLICATION_ID}")
    finally:
        connection.close()


def admit(connection: Connection, path: Path) -> str:
    """The site of the book. A file that is no book, or a book of a newer program, is refused with a sentence."""
    if not is_book(connection):
        raise no_book(path)
    if _version(connection) > SCHEMA_VERSION:
        raise BookError(f"{path} was written by a newer torqueaudit; install that one to open it.")
    site = connection.execute("select site from book").fetchone()
    if site is None:
        raise damaged(path, "it does not say of which site it is")
    return str(site[0])


def bring_up_to_date(connection: Connection, rebuild: Callable[[], None]) -> None:
    """Apply the migrations that an older book lacks, and write its lists anew. A present book imports nothing."""
    if _version(connection) < SCHEMA_VERSION:
        from torqueaudit.book.sqlite.migrations import migrate  # slow to load, needed once in a book's life

        migrate(connection, rebuild)


def _version(connection: Connection) -> int:
    return int(connection.execute("pragma user_version").fetchone()[0])
