"""The power fails right after a command has said that something is written: it is there, whole.

    python written.py FOLDER STATES [--deaf] BOOK WORDS…

Started on the watched disk. A child types `torqueaudit --book BOOK WORDS…`. Then FOLDER is laid as many times as is
asked for as the disk may hold it when the power fails after the child's last call. Prints the figures as JSON: how many
files lie there, and which of them are missing or not whole in any state. `--deaf` is a disk that flushes nothing.
"""

import json
import os
import sys
from pathlib import Path
from random import Random
from shutil import rmtree
from tempfile import TemporaryDirectory

from disk import Disk, calls, watch
from torqueaudit.cli.main import cli

LOGS = ("-wal", "-shm", "-journal", "-turns", ".part")  # of the engine, which `power.py` looks at; and half a file


def files(folder: Path) -> dict[str, bytes]:
    """What lies in a folder by its name below it."""
    found = (each for each in sorted(folder.rglob("*")) if each.is_file() and not each.name.endswith(LOGS))
    return {str(each.relative_to(folder)): each.read_bytes() for each in found}


def type_watched(folder: Path, log: Path, words: list[str], *, deaf: bool) -> None:
    """Run one command, watched."""
    for said in (sys.stdout, sys.stderr):
        os.dup2(os.open(os.devnull, os.O_WRONLY), said.fileno())
    watch(folder, log, deaf=deaf)
    cli.main(["--book", *words], standalone_mode=False)


def main(folder: Path, states: int, words: list[str], *, deaf: bool) -> dict[str, object]:
    """Type, cut, look; the figures."""
    disk, chance, lost = Disk(folder), Random(1), set()
    with TemporaryDirectory() as beside:
        log = Path(beside, "log")
        if child := os.fork():
            if os.waitpid(child, 0)[1]:
                sys.exit("the command failed")
        else:
            type_watched(folder, log, words, deaf=deaf)
            os._exit(0)
        for call in calls(log):
            disk.go_on(call)
        there = files(folder)
        for _ in range(states):
            state = Path(beside, "state")
            rmtree(state, ignore_errors=True)
            state.mkdir()
            disk.lay(chance, state)
            laid = files(state)
            lost |= {name for name, content in there.items() if laid.get(name) != content}
    return {"files": len(there), "lost": sorted(lost)}


if __name__ == "__main__":
    where, laid, *typed = sys.argv[1:]
    told = [word for word in typed if word != "--deaf"]
    print(json.dumps(main(Path(where), int(laid), told, deaf="--deaf" in typed)))  # noqa: T201
