"""A verification of a large book shared out: each process has some of the entries and some of the subjects.

What a process says is believed in one case alone: that it found its share sound, and the same head. Whatever else
becomes of it (it finds something, it is killed, somebody writes meanwhile), this program looks at everything itself,
and tells what it finds as if there had been no other process. See decision 0094.
"""

import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import NamedTuple

from torqueaudit.ledger.chain import Head, head_of

MOST = 8  # processes, each of which needs some memory
SHARED_FROM = 50_000  # entries; before that a process has begun no sooner than one is done alone


class Share(NamedTuple):
    """The part of a verification that one of several processes has, counted from 0, up to a head."""

    nth: int
    of: int
    head: Head

    @property
    def says(self) -> str:
        """What the process prints that found it sound."""
        return f"sound: share {self.nth} of {self.of} up to {self.head}"


def share_of(nth: str, of: str, head: str) -> Share:
    """A share as it is handed to a process."""
    return Share(int(nth), int(of), head_of(head))


def processes_for(entries: int) -> int:
    """How many processes look at a book of so many entries; 1 where this one does it alone."""
    return min(_processors(), MOST) if entries >= SHARED_FROM else 1


def _processors() -> int:
    """How many processors this program may use."""
    return len(os.sched_getaffinity(0)) if sys.platform == "linux" else os.cpu_count() or 1


@contextmanager
def shared_out(book: Path, head: Head, processes: int) -> Iterator[Callable[[], bool]]:
    """Let so many processes begin; a question that waits for them, and says whether all of it was found sound."""
    with ExitStack() as running:
        begun = [running.enter_context(_begun(book, Share(nth, processes, head))) for nth in range(processes)]
        yield lambda: all(share() for share in begun)


@contextmanager
def _begun(book: Path, share: Share) -> Iterator[Callable[[], bool]]:
    command = (sys.executable, "-P", "-m", "torqueaudit.book.share", book.absolute(), str(share.nth), str(share.of))
    try:
        process = subprocess.Popen(  # noqa: S603 this very program
            (*command, str(share.head)), stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
        )
    except OSError:  # this machine begins no more processes
        yield lambda: False
        return
    with process:
        try:
            yield lambda: process.communicate()[0].decode(errors="replace") == f"{share.says}\n"
        finally:
            process.kill()
