"""Each call to the disk fails in turn while a command runs: a sentence, an exit code, and nothing is lost.

    python calls.py BOOK TRIES SEED [COMMAND…]

The book holds four acts of `acts.py` and a row of a log to be confirmed, and beside it lie c.pdf, a PIN in the file
pin, mark.jpg, shown.toml, a procedure that shows it, a wrench's log.csv and a list.csv of vehicles, with
their mappings in log.toml and list.toml.

Started on the watched disk. Every command runs in a child of its own on a copy of the book's folder, one call of one
kind fails, and the command is typed again on a sound disk. TRIES of all cases are drawn by lot. Prints the figures as
JSON.
"""

import errno
import json
import os
import shutil
import sys
import traceback
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from importlib import import_module
from itertools import product
from pathlib import Path
from random import Random
from typing import NamedTuple

import disk
from acts import lost, opened, picture
from torqueaudit.book.photos import weigh
from torqueaudit.cli.main import COMMANDS, main
from torqueaudit.model.register.people import PIN_SET
from torqueaudit.plugins import Plugins, load_plugins
from torqueaudit.testing import procedure_head
from torqueaudit.workshop.door.workshop import Workshop

BY = ("--by", "P-1")
PICTURE = picture("before")
PHOTO = weigh(*PICTURE)
TYPED: dict[str, tuple[str, ...]] = {
    "loosen": ("fastener", "loosen", "1", "rear-axle-nut", "--why", "the wheel came out", *BY, "--id", "act"),
    "enter": ("vehicle", "add", "bike 9", "--model", "Kestrel 500", "--plate", "Y 9", *BY, "--id", "act"),
    "calibrate": (
        *("wrench", "calibrate", "W-1", "--on", "2025-03-02", "--certificate", "C-1"),
        *("--file", "{folder}/c.pdf", *BY, "--id", "act"),
    ),
    "erase": ("ledger", "erase-words", "20", "--why", "it named a customer", *BY, "--id", "act"),
    "photograph": ("photo", "add", "1", "rear-axle-nut", "{folder}/mark.jpg", *BY, "--id", "act"),
    "unphotograph": ("photo", "erase", "1", PHOTO.digest, "--why", "a face was on it", *BY, "--id", "act"),
    "picture": ("procedure", "enter", "{folder}/shown.toml", *BY, "--id", "act"),
    "import": ("import", "{folder}/log.csv", "--mapping", "{folder}/log.toml", "--yes", *BY),
    "move-in": ("move-in", "{folder}/list.csv", "--mapping", "{folder}/list.toml", "--yes", *BY),
    "confirm": ("fastener", "confirm", "1", "rear-axle-nut", *BY, "--id", "act"),
    "pin": ("person", "pin", "P-2", "--pin-file", "{folder}/pin", *BY),
    "rebuild": ("book", "rebuild"),
    "show": ("job", "show", "1"),
    "verify": ("ledger", "verify"),
    "backup": ("book", "backup", "{folder}/copy.book"),
    "export": ("book", "export", "{folder}/exported", "--with-personal"),
    "head": ("ledger", "head"),
    "publish": ("publish", "--out", "{folder}/web"),
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
MAPPING = """
format = 1
moment = { column = "when" }
torque = { column = "torque" }
unit = { always = "N·m" }
wrench = { always = "W-2" }
job = { always = "1" }
fastener = { column = "where" }
"""
LOG = "when,torque,where\n2025-03-02T11:00:00Z,108.5,rear-axle-nut\n2025-03-02T11:00:09Z,109,rear-axle-nut\n"
LISTED = """
format = 1
of = "vehicles"
tag = { column = "tag" }
model = { column = "model" }
plate = { column = "plate" }
"""
LIST = "tag,model,plate\nbike 21,Heron 250,Y 21\nbike 22,Heron 250,Y 22\n"
UNANSWERED = 3  # the act is recorded, and its answer failed: that says the id too
ERASED = b"wheel had to come out"
SHOWN = procedure_head("shown") + (
    '[[work]]\nstep = "look"\nname = "look"\nsays = "Look."\npicture = "mark.jpg"\npicture_says = "A mark."\n'
)
STILL = "and is there; rebuild the lists"  # said of a photo whose file could not be taken away


class Fault(NamedTuple):
    """The number-th call of a kind fails; `forever`: each one from there. Number 0: none."""

    call: str = ""
    number: int = 0
    error: int = 0
    forever: bool = False

    def __str__(self) -> str:
        """As it is told when something goes wrong."""
        name = "a short write" if self.error == disk.SHORT_WRITE else errno.errorcode[self.error]
        return f"{self.call} {self.number} {name}{' and all after it' if self.forever else ''}"


NONE = Fault()


class Answer(NamedTuple):
    """What a command printed, its exit code, and how often it made each call."""

    code: int
    out: str
    error: str
    made: dict[str, int]


def type_in(folder: Path, command: str, fault: Fault = NONE) -> Answer:
    """Run a command in a child whose disk fails so."""
    paths = [folder.parent / f"{name}.txt" for name in ("out", "error", "made")]
    if child := os.fork():
        code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
        out, error, made = (path.read_text(encoding="utf-8") for path in paths)
        return Answer(code, out, error, json.loads(made))
    for stream, path in zip((sys.stdout, sys.stderr), paths, strict=False):
        os.dup2(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC), stream.fileno())
    os._exit(_typed(folder, command, fault, paths[2]))


