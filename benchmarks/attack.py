"""How long does an honest page take while one machine attacks the server, and how much memory does the server take?

For each way of benchmarks/attackers.py a server of its own is started; the machine that attacks and the one that asks
honestly have different addresses. Pages are asked for one after the other, each over a new connection. Memory is that
of the server and of the processes it starts, together, at its highest. Linux only.

    python benchmarks/attack.py [--untimed] [--tls] [WAY…]

Untimed, a few pages are asked for, and only that each is answered and what memory it takes counts. With --tls the
server has a certificate of its own, and both machines speak TLS, each page with a handshake of its own.
"""

import http.client
import os
import ssl
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Event, Thread
from typing import Any, NamedTuple

from attackers import WAYS
from startup import make_book

from torqueaudit.workshop.opening import open_workshop

MOST_MS, MOST_MB = 200, 300
PAGES, FEW_PAGES, BETWEEN = 120, 8, 0.1
UNTIMED, TLS = "--untimed", "--tls"
ATTACKERS = Path(__file__).with_name("attackers.py")
HONEST, HOSTILE = "127.0.0.1", "127.0.0.2"
NOBODY = "nobody"


class Figures(NamedTuple):
    """What an honest machine meets: milliseconds of each page, pages not answered, and the server's memory."""

    times: list[float]
    lost: int
    megabytes: float

    def missed(self, *, timed: bool) -> bool:
        """Whether a limit is missed."""
        slow = timed and statistics.median(self.times) > MOST_MS
        return bool(self.lost) or slow or not 0 < self.megabytes <= MOST_MB

    def __str__(self) -> str:
        times = statistics.quantiles(self.times, n=100) if len(self.times) > 1 else [float("inf")] * 99
        return (
            f"median {times[49]:.0f} ms, at most {MOST_MS}; 99 % {times[98]:.0f} ms; {self.lost} not answered; "
            f"memory {self.megabytes:.0f} MB, at most {MOST_MB}"
        )


@contextmanager
def program(*words: str) -> Iterator[subprocess.Popen[str]]:
    """A program that says on its first line that it has begun, ended afterwards."""
    with subprocess.Popen(words, stdout=subprocess.PIPE, text=True) as process:
        try:
            yield process
        finally:
            process.terminate()


def first_line(process: subprocess.Popen[str]) -> str:
    """What a program said first."""
    return process.stdout.readline() if process.stdout else ""


def memory_of(process: int) -> float:
    """Megabytes that a process and those it started hold now."""
    children = Path(f"/proc/{process}/task").glob("*/children")
    held = Path(f"/proc/{process}/status").read_text(encoding="utf-8").partition("VmRSS:")[2].split()
    below = [int(each) for file in children for each in file.read_text(encoding="utf-8").split()]
    return (int(held[0]) / 1024 if held else 0) + sum(_memory_if_there(each) for each in below)


def _memory_if_there(process: int) -> float:
    try:
        return memory_of(process)
    except OSError:
        return 0


def measure(book: Path, page: str, way: str, pages: int) -> Figures:
    """Ask for so many pages while somebody attacks."""
    told = [TLS] if TLS in sys.argv else []
    serve = ("-c", "from torqueaudit.cli.main import main; main()", "--book", str(book), "serve", "--port", "0")
    with program(sys.executable, *serve, *told) as server:
        port = first_line(server).split()[3].rstrip("/").rpartition(":")[2]
        attack = (str(ATTACKERS), way, "127.0.0.1", port, page, HOSTILE, "https" if told else "http")
        if way == NOBODY:
            return _ask(server.pid, int(port), page, pages)
        with program(sys.executable, *attack) as attacker:
            first_line(attacker)
            return _ask(server.pid, int(port), page, pages)


def _ask(server: int, port: int, page: str, pages: int) -> Figures:
    over, highest = Event(), [0.0]

    def watch() -> None:
        while not over.wait(0.03):
            highest[0] = max(highest[0], memory_of(server))

    watcher = Thread(target=watch)
    watcher.start()
    times, lost = [], 0
    for _ in range(pages):
        start = time.perf_counter()
        if _answered(port, page):
            times.append((time.perf_counter() - start) * 1e3)
        else:
            lost += 1
        time.sleep(BETWEEN)
    over.set()
    watcher.join()
    return Figures(times, lost, highest[0])


def _answered(port: int, page: str) -> bool:
    connection = _connection("127.0.0.1", port, timeout=20, source_address=(HONEST, 0))
    try:
        connection.request("GET", page)
        return b"<b>Job 1</b>" in connection.getresponse().read()
    except OSError:
        return False
    finally:
        connection.close()


def _connection(*args: Any, **rest: Any) -> http.client.HTTPConnection:
    if TLS not in sys.argv:
        return http.client.HTTPConnection(*args, **rest)
    unverified = ssl._create_unverified_context()  # noqa: S323, SLF001  # one's own server
    return http.client.HTTPSConnection(*args, context=unverified, **rest)


def main() -> int:
    """Print the figures of each way; 1 when one misses a limit."""
    ways = [word for word in sys.argv[1:] if word not in {UNTIMED, TLS}]
    timed = UNTIMED not in sys.argv
    missed = False
    with tempfile.TemporaryDirectory() as folder, tempfile.TemporaryDirectory() as elsewhere:
        os.environ["TORQUEAUDIT_SECRETS"] = str(Path(elsewhere, "secrets.json"))
        book = Path(folder, "yard.book")
        make_book(book)
        with open_workshop(book) as workshop:
            page = f"/r/{workshop.record('1').token}/record"
        for way in ways or [NOBODY, *WAYS]:
            figures = measure(book, page, way, PAGES if timed else FEW_PAGES)
            missed |= figures.missed(timed=timed)
            print(f"attack: {way:13} {figures}", flush=True)
    return int(missed)


if __name__ == "__main__":
    os.environ.pop("TORQUEAUDIT_BOOK", None)
    sys.exit(main())
