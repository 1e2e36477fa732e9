"""Each call to the disk fails in turn while a command runs: a sentence, an exit code, and nothing is lost.

    python calls.py BOOK TRIES SEED [COMMAND…]

The book holds four acts of `acts.py`, and beside it lies c.pdf.

Started on the watched disk. Every command runs in a child of its own on a copy of the book's folder, one call of one
kind fails, and the command is typed again on a sound disk. TRIES of all cases are drawn by lot. Prints the figures as
JSON.
"""

import errno
import json
import os
import shutil
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from typing import NamedTuple

import disk
from acts import lost, opened
from torqueaudit.cli.main import COMMANDS, main
from torqueaudit.plugins import Plugins, load_plugins

MEMORY = Path("/dev/shm")  # noqa: S108 what is copied there need not be flushed
BY = ("--by", "P-1")
TYPED: dict[str, tuple[str, ...]] = {
    "loosen": ("fastener", "loosen", "1", "rear-axle-nut", "--why", "the wheel came out", *BY, "--id", "act"),
    "enter": ("vehicle", "add", "bike 9", "--model", "Kestrel 500", "--plate", "Y 9", *BY, "--id", "act"),
    "calibrate": (
        *("wrench", "calibrate", "W-1", "--on", "2025-03-02", "--certificate", "C-1"),
        *("--file", "{folder}/c.pdf", *BY, "--id", "act"),
    ),
    "erase": ("ledger", "erase-words", "20", "--why", "it named a customer", *BY, "--id", "act"),
    "rebuild": ("book", "rebuild"),
    "show": ("job", "show", "1"),
    "verify": ("ledger", "verify"),
    "backup": ("book", "backup", "{folder}/copy.book"),
    "new": (
        "--book",
        "{folder}/fresh.book",
        "new",
        "--site",
        "NEW",
        "--zone",
        "UTC",
        "--address",
        "https://y.example/",
    ),
}
CALLS = {
    "open": (errno.EIO, errno.ENOSPC, errno.EDQUOT, errno.EMFILE, errno.EINTR),
    "read": (errno.EIO, errno.EINTR),
    "write": (errno.EIO, errno.ENOSPC, errno.EDQUOT, errno.EINTR, disk.SHORT_WRITE),
    "ftruncate": (errno.EIO, errno.EINTR),
    "fsync": (errno.EIO, errno.ENOSPC, errno.EDQUOT),
    "unlink": (errno.EIO,),
    "rename": (errno.EIO, errno.ENOSPC),
    "link": (errno.EIO, errno.EDQUOT),
    "mkdir": (errno.EIO, errno.ENOSPC, errno.EDQUOT),
}
SOUND = ("", 0, 0)
ERASED = b"wheel had to come out"


class Case(NamedTuple):
    """The number-th call of a kind fails while a command runs; `forever`: each one from there."""

    command: str
    call: str
    number: int
    error: int
    forever: bool

    def __str__(self) -> str:
        """As it is told when it goes wrong."""
        name = "a short write" if self.error == disk.SHORT_WRITE else errno.errorcode[self.error]
        return f"{self.command}: {self.call} {self.number} {name}{' and all after it' if self.forever else ''}"


class Answer(NamedTuple):
    """What a command printed, its exit code, and how many calls of the kind it made."""

    code: int
    out: str
    error: str
    made: int