def _typed(folder: Path, command: str, fault: Fault, made: Path) -> int:
    sys.argv = [
        "torqueaudit",
        "--book",
        str(folder / "yard.book"),
        *(word.format(folder=folder) for word in TYPED[command]),
    ]
    disk.watch(folder)
    disk.fail(*fault[:3], forever=fault.forever)
    code = 0
    try:
        main()
    except SystemExit as end:
        code = end.code if isinstance(end.code, int) else 1
    except BaseException:  # noqa: BLE001 it would have reached the user
        traceback.print_exc()
        code = 70
    made.write_text(json.dumps({call: disk.made(call) for call in CALLS}), encoding="utf-8")
    sys.stdout.flush()
    sys.stderr.flush()
    return code


@contextmanager
def copied(book: Path) -> Iterator[Path]:
    """A folder with all that lies beside the book."""
    with disk.in_memory() as folder:
        yield Path(shutil.copytree(book.parent, folder / "place"))


def every_fault(book: Path, command: str) -> Iterator[Fault]:
    """Each call that a command makes, with each error that it may end in."""
    with copied(book) as folder:
        made = type_in(folder, command).made
    for call, errors in CALLS.items():
        for number, error in product(range(1, made[call] + 1), errors):
            yield Fault(call, number, error)
            if error in {errno.EIO, errno.ENOSPC}:
                yield Fault(call, number, error, forever=True)


def faults_of(book: Path, command: str, fault: Fault, plugins: Plugins) -> Iterator[str]:
    """What is wrong with what the command said, and with the book after it."""
    with copied(book) as folder:
        said = type_in(folder, command, fault)
        yield from _wrong_words(said)
        there = folder / "yard.book"
        with opened(there, plugins) as workshop:
            told = [{"id": "act"}] if "act" in TYPED[command] and said.code in {0, UNANSWERED} else []
            yield from (each for each in lost(workshop.book, told) if command != "unphotograph" or STILL not in each)
            if "nothing was recorded" in said.error and any(entry.act == "act" for entry, _ in workshop.book.ledger()):
                yield f"it was recorded, and it said: {said.error}"
            if command == "pin" and _has_pin(workshop) != any(e.kind == PIN_SET for e, _ in workshop.book.ledger()):
                yield "a PIN and the entry that says so are not there together"
        if command == "backup" and not said.code:
            with opened(folder / "copy.book", plugins) as workshop:
                yield from lost(workshop.book, [])
        again = type_in(folder, command)
        if again.code and "is there already" not in again.error:
            yield f"typed again it ends with {again.code}: {again.error}"
        if command == "unphotograph":
            type_in(folder, "rebuild")
            with opened(there, plugins) as workshop:
                yield from lost(workshop.book, [{"id": "act"}])
                yield from (f"{each} is there" for each in workshop.book.photos.iterdir() if PHOTO.digest in each.name)
        if command == "erase":
            type_in(folder, "rebuild")
            if any(ERASED in file.read_bytes() for file in folder.glob("yard.book*") if file.is_file()):
                yield "the disk still holds what was erased, also when the lists were rebuilt"


def _has_pin(workshop: Workshop) -> bool:
    return workshop.book.signing.pin_of("P-2") is not None


def _wrong_words(said: Answer) -> Iterator[str]:
    """More or less than one sentence, and whatever a person cannot do anything about."""
    if "Traceback" in said.error or "fault of the program" in said.error:
        yield said.error
    lines = len(said.error.splitlines())
    if said.code not in {0, 1, 2, UNANSWERED}:
        yield f"exit code {said.code}: {said.error}"
    if said.code and not said.out and lines != (2 if said.code == UNANSWERED else 1):
        yield f"{lines} lines: {said.error}"


def try_all(book: Path, tries: int, seed: int, commands: Sequence[str]) -> dict[str, object]:
    """Fail and look; the figures."""
    plugins = load_plugins()
    for place, _ in COMMANDS.values():
        import_module(place.partition(":")[0])  # here, and not in every child
    cases = [(command, fault) for command in commands for fault in every_fault(book, command)]
    chosen = Random(seed).sample(cases, min(tries, len(cases)))
    found = [f"{case[0]}: {case[1]}: {wrong}" for case in chosen for wrong in faults_of(book, *case, plugins)]
    return {"cases": len(cases), "tried": len(chosen), "lost": len(found), "first": found[:5]}


if __name__ == "__main__":
    where, times, start_with, *wanted = sys.argv[1:]
    print(json.dumps(try_all(Path(where), int(times), int(start_with), wanted or list(TYPED))))  # noqa: T201
