"""The rows that stand in the pages of a database file, found without its header, its schema or SQLite.

The form of pages, cells, records, logs and journals is SQLite's own (https://www.sqlite.org/fileformat.html, sections
1.5, 1.6, 2.1, 3 and 4). A page that is damaged gives the rows of it that can still be read. What a row is worth has to
be proved by what it says: nothing here knows to which table it belongs.
"""

import struct
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import BinaryIO, NamedTuple, TypeAlias

Value: TypeAlias = int | float | str | bytes | None
Row: TypeAlias = tuple[Value, ...]

USUAL = 4096  # bytes of a page, where the header does not say
_HEADER = 100  # bytes of the first page before its own beginning
_MOST_COLUMNS = 64
_INTERIOR_INDEX, _INTERIOR_TABLE, _LEAF_INDEX, _LEAF_TABLE = 2, 5, 10, 13
_WAL_MAGIC, _WAL_HEADER, _FRAME = (0x377F0682, 0x377F0683), 32, 24
_JOURNAL_MAGIC = b"\xd9\xd5\x05\xf9\x20\xa1\x63\xd7"
_BEGINS = b"SQLite format 3\0"
_SHORTEST = 4  # bytes of a cell, however little it holds
_MOST_PAGES = 2**31
_SIZES = {0: 0, 1: 1, 2: 2, 3: 3, 4: 4, 5: 6, 6: 8, 7: 8, 8: 0, 9: 0}  # bytes of a value by its serial type
_FLOAT, _ZERO, _ONE, _FIRST_TEXT = 7, 8, 9, 12
_DAMAGED = (IndexError, KeyError, ValueError, struct.error)  # what reading a damaged page ends in


class Page(NamedTuple):
    """The rows of a page, and whether all of it could be read.

    `in_table` is whether it belongs to a table that numbers its rows; else to an index, or to a table without numbers.
    """

    rows: list[Row]
    whole: bool
    in_table: bool
    content: bytes


