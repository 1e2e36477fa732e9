"""The archive that a workbook is: how much it unpacks to, what its parts declare, and which of its cells are merged."""

import io
import re
import zlib
from collections.abc import Iterator, Mapping
from typing import IO, NamedTuple
from zipfile import BadZipFile, LargeZipFile, ZipFile

MOST_UNPACKED = 64 * 1024 * 1024  # bytes
MOST_PARTS = 1000
_CHUNK = 1024 * 1024
_OVERLAP = 200  # bytes, longer than whatever is looked for
_OLD_OR_LOCKED = b"\xd0\xcf\x11\xe0"  # how the form before it begins, in which one with a password is wrapped
_DECLARES = re.compile(rb"<!(?:DOCTYPE|ENTITY)", re.IGNORECASE)
_MERGED = re.compile(rb"<mergeCell\s[^>]*?ref=[\"']([A-Z]{1,3})([0-9]{1,7}):([A-Z]{1,3})([0-9]{1,7})[\"']")


class NotRead(ValueError):
    """Why nothing of a workbook is read, in one sentence."""


class Merged(NamedTuple):
    """The rows that merged cells of each part reach over, as pairs of the first and the last."""

    rows: Mapping[str, frozenset[tuple[int, int]]]

    def says(self, part: str, row: int) -> str:
        """Why a row cannot be read, where merged cells reach over it; "" where none do."""
        found = self.rows.get(part.lstrip("/"), frozenset())
        reach = next((each for each in found if each[0] <= row <= each[1]), None)
        return (
            f"cells of rows {reach[0]} to {reach[1]} are merged, so each has no value of its own; split them"
            if reach
            else ""
        )


def require_harmless(data: bytes) -> Merged:
    """Unpack every part once and count, for what an archive says of its sizes may be anything. Raises NotRead."""
    if data.startswith(_OLD_OR_LOCKED):
        raise NotRead("this workbook is locked with a password, or of the form before .xlsx; save it as plain .xlsx")
    try:
        with ZipFile(io.BytesIO(data)) as archive:
            return Merged(_looked_through(archive))
    except (BadZipFile, LargeZipFile, zlib.error, EOFError, OSError, NotImplementedError, RuntimeError) as error:
        says = "is locked with a password" if isinstance(error, RuntimeError) else "is damaged, or no .xlsx workbook"
        raise NotRead(f"this {says}; open it in a spreadsheet program, and save it anew as .xlsx") from None


def _looked_through(archive: ZipFile) -> dict[str, frozenset[tuple[int, int]]]:
    parts, left = archive.infolist(), MOST_UNPACKED
    if len(parts) > MOST_PARTS:
        raise NotRead(f"this workbook has {len(parts)} parts, which no list has; save its rows alone, or as CSV")
    merged = dict[str, frozenset[tuple[int, int]]]()
    for part in parts:
        found = set[tuple[int, int]]()
        with archive.open(part) as opened:
            for text, size in _chunks(opened):
                left -= size
                if left < 0:
                    says = f"this workbook unpacks to more than {MOST_UNPACKED >> 20} MB"
                    raise NotRead(f"{says}, which no list does; save its rows alone, or as CSV")
                _require_plain(text)
                found |= {(int(each[1]), int(each[3])) for each in _MERGED.findall(text)}
        merged[part.filename] = frozenset(found)
    return merged


def _chunks(opened: IO[bytes]) -> Iterator[tuple[bytes, int]]:
    """What is unpacked piece by piece, each with the end of the one before it, and the size of what is new."""
    before = b""
    while read := opened.read(_CHUNK):
        yield before + read, len(read)
        before = read[-_OVERLAP:]


def _require_plain(text: bytes) -> None:
    """Raise NotRead for a part that declares entities, or is written so that nobody could tell."""
    if _DECLARES.search(text) or text[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise NotRead("this workbook holds declarations that no spreadsheet program writes; save its rows as CSV")
