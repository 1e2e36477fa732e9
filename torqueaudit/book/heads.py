"""The heads that a book has told anybody, kept in a file beside it (`yard.book.heads`).

The chain alone does not show that its newest entries are missing: a copy of the file that was made while somebody
wrote, or a backup that was put back, is a sound book that ends too early. Each head is written down here and flushed
before it is shown, one a line, the newest last: the head, the moment (UTC), and CRC-32 over both, so that a spoilt line
is known.
"""

import os
import re
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from datetime import datetime
from pathlib import Path
from typing import BinaryIO, NamedTuple
from zlib import crc32

from torqueaudit.book.flushing import flush, flush_folder, write_whole
from torqueaudit.book.places import as_book, heads_of
from torqueaudit.ledger.chain import Head, head_of, held_against
from torqueaudit.ledger.entry import stamp

if sys.platform != "win32":
    import fcntl

LONGEST = 16 * 1024  # bytes of the file before what the ledger still has is taken out
_CHECK = 8  # characters at the end of a line
_SPACES = 2  # in a line
_BEGINS = re.compile(rb"([A-Z][A-Z0-9-]*(/[0-9]*(/[0-9a-f]*( [0-9TZ:-]*( [0-9a-f]*)?)?)?)?)?")  # of a torn line


class Told(NamedTuple):
    """A head and the moment (UTC) at which it was told."""

    head: Head
    at: str


def told(book: Path) -> list[Told]:
    """The heads that were told and are still written down, the newest last. A line that cannot be read tells none."""
    return [each for each in map(_told, _lines(_content(book))) if each]


def newest(book: Path) -> Head | None:
    """The head that was told last; None where none is known."""
    return next((each.head for each in map(_told, reversed(_lines(_content(book)))) if each), None)


def unreadable(book: Path) -> bool:
    """Whether a later head may have been told than can be read: the file, or what stands last in it, is spoilt.

    Not so where it is missing, or where a power cut tore the last line: that head was not told yet.
    """
    try:
        content = heads_of(book).read_bytes()
    except FileNotFoundError:
        return False
    except OSError:
        return True
    lines = _lines(content)
    torn = content[len(_joined(lines)) :]
    return not _BEGINS.fullmatch(torn) or any(_told(line) is None for line in lines[-1:])


def keep(book: Path, head: Head, moment: datetime, stands: Callable[[Head], bool] = lambda _: False) -> None:
    """Write a head down before it is told. `stands` says of an earlier one that the ledger still has it.

    Where the disk is full or may only be read it is told all the same.
    """
    with suppress(OSError):
        if newest(book) == head:
            return
        with _alone(book) as file:
            content = file.read()
            told, whole = line_of(Told(head, stamp(moment))), _joined(_lines(content))
            if len(whole) < LONGEST:
                file.truncate(min(len(content), len(whole)))
                file.seek(0, os.SEEK_END)
                file.write(whole[len(content) :] + told)
                flush(file)
            else:
                kept = (line for line in _lines(content) if not ((old := _told(line)) and stands(old.head)))
                write_whole(heads_of(book), _joined(kept) + told)
                _give(book, heads_of(book))


def line_of(told: Told) -> bytes:
    """How a head is written down."""
    text = f"{told.head} {told.at}"
    return f"{text} {crc32(text.encode()):0{_CHECK}x}\n".encode()


def faults(
    book: Path, now: Head, hash_at: Callable[[int], str | None], explained: Callable[[Head], bool]
) -> Iterator[str]:
    """What the heads told before say against the ledger, which stands at `now`, in sentences.

    A head that is `explained` is of entries that are said to be lost.
    """
    place = heads_of(book)
    try:
        lines = _lines(place.read_bytes())
    except FileNotFoundError:
        return
    except OSError as error:
        yield f"{place} cannot be read ({error.strerror}), so the ledger is held against no head that was told before."
        return
    for number, line in enumerate(lines, start=1):
        if _told(line) is None:
            yield f"Line {number} of {place} was altered: it is no head that this program wrote down."
    heads = sorted(each for each in map(_told, lines) if each and not explained(each.head))
    beyond = [each for each in heads if each.head.sequence > now.sequence]
    other = [each for each in heads if each not in beyond and _against(each, now, hash_at)]
    for each in (*other[:1], *beyond[-1:]):  # the first that changed and the last that is lost say it all
        yield from _against(each, now, hash_at)


def _against(told: Told, now: Head, hash_at: Callable[[int], str | None]) -> list[str]:
    known = hash_at(told.head.sequence)
    return held_against(told.head, now.site, now, known, name=f"the head told on {told.at[:10]}")


def _told(line: bytes) -> Told | None:
    head, _, rest = line.decode(errors="replace").partition(" ")
    try:
        told = Told(head_of(head), rest[: -_CHECK - 1])
    except ValueError:
        return None
    return told if line_of(told) == line + b"\n" else None


def _lines(content: bytes) -> list[bytes]:
    """The lines, without a last one that a power cut tore: it was not told yet."""
    *whole, rest = content.split(b"\n")
    torn = len(rest.rpartition(b" ")[2]) < _CHECK or rest.count(b" ") < _SPACES
    return whole if torn else [*whole, rest]


def _joined(lines: Iterable[bytes]) -> bytes:
    return b"".join(line + b"\n" for line in lines)


def _content(book: Path) -> bytes:
    try:
        return heads_of(book).read_bytes()
    except OSError:
        return b""


@contextmanager
def _alone(book: Path) -> Iterator[BinaryIO]:
    """The file, made where it is missing, while no other program writes it. Raises OSError."""
    place = heads_of(book)
    while True:
        with os.fdopen(os.open(place, os.O_RDWR | os.O_CREAT, 0o600), "r+b") as file:
            if sys.platform != "win32":
                fcntl.flock(file, fcntl.LOCK_EX)
            if os.name != "nt" and not os.fstat(file.fileno()).st_nlink:
                continue  # somebody wrote the file anew meanwhile
            made = not os.fstat(file.fileno()).st_size
            if made:
                _give(book, place)
            yield file
            if made:
                flush_folder(place.parent)
            return


def _give(book: Path, place: Path) -> None:
    """Whoever may write the book may write down its heads."""
    with suppress(OSError):  # somebody else's
        as_book(book, place)
