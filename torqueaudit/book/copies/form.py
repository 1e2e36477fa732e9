"""What an export is made of: its files, and the list of their digests.

entries.jsonl     the text of each entry as it was hashed, one a line, in order
hashes.txt        the hash of each, one a line
words.jsonl       free words with their salts, and which were erased
personal.jsonl    names, plates, contacts with their salts; only where they were asked for
lists/NAME.csv    the lists, for reading; they follow from the entries
photos/ papers/ seals/
README.txt        how to check all of it without this program
manifest.json     the head, and size and SHA-256 of every other file
"""

import json
from collections.abc import Mapping
from hashlib import sha256
from pathlib import Path, PurePosixPath
from typing import NamedTuple

from torqueaudit.book.errors import BookError
from torqueaudit.ledger.chain import Head, head_of

FORM = 1
ENTRIES, HASHES, WORDS, PERSONAL = "entries.jsonl", "hashes.txt", "words.jsonl", "personal.jsonl"
MANIFEST = "manifest.json"
FOLDERS = ("photos", "papers", "seals", "drafts")  # in the order of `places.folders_of`
_PIECE = 1024 * 1024


class Listed(NamedTuple):
    """A file of an export: its name below the folder, with slashes, its size in bytes, its SHA-256 in hexadecimal."""

    name: str
    size: int
    sha256: str


class Manifest(NamedTuple):
    """What the list of an export says."""

    head: Head
    files: tuple[Listed, ...]

    @property
    def text(self) -> str:
        """As it is written."""
        files = [each._asdict() for each in self.files]
        told = {"form": FORM, "head": str(self.head), "entries": self.head.sequence, "files": files}
        return json.dumps(told, ensure_ascii=False, indent=2) + "\n"


def listed(folder: Path) -> tuple[Listed, ...]:
    """Every file in a folder, the list itself left out, in the order of their names."""
    files = sorted(each for each in folder.rglob("*") if each.is_file() and each != folder / MANIFEST)
    return tuple(Listed(each.relative_to(folder).as_posix(), *_weighed(each)) for each in files)


def checked(folder: Path) -> Manifest:
    """The list of an export of which every file is there as it was written. Raises BookError with what is not."""
    manifest = _read(folder)
    there = {each.name: each for each in listed(folder)}
    for name in {ENTRIES, HASHES, WORDS} - {file.name for file in manifest.files}:
        raise BookError(f"{folder / MANIFEST} does not name {name}, so it is no list of an export.")
    for file in manifest.files:
        if file.name not in there:
            raise BookError(f"{folder / file.name} is missing from the export; get it, or export the book again.")
        if there[file.name] != file:
            raise BookError(f"{folder / file.name} was changed since it was exported; export the book again.")
    if strange := sorted(there.keys() - {file.name for file in manifest.files}):
        raise BookError(f"{folder / strange[0]} is not part of the export; take it out.")
    return manifest


def _read(folder: Path) -> Manifest:
    place = folder / MANIFEST
    try:
        told = json.loads(place.read_bytes())
        if told["form"] != FORM:
            raise BookError(f"{place} is of form {told['form']}; this program reads form {FORM}.")
        return Manifest(head_of(told["head"]), tuple(map(_listed, told["files"])))
    except OSError as error:
        raise BookError(f"{place} cannot be read: {error.strerror}; give the folder of an export.") from None
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        raise BookError(f"{place} is no list of an export: {error}.") from None


def _listed(told: Mapping[str, str]) -> Listed:
    return Listed(str(PurePosixPath(told["name"])), int(told["size"]), told["sha256"])


def _weighed(file: Path) -> tuple[int, str]:
    digest, size = sha256(), 0
    with file.open("rb") as opened:
        while piece := opened.read(_PIECE):
            digest.update(piece)
            size += len(piece)
    return size, digest.hexdigest()