class Pages:
    """The pages of a database file as its write-ahead log leaves them. Close it."""

    def __init__(self, path: Path) -> None:
        self._file: BinaryIO = path.open("rb")
        self._length = path.stat().st_size
        first = self._file.read(_HEADER)
        self.size = _size(first)
        self._log = dict(_logged(_content(path, "-wal"), self.size))
        self._journal = list(_in_journal(_content(path, "-journal"), self.size))
        self._told = int.from_bytes(first[28:32]) if first[:16] == _BEGINS else 0
        self._broken: set[int] = set()
        self._further: set[int] = set()  # what belongs to a row that begins on another page

    def close(self) -> None:
        """Give the file back."""
        self._file.close()

    def now(self) -> Iterator[Page]:
        """Every page as it stands."""
        for number in range(1, self._count() + 1):
            page = self._read(self._page(number), number)
            if not page.whole:
                self._broken.add(number)
            yield page

    def unread(self) -> int:
        """How many pages, of those that `now` gave or that are missing, may have held rows that nobody can read."""
        missing = max(0, min(self._told, _MOST_PAGES) - self._count())
        return len(self._broken - self._further - self._free()) + missing

    def _count(self) -> int:
        return max(-(-self._length // self.size), *self._log, 0)

    def _free(self) -> set[int]:
        """The pages of the list of free ones, as far as it can be followed."""
        found: set[int] = set()
        number = int.from_bytes(self._page(1)[32:36])
        while 0 < number <= self._count() and number not in found:
            page = self._page(number)
            count = min(int.from_bytes(page[4:8]), self.size // 4 - 2)  # what stands behind them was free before
            found |= {number, *(each for (each,) in struct.iter_unpack(">I", page[8 : 8 + 4 * count]) if each)}
            number = int.from_bytes(page[:4])
        return found

    def before(self) -> Iterator[Page]:
        """The pages that the log takes the place of, or that a journal is to bring back: entries alone never change."""
        for number in self._log:
            yield self._read(self._in_file(number), number)
        for content in self._journal:
            yield self._read(content, 0)

    def _page(self, number: int) -> bytes:
        return self._log.get(number) or self._in_file(number)

    def _in_file(self, number: int) -> bytes:
        self._file.seek((number - 1) * self.size)
        return self._file.read(self.size).ljust(self.size, b"\0")

    def _read(self, content: bytes, number: int) -> Page:
        begin = _HEADER if number == 1 else 0
        kind, count = content[begin], int.from_bytes(content[begin + 3 : begin + 5])
        if kind == _INTERIOR_TABLE or not any(content):
            return Page([], whole=True, in_table=True, content=content)
        if kind not in (_INTERIOR_INDEX, _LEAF_INDEX, _LEAF_TABLE):
            return Page([], whole=False, in_table=True, content=content)
        pointers = begin + (12 if kind == _INTERIOR_INDEX else 8)
        rows: list[Row] = []
        used = 0
        for place in range(pointers, min(pointers + 2 * count, self.size - 1), 2):
            with suppress(*_DAMAGED):
                row, length = self._row(content, int.from_bytes(content[place : place + 2]), kind)
                rows.append(row)
                used += max(length, _SHORTEST)
        whole = len(rows) == count and used == _room_for_rows(content, begin)
        return Page(rows, whole=whole, in_table=kind == _LEAF_TABLE, content=content)

    def _row(self, page: bytes, begin: int, kind: int) -> tuple[Row, int]:
        """The row of a cell, and how many bytes of the page the cell takes."""
        at = begin + (4 if kind == _INTERIOR_INDEX else 0)
        length, at = _number(page, at)
        number = None
        if kind == _LEAF_TABLE:
            number, at = _number(page, at)
        payload, here = self._payload(page, at, length, in_table=kind == _LEAF_TABLE)
        row = _record(payload)
        # A column that is the row's own number is kept as nothing.
        return (number, *row[1:]) if number and row[:1] == (None,) else row, at + here - begin

    def _payload(self, page: bytes, at: int, length: int, *, in_table: bool) -> tuple[bytes, int]:
        """What a cell holds, with what of it lies on other pages; and how many bytes of this page it takes."""
        if length > self._length + len(self._log) * self.size:
            raise ValueError("longer than the file")
        most = self.size - 35 if in_table else (self.size - 12) * 64 // 255 - 23
        least = (self.size - 12) * 32 // 255 - 23
        if length <= most:
            return page[at : at + length], length
        here = least + (length - least) % (self.size - 4)
        here = here if here <= most else least
        found, further = page[at : at + here], int.from_bytes(page[at + here : at + here + 4])
        passed: set[int] = set()
        while len(found) < length and further:
            passed.add(further)
            content = self._page(further)
            further, found = int.from_bytes(content[:4]), found + content[4:]
        self._further |= passed
        return found[:length], here + 4


def _room_for_rows(page: bytes, begin: int) -> int:
    """How many bytes the cells of a page take by its header: what is neither between them nor free."""
    first, fragments = int.from_bytes(page[begin + 5 : begin + 7]) or 65536, page[begin + 7]
    room = len(page) - first - fragments
    free, before = int.from_bytes(page[begin + 1 : begin + 3]), 0
    while before < free <= len(page) - 4:
        room -= int.from_bytes(page[free + 2 : free + 4])
        free, before = int.from_bytes(page[free : free + 2]), free
    return room


def _size(header: bytes) -> int:
    """The bytes of a page; the usual where the header is damaged."""
    told = int.from_bytes(header[16:18])
    return told if 512 <= told <= 32768 and not told & (told - 1) else USUAL  # noqa: PLR2004 what a header may say


def _number(content: bytes, at: int) -> tuple[int, int]:
    """A number of one to nine bytes, and where it ends."""
    found = 0
    for count in range(9):
        byte = content[at + count]
        if count == 8:  # noqa: PLR2004 the ninth byte holds eight bits of it
            return found << 8 | byte, at + 9
        found = found << 7 | byte & 0x7F
        if byte < 0x80:  # noqa: PLR2004 the highest bit says that more follow
            return found, at + count + 1
    raise ValueError("no number")


def _record(payload: bytes) -> Row:
    end, at = _number(payload, 0)
    kinds: list[int] = []
    while at < end:
        kind, at = _number(payload, at)
        kinds.append(kind)
    if at != end or len(kinds) > _MOST_COLUMNS:
        raise ValueError("no record")
    values: list[Value] = []
    for kind in kinds:
        size = _SIZES[kind] if kind < _FIRST_TEXT else (kind - _FIRST_TEXT) // 2
        if at + size > len(payload):
            raise ValueError("a record that is cut off")
        values.append(_value(kind, payload[at : at + size]))
        at += size
    return tuple(values)


def _value(kind: int, content: bytes) -> Value:
    if kind >= _FIRST_TEXT:
        return content.decode() if kind % 2 else content
    if kind in (_ZERO, _ONE):
        return kind - _ZERO
    if kind == _FLOAT:
        return float(struct.unpack(">d", content)[0])
    return int.from_bytes(content, signed=True) if kind else None


def _content(path: Path, end: str) -> bytes:
    beside = path.with_name(path.name + end)
    return beside.read_bytes() if beside.is_file() else b""


def _logged(log: bytes, size: int) -> Iterator[tuple[int, bytes]]:
    """The pages of a write-ahead log that were committed, each as often as it was written."""
    if len(log) < _WAL_HEADER or int.from_bytes(log[:4]) not in _WAL_MAGIC or int.from_bytes(log[8:12]) != size:
        return
    order = "big" if log[3] & 1 else "little"
    sums = _summed(log[:24], (0, 0), order)
    waiting: list[tuple[int, bytes]] = []
    for at in range(_WAL_HEADER, len(log) - _FRAME - size + 1, _FRAME + size):
        head, page = log[at : at + _FRAME], log[at + _FRAME : at + _FRAME + size]
        sums = _summed(page, _summed(head[:8], sums, order), order)
        if head[8:16] != log[16:24] or struct.unpack(">2I", head[16:24]) != sums:
            return
        waiting.append((int.from_bytes(head[:4]), page))
        if int.from_bytes(head[4:8]):  # the last page of a transaction
            yield from waiting
            waiting.clear()


def _summed(content: bytes, sums: tuple[int, int], order: str) -> tuple[int, int]:
    """The checksum of a log, gone on with."""
    words = struct.unpack(f"{'>' if order == 'big' else '<'}{len(content) // 4}I", content)
    first, second = sums
    for each, other in zip(words[::2], words[1::2], strict=True):
        first = (first + each + second) & 0xFFFFFFFF
        second = (second + other + first) & 0xFFFFFFFF
    return first, second


def _in_journal(journal: bytes, size: int) -> Iterator[bytes]:
    """The pages that a rollback journal is to bring back."""
    if journal[:8] == _JOURNAL_MAGIC:
        sector = int.from_bytes(journal[20:24])
        for at in range(sector, len(journal) - size - 7, size + 8):
            yield journal[at + 4 : at + 4 + size]