def type_in(folder: Path, command: str, call: str, number: int, error: int, *, forever: bool) -> Answer:
    """Run a command in a child whose disk fails so; a number of 0 fails never."""
    paths = [folder.parent / f"{name}.txt" for name in ("out", "error", "made")]
    if child := os.fork():
        ended = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
        out, said, counted = (path.read_text(encoding="utf-8") for path in paths)
        return Answer(ended, out, said, int(counted or 0))
    for stream, path in zip((sys.stdout, sys.stderr), paths, strict=False):
        os.dup2(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC), stream.fileno())
    paths[2].write_text("", encoding="utf-8")
    words = [word.format(folder=folder) for word in TYPED[command]]
    sys.argv = ["torqueaudit", "--book", str(folder / "yard.book"), *words]
    disk.watch(folder)
    disk.fail(call, number, error, forever=forever)
    try:
        main()
    except SystemExit as end:
        code = end.code if isinstance(end.code, int) else 1
    finally:
        made = disk.seen()
        disk.fail("", 0, 0)
        sys.stdout.flush()
        sys.stderr.flush()
        paths[2].write_text(str(made), encoding="utf-8")
    os._exit(code)


@contextmanager
def copied(book: Path) -> Iterator[Path]:
    """A folder with all that lies beside the book."""
    with TemporaryDirectory(dir=MEMORY if MEMORY.is_dir() else None) as folder:
        yield Path(shutil.copytree(book.parent, Path(folder, "place")))


def every_case(book: Path, commands: Sequence[str]) -> Iterator[Case]:
    """Each call that each command makes, with each error that it may end in."""
    for command in commands:
        for call, errors in CALLS.items():
            with copied(book) as folder:
                made = type_in(folder, command, call, 0, 0, forever=False).made
            for number in range(1, made + 1):
                for error in errors:
                    yield Case(command, call, number, error, forever=False)
                    if error in {errno.EIO, errno.ENOSPC}:
                        yield Case(command, call, number, error, forever=True)


def faults_of(book: Path, case: Case, plugins: Plugins) -> Iterator[str]:
    """What is wrong with what the command said, and with the book after it."""
    with copied(book) as folder:
        said = type_in(folder, *case[:-1], forever=case.forever)
        yield from _wrong_words(said)
        there = folder / "yard.book"
        with opened(there, plugins) as workshop:
            told = [{"id": "act"}] if "act" in TYPED[case.command] and not said.code else []
            yield from lost(workshop.book, told)
            if "nothing was recorded" in said.error and any(entry.act == "act" for entry, _ in workshop.book.ledger()):
                yield f"it was recorded, and it said: {said.error}"
        if case.command == "backup" and not said.code:
            with opened(folder / "copy.book", plugins) as workshop:
                yield from lost(workshop.book, [])
        again = type_in(folder, case.command, *SOUND, forever=False)
        if again.code and "is there already" not in again.error:
            yield f"typed again it ends with {again.code}: {again.error}"
        if case.command == "erase":
            type_in(folder, "rebuild", *SOUND, forever=False)
            if any(ERASED in file.read_bytes() for file in folder.glob("yard.book*") if file.is_file()):
                yield "the disk still holds what was erased, also when the lists were rebuilt"


def _wrong_words(said: Answer) -> Iterator[str]:
    """More or less than one sentence, and whatever a person cannot do anything about."""
    if "Traceback" in said.error or "fault of the program" in said.error:
        yield said.error
    if said.code not in {0, 1, 2}:
        yield f"exit code {said.code}: {said.error}"
    if said.code and not said.out and len(said.error.splitlines()) != 1:
        yield f"{len(said.error.splitlines())} lines: {said.error}"


def try_all(book: Path, tries: int, seed: int, commands: Sequence[str]) -> dict[str, object]:
    """Fail and look; the figures."""
    plugins = load_plugins()
    for place, _ in COMMANDS.values():
        import_module(place.partition(":")[0])  # here, and not in every child
    cases = list(every_case(book, commands))
    chosen = Random(seed).sample(cases, min(tries, len(cases)))
    found = [f"{case}: {fault}" for case in chosen for fault in faults_of(book, case, plugins)]
    return {"cases": len(cases), "tried": len(chosen), "lost": len(found), "first": found[:5]}


if __name__ == "__main__":
    where, times, start_with, *wanted = sys.argv[1:]
    print(json.dumps(try_all(Path(where), int(times), int(start_with), wanted or list(TYPED))))  # noqa: T201
