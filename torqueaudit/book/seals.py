"""The seals of a book, kept in a folder beside it (`yard.book.seals`): one signed note for each night.

A file is named after site and size, so that the newest is known by its name. Beside them lies the frontier of the tree,
so that a night hashes no more than what is new: it is believed only where the newest note says its root.
"""

from pathlib import Path
from typing import NamedTuple

from torqueaudit.book.errors import BookError
from torqueaudit.book.flushing import make_folder, write_whole
from torqueaudit.book.places import seals_of
from torqueaudit.ledger.checkpoint import Checkpoint, checkpoint_of
from torqueaudit.ledger.merkle import HASH, Frontier
from torqueaudit.ledger.note import Note, in_base64, note_of, of_base64

_DIGITS = 10
_FRONTIER = "frontier"
_LARGEST = 16 * 1024  # bytes of a note


class Seal(NamedTuple):
    """A signed note, what it seals, and the file in which it lies."""

    file: Path
    note: Note
    checkpoint: Checkpoint


def keep(book: Path, note: Note) -> Seal:
    """Keep a checkpoint's note for good. Raises BookError."""
    checkpoint = checkpoint_of(note.text)
    file = seals_of(book) / name_of(checkpoint.head.site, checkpoint.size)
    _write(file, str(note))
    return Seal(file, note, checkpoint)


def name_of(site: str, size: int) -> str:
    """The name of the file of a seal of so many entries: "YARD-0000001234.txt"."""
    return f"{site}-{size:0{_DIGITS}}.txt"


def files_of(book: Path) -> list[Path]:
    """The files of a book's seals, the newest last."""
    found = seals_of(book).glob("*-*.txt")
    sizes = [(int(each.stem.rpartition("-")[2]), each) for each in found if each.stem.rpartition("-")[2].isdecimal()]
    return [file for _, file in sorted(sizes)]


def kept(file: Path) -> Seal:
    """A seal beside the book, which stands there to the letter. Raises BookError with a sentence."""
    seal, data = _read(file)
    name = name_of(seal.checkpoint.head.site, seal.checkpoint.size)
    if data != str(seal.note).encode() or file.name != name:
        raise BookError(f"{file} is not the seal that was kept there; bring it back from a backup.")
    return seal


def read(file: Path) -> Seal:
    """A seal from a file, wherever it lies. Raises BookError with a sentence where there is none in it."""
    return _read(file)[0]


def _read(file: Path) -> tuple[Seal, bytes]:
    try:
        with file.open("rb") as opened:
            data = opened.read(_LARGEST)
        note = note_of(data.decode())
        return Seal(file, note, checkpoint_of(note.text)), data
    except OSError as error:
        raise BookError(f"{file} cannot be read: {error.strerror}.") from None
    except UnicodeDecodeError:
        raise BookError(f"{file} holds no checkpoint: it is no text.") from None
    except ValueError as error:
        raise BookError(f"{file} holds no checkpoint: {error}.") from None


def keep_frontier(book: Path, frontier: Frontier) -> None:
    """Keep where the tree stands, for the next night. Raises BookError."""
    lines = [str(frontier.size), *map(in_base64, frontier.hashes)]
    _write(seals_of(book) / _FRONTIER, "".join(f"{line}\n" for line in lines))


def frontier_at(book: Path, checkpoint: Checkpoint) -> Frontier:
    """Where the tree stood at a checkpoint, if that is kept; else the empty tree, from which it is worked out anew."""
    try:
        size, *hashes = (seals_of(book) / _FRONTIER).read_text(encoding="ascii").split()
        frontier = Frontier(int(size), [of_base64(each, HASH) for each in hashes])
    except (OSError, ValueError):
        return Frontier()
    return frontier if (frontier.size, frontier.root) == (checkpoint.size, checkpoint.root) else Frontier()


def _write(file: Path, text: str) -> None:
    try:
        make_folder(file.parent)
        write_whole(file, text.encode())
    except OSError as error:
        raise BookError(f"{file} cannot be written: {error.strerror}.") from None
