"""The power fails while a workshop records: what was said to be recorded is on the disk, whatever else is lost.

    python power.py BOOK ACTS STATES SEED [off | normal | deaf]

Started on the watched disk, with a begun book alone in its folder. A child records acts in three sittings. Then the
folder is laid as many times as is asked for as the disk may hold it when the power fails after one of the child's
calls, and opened. The last word makes a control that must lose: `off` or `normal` is another setting of SQLite's
`synchronous`, `deaf` a disk that flushes nothing. Prints the figures as JSON.
"""

import json
import os
import sys
from collections.abc import Iterator
from contextlib import suppress
from itertools import islice
from pathlib import Path
from random import Random
from shutil import rmtree
from tempfile import TemporaryDirectory

from acts import Said, Writer, line, lost, opened
from disk import Call, Disk, calls, in_memory, watch
from torqueaudit.plugins import Plugins, load_plugins

SITTINGS = "abc"  # when the book is closed the write-ahead log is emptied


def record(book: Path, acts: int, log: Path, control: str, plugins: Plugins) -> None:
    """Record sitting by sitting, watched; each act is said on standard output, which the log holds too."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    watch(book.parent, log, deaf=control == "deaf")
    for seed, name in enumerate(SITTINGS):
        with opened(book, plugins, seed=10 + seed) as workshop:
            if control not in {"", "deaf"}:
                workshop.book.engine.run(f"pragma synchronous = {control}")
            for said in islice(Writer(workshop, name, log.parent).acts(), acts // len(SITTINGS)):
                os.write(sys.stdout.fileno(), line(said))


def said_in(done: list[Call]) -> list[Said]:
    """What was said to be recorded by then."""
    return [json.loads(call.data) for call in done if call.kind == "a"]


def faults_of(book: Path, told: list[Said], papers: Path, plugins: Plugins) -> list[str]:
    """What is wrong with a book after a power cut; it takes a new act."""
    try:
        with opened(book, plugins, seed=99) as workshop:
            found = lost(workshop.book, told)
            next(Writer(workshop, "z", papers).acts())
            return found
    except Exception as error:  # noqa: BLE001 whatever it is, this book cannot be worked with
        return [f"{type(error).__name__}: {error}"]


def cuts(book: Path, done: list[Call], disk: Disk, states: int, seed: int) -> Iterator[tuple[int, Path]]:
    """The number of calls before each power cut, and the book as it may be then."""
    chance = Random(seed)
    moments = sorted(chance.randrange(len(done) + 1) for _ in range(states))
    reached = 0
    with in_memory() as folder:
        for moment in moments:
            for call in done[reached:moment]:
                disk.go_on(call)
            reached = moment
            place = folder / "state"
            with suppress(FileNotFoundError):
                rmtree(place)
            place.mkdir()
            disk.lay(chance, place)
            yield moment, place / book.name


def main(book: Path, acts: int, states: int, seed: int, control: str = "") -> dict[str, int | str]:
    """Record, cut, look; the figures."""
    plugins = load_plugins()
    with TemporaryDirectory() as folder:
        log, papers = Path(folder, "log"), Path(folder)
        disk = Disk(book.parent)
        if child := os.fork():
            if os.waitpid(child, 0)[1]:
                sys.exit("the writer failed")
        else:
            record(book, acts, log, control, plugins)
            os._exit(0)
        done = list(calls(log))
        found = [
            (moment, faults)
            for moment, state in cuts(book, done, disk, states, seed)
            if (faults := faults_of(state, said_in(done[:moment]), papers, plugins))
        ]
    first = f"after call {found[0][0]}: {'; '.join(found[0][1])}" if found else ""
    return {
        "calls": len(done),
        "flushed": sum(call.kind == "s" for call in done),
        "acts": len(said_in(done)),
        "states": states,
        "lost": len(found),
        "first": first,
    }


if __name__ == "__main__":
    where, told, laid, start, *wanted = sys.argv[1:]
    print(json.dumps(main(Path(where), int(told), int(laid), int(start), *wanted)))  # noqa: T201
