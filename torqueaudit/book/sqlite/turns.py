"""The line of writers before a book: whoever comes first writes first, whichever program or thread it is.

SQLite's own waiting is unfair: it sleeps up to 100 ms between two tries, and a program that writes without pause takes
the lock again meanwhile. So a writer first stands in line, and only the first in line asks SQLite for the lock.

A place in line is a locked byte of an empty file beside the book (`yard.book-turns`). Its number is the moment at
which the writer came, by a clock that all programs of the machine share. The first in line is who can lock its own
byte and every byte below. The kernel frees what a killed program had locked. The last to close removes the file.

The line is a courtesy, and SQLite's lock alone keeps the book whole. Where no line can be kept (not Linux, no place for
the file, a file system without locks) nobody stands in line.
"""

import os
import stat
import struct
import sys
import time
from contextlib import suppress
from pathlib import Path

PAUSE = 0.001  # seconds between two looks
_FLOCK = struct.Struct("hhqqi4x")  # what the kernel calls `struct flock`

if sys.platform == "linux":
    import fcntl

    _ALL_FREE = _FLOCK.pack(fcntl.F_UNLCK, os.SEEK_SET, 0, 0, 0)


class Turns:
    """One writer's place in the line before a book; every connection has its own. Close it."""

    def __init__(self, book: Path) -> None:
        self._book = book.resolve()  # one line, also for those who name the book by a link
        self._path = self._book.with_name(self._book.name + "-turns")
        self._file: int | None = None

    def come(self, wait: float) -> float:
        """Stand in line until first in it, at most so many seconds; how many of them are left. Then leave.

        After the last second the writer goes on all the same: a program that was stopped while it stood in line holds
        nobody up for ever.
        """
        came = time.perf_counter_ns()
        try:
            return wait if self._lock(0, came + 1) else self._wait(time.monotonic() + wait)
        except OSError:
            return wait

    def leave(self) -> None:
        """Let the next one be first."""
        if self._file is not None:
            try:  # noqa: SIM105 `suppress` takes longer, and every act passes here
                fcntl.fcntl(self._file, fcntl.F_OFD_SETLK, _ALL_FREE)
            except OSError:
                pass

    def close(self) -> None:
        """Give the file back, and remove it when nobody stands in line. A place in it is lost."""
        if self._file is not None:
            with suppress(OSError):
                if lock_bytes(self._file, 0, 0) and os.fstat(self._file).st_nlink:
                    self._path.unlink()
            os.close(self._file)
            self._file = None

    def _wait(self, until: float) -> float:
        came = time.perf_counter_ns()
        while not self._lock(0, came + 1) and time.monotonic() < until:
            if self._lock(came, 1):
                time.sleep(PAUSE)
            else:  # somebody came after this moment was read and is first already
                came = time.perf_counter_ns()
        return max(0.0, until - time.monotonic())

    def _lock(self, first: int, length: int) -> bool:
        """Lock these bytes, unless somebody else has one of them or the file was removed meanwhile."""
        if self._file is None:
            self._file = self._open()
        if not lock_bytes(self._file, first, length):
            return False
        if os.fstat(self._file).st_nlink:
            return True
        self.close()
        return False

    def _open(self) -> int:
        """The file, made where it is missing; whoever may write the book may stand in line."""
        if sys.platform != "linux":
            raise OSError("no lock of single bytes that belongs to the opened file")
        file = os.open(self._path, os.O_RDWR | os.O_CREAT, 0o600)
        with suppress(OSError):  # somebody else made it
            book = self._book.stat()
            os.fchmod(file, stat.S_IMODE(book.st_mode))
            os.fchown(file, book.st_uid, book.st_gid)
        return file


def lock_bytes(file: int, first: int, length: int) -> bool:
    """Lock bytes of an open file, and say whether they were free; a length of 0 reaches to the end of all files.

    The lock belongs to the opened file and not to the process, so the threads of one program count singly.
    """
    try:
        fcntl.fcntl(file, fcntl.F_OFD_SETLK, _FLOCK.pack(fcntl.F_WRLCK, os.SEEK_SET, first, length, 0))
    except (BlockingIOError, PermissionError):
        return False
    return True
