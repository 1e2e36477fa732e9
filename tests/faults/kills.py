"""Two programs that record on one book are killed at any moment: what they said is recorded stands.

    python kills.py BOOK KILLS SEED [early]

Round by round two children begin to record, each says its acts through a pipe, and both are killed. With `early` each
says an act before it is recorded, which must lose. Prints the figures as JSON.
"""

import json
import os
import shutil
import signal
import sys
import time
import traceback
from itertools import islice
from pathlib import Path
from random import Random
from select import select
from tempfile import TemporaryDirectory

from acts import Said, Writer, line, lost, opened
from torqueaudit.plugins import Plugins, load_plugins

AT_ONCE = 2
LONGEST = 0.1  # seconds until they are killed
BUSY = 0.8  # of the rounds begin to count once both have recorded an act, the others while the book is opened
SLOWEST = 60  # seconds until an act is recorded on a busy machine
ROUNDS = 10  # on one book, then on a new one


def start(book: Path, name: str, papers: Path, plugins: Plugins, *, early: bool) -> tuple[int, int]:
    """A child that records until it is killed, and the pipe through which it says what is recorded."""
    read, said = os.pipe()
    if child := os.fork():
        os.close(said)
        return child, read
    try:
        write(book, name, papers, plugins, said, early=early)
    finally:
        traceback.print_exc()
        os._exit(1)


def write(book: Path, name: str, papers: Path, plugins: Plugins, said: int, *, early: bool) -> None:
    """Record act after act."""
    with opened(book, plugins, seed=int.from_bytes(name.encode(), "big")) as workshop:
        if early:
            os.write(said, line({"id": f"{name}-0"}))
        for number, act in enumerate(Writer(workshop, name, papers).acts(), start=1):
            os.write(said, line({"id": f"{name}-{number}"} if early else act))


def heard(child: int, read: int) -> list[Said]:
    """Kill a child and hear what it said; a line that it had no time to end is not said."""
    os.kill(child, signal.SIGKILL)
    if os.waitpid(child, 0)[1] != signal.SIGKILL:
        sys.exit("a writer failed")
    with os.fdopen(read, "rb") as pipe:
        return [json.loads(each) for each in pipe.read().splitlines(keepends=True) if each.endswith(b"\n")]


def on_one_book(book: Path, chance: Random, kills: int, plugins: Plugins, *, early: bool) -> tuple[int, list[str]]:
    """How many acts were said over so many kills, and what is wrong after any of them."""
    told: list[Said] = []
    with TemporaryDirectory() as papers:
        with opened(book, plugins) as workshop:  # in the journal mode of this SQLite from now on
            faults = lost(workshop.book, told)
        for nth in range(0, kills, AT_ONCE):
            names = [f"{letter}{nth}" for letter in "ab"]
            writers = [start(book, name, Path(papers), plugins, early=early) for name in names]
            for _, read in writers if chance.random() < BUSY else ():
                select([read], [], [], SLOWEST)
            time.sleep(chance.random() * LONGEST)
            for child, read in writers:
                told += heard(child, read)
            with opened(book, plugins, seed=nth) as workshop:
                faults += lost(workshop.book, told)
        with opened(book, plugins, seed=99) as workshop:
            told += islice(Writer(workshop, "z", Path(papers)).acts(), 1)
            faults += lost(workshop.book, told)
    return len(told), faults


def main(book: Path, kills: int, seed: int, control: str = "") -> dict[str, int | str]:
    """Kill and look; the figures."""
    chance, plugins = Random(seed), load_plugins()
    acts, faults = 0, list[str]()
    for _ in range(-(-kills // (ROUNDS * AT_ONCE))):
        with TemporaryDirectory() as folder:
            copy = Path(shutil.copy(book, folder))
            said, found = on_one_book(copy, chance, ROUNDS * AT_ONCE, plugins, early=control == "early")
            acts, faults = acts + said, faults + found
    return {"kills": kills, "acts": acts, "lost": len(faults), "first": "; ".join(faults[:1])}


if __name__ == "__main__":
    where, times, start_with, *wanted = sys.argv[1:]
    print(json.dumps(main(Path(where), int(times), int(start_with), *wanted)))  # noqa: T201
