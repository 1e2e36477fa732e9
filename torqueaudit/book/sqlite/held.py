"""Whether another program has a book's file open, also where the file is damaged and no SQLite could read it."""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from errno import EACCES, EPERM, EROFS
from pathlib import Path

from torqueaudit.book.errors import BookError
from torqueaudit.book.sqlite.turns import lock_bytes

# The bytes that SQLite locks, whatever lies there (its file format, "The Lock-Byte Page"; os.h). With a write-ahead log
# every open connection holds one of them; else only one that reads or writes just now.
_FIRST, _LENGTH = 0x40000000, 512


@contextmanager
def alone(path: Path) -> Iterator[None]:
    """Keep every other program out of a file for a block. This program must have no connection to it.

    Raises BookError when another program has it open.
    """
    opened = _opened(path)
    try:
        if (opened is not None and not _locked(opened)) or _is_open_elsewhere(path):
            raise BookError(f"{path} is open in another program; stop that one first, also a server of the pages.")
        yield
    finally:
        if opened is not None:
            os.close(opened)


def _opened(path: Path) -> int | None:
    """The file, opened for a lock; None where it may not be written, so that nobody else writes it either."""
    try:
        return os.open(path, os.O_RDWR)
    except OSError as error:
        if error.errno not in (EACCES, EPERM, EROFS):
            raise
        return None


def _locked(opened: int) -> bool:
    return sys.platform != "linux" or lock_bytes(opened, _FIRST, _LENGTH)


def _is_open_elsewhere(path: Path) -> bool:
    """Whether a process of this machine, of those that may be asked, has the file open (proc(5))."""
    file, own = path.stat(), str(os.getpid())
    for process in Path("/proc").glob("[0-9]*"):
        with suppress(OSError):
            for each in list((process / "fd").iterdir()) if process.name != own else ():
                with suppress(OSError):
                    found = each.stat()
                    if (found.st_dev, found.st_ino) == (file.st_dev, file.st_ino):
                        return True
    return False
