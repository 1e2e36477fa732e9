"""A disk that is watched or that fails (`disk.c`), and what it may hold when the power fails.

What a file was told to hold is surely there up to its last flush. Each later write is there or not, in any order and
torn at 512 bytes; so is each change of names in a folder that was not flushed since.
"""

import ctypes
import os
import subprocess
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from typing import NamedTuple, TypeAlias

SOURCE = Path(__file__).with_name("disk.c")
MEMORY = Path("/dev/shm")  # noqa: S108 what is laid there need not be flushed
SECTOR = 512  # bytes that a disk writes whole or not at all
SHORT_WRITE = -1  # in place of an error's number: half of it is written


@contextmanager
def in_memory() -> Iterator[Path]:
    """A folder that goes away, in memory where this machine has a place for that."""
    with TemporaryDirectory(dir=MEMORY if MEMORY.is_dir() else None) as folder:
        yield Path(folder)


def build(folder: Path) -> Path:
    """The library, made by the system's own compiler."""
    library = folder / "disk.so"
    flags = ("-O1", "-Wall", "-Wextra", "-Werror", "-shared", "-fPIC")
    subprocess.run(["cc", *flags, "-o", library, SOURCE, "-ldl", "-lpthread"], check=True)
    return library


def surroundings(library: Path, *, own_sqlite: Path | None = None) -> dict[str, str]:
    """What a program finds that stands on the watched disk; with `own_sqlite`, a folder, it finds no pysqlite3."""
    found = {**os.environ, "LD_PRELOAD": str(library)}
    if own_sqlite:
        (own_sqlite / "pysqlite3.py").write_text("raise ImportError", encoding="utf-8")
        found["PYTHONPATH"] = f"{own_sqlite}{os.pathsep}{os.environ.get('PYTHONPATH', '')}"
    return found


def watch(folder: Path, log: Path | None = None, *, deaf: bool = False) -> None:
    """Watch this process below a folder from now on; a `deaf` disk says "flushed" and flushes nothing."""
    handle = os.open(log, os.O_WRONLY | os.O_CREAT | os.O_APPEND) if log else -1
    here = ctypes.CDLL(None)
    if deaf:
        here.disk_deaf()
    here.disk_watch(os.fsencode(folder.resolve()), handle)


def fail(call: str, number: int, error: int, *, forever: bool = False) -> None:
    """Have the `number`-th call of this name fail in this process, or every one from there."""
    ctypes.CDLL(None).disk_fail(call.encode(), number, error, int(forever))


def made(call: str) -> int:
    """How many calls of a name this process made since `fail`."""
    return int(ctypes.CDLL(None).disk_made(call.encode()))


class Call(NamedTuple):
    """One record of the log; `kind` as `disk.c` says."""

    kind: str
    inode: int
    offset: int
    data: bytes


def calls(log: Path) -> Iterator[Call]:
    """The log of a watched program, in order."""
    with log.open("rb") as file:
        while line := file.readline():
            kind, inode, offset, length = line.decode().split()
            yield Call(kind, int(inode), int(offset), file.read(int(length)))


class Held:
    """A file or a folder: what is surely on the disk, and what was written since."""

    def __init__(self, content: bytes = b"", folder: str = "") -> None:
        self.content = content
        self.folder = folder  # its path; "" of a file
        self.since: list[Call] = []

    def flush(self) -> None:
        """All of it is on the disk."""
        content = bytearray(self.content)
        for call in self.since:
            _apply(content, call)
        self.content, self.since = bytes(content), []

    def after_the_cut(self, chance: Random, share: float) -> bytes:
        """One of the contents that it may have: each later write is there with this probability, and may be torn."""
        content = bytearray(self.content)
        for call in self.since:
            if chance.random() < share:
                _apply(content, call)
            elif call.kind == "w" and chance.random() < share:
                for start in range(0, len(call.data), SECTOR):
                    if chance.random() < share:
                        piece = call.data[start : start + SECTOR]
                        _apply(content, call._replace(offset=call.offset + start, data=piece))
        return bytes(content)


def _apply(content: bytearray, call: Call) -> None:
    end = call.offset + len(call.data)
    if len(content) < end:
        content.extend(bytes(end - len(content)))
    if call.kind == "t":
        del content[call.offset :]
    else:
        content[call.offset : end] = call.data


Names: TypeAlias = dict[str, Held]
Change: TypeAlias = Mapping[str, Held | None]  # of names; None: taken away


class Disk:
    """What a folder's files and names hold, call by call. It begins with all that lies there, safe on the disk."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder.resolve()
        self.live: dict[int, Held] = {}  # by inode, which another file may have once it is free
        self.names: Names = {}  # those of which the disk is sure
        self.since: list[Change] = []
        for path in (self.folder, *self.folder.rglob("*")):
            held = Held(folder=str(path)) if path.is_dir() else Held(path.read_bytes())
            self.names[str(path)] = self.live[path.stat().st_ino] = held

    def go_on(self, call: Call) -> None:
        """Take in one call."""
        if call.kind in "wt":
            self.live[call.inode].since.append(call)
        elif call.kind == "s":
            self._flush(self.live[call.inode])
        elif call.kind in "cdlur":
            self._rename(call)

    def _rename(self, call: Call) -> None:
        *gone, name = os.fsdecode(call.data).split("\n")
        if call.kind in "cd":
            self.live[call.inode] = Held(folder=name if call.kind == "d" else "")
        there = None if call.kind == "u" else self.live[call.inode]
        change: dict[str, Held | None] = {**dict.fromkeys(gone), name: there}
        if call.kind == "r" and there and there.folder:
            change |= self._moved(there.folder, name)
        self.since.append(change)

    def _moved(self, before: str, after: str) -> dict[str, Held | None]:
        """What has another name once a folder has: the folder, and all that lies in it."""
        change: dict[str, Held | None] = {}
        for name, held in _changed(self.names, self.since).items():
            if name == before or name.startswith(f"{before}/"):
                moved = after + name.removeprefix(before)
                held.folder = moved if held.folder else ""
                change |= {name: None, moved: held}
        return change

    def _flush(self, held: Held) -> None:
        held.flush()
        flushed = [change for change in self.since if held.folder in map(os.path.dirname, change)]
        self.since = [change for change in self.since if change not in flushed]
        self.names = _changed(self.names, flushed)

    def lay(self, chance: Random, target: Path) -> None:
        """Lay what the disk may hold after a power cut now into an empty folder."""
        share = chance.choice((0.0, 1.0, 0.5, chance.random()))
        names = _changed(self.names, [change for change in self.since if chance.random() < share])
        for name, held in sorted(names.items()):
            path = target / os.path.relpath(name, self.folder)
            if held.folder:
                path.mkdir(exist_ok=True)
            elif path.parent.is_dir():
                path.write_bytes(held.after_the_cut(chance, share))


def _changed(names: Names, changes: Iterable[Change]) -> Names:
    found: dict[str, Held | None] = dict(names)
    for change in changes:
        found |= change
    return {name: held for name, held in found.items() if held is not None}
