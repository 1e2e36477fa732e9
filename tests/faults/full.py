"""The disk is full: an act is refused in words, nothing that was said is lost, and what is there can be read.

    python full.py BOOK DISK TRIES SEED

DISK is a small disk of its own. Each try fills it but for a little, and a child records there until it is refused,
without the reserve that the program keeps free, which would refuse it before. Prints the figures as JSON.
"""

import json
import os
import shutil
import signal
import sys
from collections import Counter
from pathlib import Path
from random import Random

from acts import START, Said, Writer, line, lost, opened
from says import PROGRAM, verified
from torqueaudit.book.book import Book
from torqueaudit.book.errors import BookError
from torqueaudit.cards.card import Clock
from torqueaudit.plugins import Plugins, load_plugins
from torqueaudit.workshop.door.workshop import Workshop

MOST_LEFT = 150 * 1024  # bytes, which some forty acts take


def record(book: Path, said: int, plugins: Plugins) -> None:
    """Record until it is refused in words."""
    clock, chance = Clock(f"{START:%Y-%m-%d %H:%M}"), Random(said)
    try:
        with Book.open(book, clock, chance, reserve=0) as there:
            for act in Writer(Workshop(there, plugins, clock, chance), "a", None).acts():
                os.write(said, line(act))
    except BookError:
        os._exit(0)
    finally:
        os._exit(1)


def recorded(book: Path, plugins: Plugins) -> tuple[int, list[Said]]:
    """How the child that recorded has ended, and what it said."""
    read, said = os.pipe()
    child = os.fork()
    if not child:
        record(book, said, plugins)
    os.close(said)
    with os.fdopen(read, "rb") as pipe:
        told = [json.loads(each) for each in pipe]
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), told


def fill(disk: Path, left: int) -> Path:
    """Fill a disk but for so many bytes."""
    filler = disk / "filler"
    with filler.open("wb") as file:
        os.posix_fallocate(file.fileno(), 0, max(1, shutil.disk_usage(disk).free - left))
    return filler


def main(book: Path, disk: Path, tries: int, seed: int) -> dict[str, object]:
    """Fill and look; the figures."""
    chance, plugins = Random(seed), load_plugins()
    ends, acts, faults = Counter[str](), 0, list[str]()
    with opened(book, plugins) as workshop:  # in the journal mode of this SQLite from now on
        head = str(workshop.book.head())
    for _ in range(tries):
        for each in disk.iterdir():
            each.unlink()
        there = Path(shutil.copy(book, disk))
        filler = fill(disk, chance.randrange(MOST_LEFT))
        code, told = recorded(there, plugins)
        ends[{0: "refused", -signal.SIGBUS: "ended by the system"}.get(code, f"failed with {code}")] += 1
        looked = verified(there, head)
        faults += [] if looked.sound and PROGRAM not in looked.says else [f"on the full disk: {looked.says}"]
        filler.unlink()
        with opened(there, plugins, seed=99) as workshop:
            faults += lost(workshop.book, told)
            next(Writer(workshop, "z", None).acts())
        acts += len(told)
    return {"tries": tries, "acts": acts, **ends, "lost": len(faults), "first": faults[:3]}


if __name__ == "__main__":
    print(json.dumps(main(Path(sys.argv[1]), Path(sys.argv[2]), int(sys.argv[3]), int(sys.argv[4]))))  # noqa: T201
