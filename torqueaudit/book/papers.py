"""The folder of papers beside the book: certificates, each named by the digest of its content (decision 0019).

An entry holds digest, suffix and size, so a verification tells a paper that was lost or changed.
"""

import os
import shutil
from collections.abc import Iterable, Iterator
from contextlib import suppress
from hashlib import sha256
from pathlib import Path

from torqueaudit.book.disk import RESERVE, check_space
from torqueaudit.book.errors import BookError
from torqueaudit.book.flushing import flush, flush_folder
from torqueaudit.book.places import papers_of
from torqueaudit.ledger.entry import entry_of
from torqueaudit.model.wrench.wrench import Paper

LARGEST = 20 * 1024 * 1024  # bytes
# How a file of each kind begins: ISO 32000-1 7.5.2, ISO/IEC 15948 5.2, ISO/IEC 10918-1 B.1.1.3 (from memory).
BEGINS = {".pdf": b"%PDF-", ".png": b"\x89PNG\r\n\x1a\n", ".jpg": b"\xff\xd8\xff"}


def weigh(source: Path) -> Paper:
    """What a file is, before it is kept. Raises BookError for one missing, too large, or no PDF, PNG or JPEG."""
    try:
        with source.open("rb") as file:
            content = file.read(LARGEST + 1)
    except OSError as error:
        raise BookError(f"{source} cannot be read: {error.strerror}.") from None
    if len(content) > LARGEST:
        raise BookError(f"{source} is larger than {LARGEST // 1024**2} MB; scan it smaller, or keep its pages apart.")
    suffix = source.suffix.lower().replace(".jpeg", ".jpg")
    if suffix not in BEGINS:
        raise BookError(f"{source} is kept as a PDF, PNG or JPEG file only; save it as one of these.")
    if not content.startswith(BEGINS[suffix]):
        raise BookError(f"{source} is called {suffix} and is none inside; save it anew, or give the right file.")
    return Paper(sha256(content).hexdigest(), suffix, len(content))


def keep(book: Path, source: Path, paper: Paper, reserve: int = RESERVE) -> None:
    """Copy a weighed file into a book's folder, under its final name only once it is whole on the disk.

    Done before the entry that names it is appended: a paper that no entry names does no harm, a lost one would.

    Raises BookError when the file changed since it was weighed, and when the disk is full.
    """
    folder = papers_of(book)
    place = folder / paper.name
    check_space(book.parent, reserve + paper.size)
    try:
        folder.mkdir(exist_ok=True)
        if _fault(place, paper):
            _copy(source, place, paper)
        flush_folder(folder)  # also where it lay there already: whoever kept it may have been killed before this
        flush_folder(book.parent)
    except OSError as error:
        raise BookError(f"{source} cannot be kept in {folder}: {error.strerror}; nothing was recorded.") from None


def read(book: Path, paper: Paper) -> bytes | None:
    """The content of a paper of a book; None where it is lost, or is not what it was."""
    try:
        content = (papers_of(book) / paper.name).read_bytes()
    except OSError:
        return None
    return content if sha256(content).hexdigest() == paper.digest else None


def _copy(source: Path, place: Path, paper: Paper) -> None:
    part = place.with_name(f"{place.name}.{os.getpid()}.part")
    try:
        with source.open("rb") as read, part.open("wb") as written:
            shutil.copyfileobj(read, written)
            flush(written)
        if _fault(part, paper):
            raise BookError(f"{source} changed while it was copied; nothing was recorded. Do it again.")
        part.replace(place)
    finally:
        with suppress(OSError):
            part.unlink()


def named(texts: Iterable[bytes]) -> list[Paper]:
    """Every paper that an entry names, once each, by the stored texts; one that cannot be read names none."""
    found = {paper for text in texts if may_name(text) for paper in _named(text)}
    return sorted(found)


def may_name(text: bytes) -> bool:
    """Whether a stored text has to be read to know that it names no paper; most need not."""
    return b'"paper":{' in text


def _named(text: bytes) -> Iterator[Paper]:
    with suppress(LookupError, TypeError, ValueError):
        paper = entry_of(text.decode()).said["paper"]
        yield Paper(paper["digest"], paper["suffix"], paper["size"])


def faults(book: Path, papers: Iterable[Paper]) -> list[str]:
    """The papers that are lost or changed, in sentences."""
    folder = papers_of(book)
    found = [(paper, _fault(folder / paper.name, paper)) for paper in papers]
    return [f"The paper {folder / paper.name} {fault}; bring it back from a backup." for paper, fault in found if fault]


def _fault(place: Path, paper: Paper) -> str | None:
    try:
        with place.open("rb") as file:
            content = file.read(paper.size + 1)
    except FileNotFoundError:
        return "is lost"
    except OSError as error:
        return f"cannot be read ({error.strerror})"
    return None if sha256(content).hexdigest() == paper.digest else "was changed"
