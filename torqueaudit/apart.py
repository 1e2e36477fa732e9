"""Work on what a stranger may have made, in a process of its own: it has limits, and ends with what it was given."""

import os
import signal
import sys
from collections.abc import Iterable
from typing import IO, Any

LAST_IN_LINE = 19

# How the system ends whoever takes too much of the processor; Windows has no such limit.
_ENDED = frozenset[int]() if sys.platform == "win32" else frozenset({-signal.SIGXCPU, -signal.SIGKILL})


class Ended(Exception):  # the other process, and no fault of this one
    """The other process ended without an answer: it took too long, or it broke off with `code`."""

    def __init__(self, code: int | None) -> None:
        super().__init__(code)
        self.code = code
        self.too_long = code is None or code in _ENDED


def answer_apart(module: str, words: Iterable[str], given: IO[bytes] | bytes, seconds: float) -> bytes:
    """What a module of this program answers when it is run with these words. Raises Ended.

    It reads what it is given from its standard input: bytes, or a file of the system's, whose bytes never come into
    this process. It is given up after so many seconds. What it says of its own failing is for nobody.
    """
    import subprocess  # whoever is started imports this module too, and starts nobody

    command = (sys.executable, "-P", "-m", module, *words)
    told: dict[str, Any] = {"input": given} if isinstance(given, bytes) else {"stdin": given}
    try:
        done = subprocess.run(  # noqa: S603  # this very program
            command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, timeout=seconds, check=False, **told
        )
    except subprocess.TimeoutExpired:
        raise Ended(None) from None
    if done.returncode:
        raise Ended(done.returncode)
    return bytes(done.stdout)


def limit(memory: int, seconds: int) -> None:
    """Take on the limits that the system keeps: addresses in bytes, and seconds of the processor.

    The process gives way to every other one, and is not stopped by Ctrl-C, which is for whoever started it. Where the
    system keeps no limit, whoever started it ends it after a while.
    """
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    if sys.platform == "win32":
        return
    import resource

    os.nice(LAST_IN_LINE)
    limits = [(resource.RLIMIT_CORE, 0), (resource.RLIMIT_CPU, seconds)]
    if sys.platform == "linux":  # elsewhere a process has more addresses than that before it begins
        limits.append((resource.RLIMIT_AS, memory))
    for which, most in limits:
        _, hard = resource.getrlimit(which)
        resource.setrlimit(which, (most if hard == resource.RLIM_INFINITY else min(most, hard), hard))
