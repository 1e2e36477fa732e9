"""How long does a page take in the server while twenty requests arrive each second, in a book of 100,000 jobs?

    python benchmarks/busy.py [JOBS] [FOLDER]

The book is made as scale.py makes it, in a folder that stays where one is named; one that is there is taken as it is.
Eight people are signed in on devices of their own, each at a job of their own; strangers open records and owners' pages
of the newest jobs. What somebody does next is drawn by lot, and when, as arrivals of no plan are (Poisson), whether or
not the last answer has come. The server is `serve` in a process of its own, with its clock set to the days of the book.

Told are the server's own time, from when it begins to answer a request until the answer is there; what of it the
processor was busy, as other programs may be busy too; and what whoever asked has waited in all, from the moment at
which the request was to arrive to the last byte of the answer. The limit is stated for the first. The requests of the
first ten seconds are not counted: a server that has just started still loads what it asks for the first time.
"""

import argparse
import http.client
import json
import random
import re
import signal
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple
from urllib.parse import urlencode, urlsplit

from scale import PROCEDURE, filled

from torqueaudit.book import queries
from torqueaudit.model.act import Say
from torqueaudit.model.job.acts import Opening
from torqueaudit.web.app import create_app
from torqueaudit.web.server import address_of, listening
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.job import open_job
from torqueaudit.workshop.opening import now, open_workshop
from torqueaudit.workshop.signing.devices import admit, invite
from torqueaudit.workshop.signing.pins import set_pin
from torqueaudit.workshop.signing.sessions import sign_in

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse, WSGIApplication, WSGIEnvironment

MOST_MS = 25.0
JOBS = 100_000
EACH_SECOND, SECONDS, WARM = 20, 60, 10
PEOPLE, STRANGERS, NEWEST = 8, 500, 900  # what is asked for is of the newest jobs
FOREMAN, MECHANIC, PIN = "P-1", "P-3", "314159"
STEP = "bike-secured"
WHAT = "X-What"
SERVE = "--serve"
# What is asked for, and how often of a hundred times.
LOT = {"job": 35, "work": 10, "screen": 10, "act": 10, "vehicle": 10, "bench": 5, "record": 10, "owner": 10}
SIGNED_OUT = frozenset({"record", "owner"})  # what is asked by people who are not signed in


class Person(NamedTuple):
    """Somebody at the bench: the cookies of their browser, their job and its vehicle."""

    cookies: str
    job: str
    vehicle: str


class Took(NamedTuple):
    """One answer: what was asked for, the seconds until it was there, and those of the processor among them."""

    what: str
    seconds: float
    processor: float


class Timed:
    """An application of which every answer is timed."""

    def __init__(self, application: "WSGIApplication") -> None:
        self._application = application
        self.times: list[Took] = []

    def __call__(self, environ: "WSGIEnvironment", start_response: "StartResponse") -> Iterable[bytes]:
        """Answer, and note what was asked and how long the answer took."""
        start, busy = time.perf_counter(), time.thread_time()
        answer = list(self._application(environ, start_response))
        took = time.perf_counter() - start, time.thread_time() - busy
        self.times.append(Took(environ.get("HTTP_X_WHAT", ""), *took))
        return answer


def serve(path: Path, ahead: float) -> None:
    """Answer until the process is told to stop, then print what each answer took; the clock goes `ahead` seconds."""

    def clock() -> datetime:
        return now() + timedelta(seconds=ahead)

    signal.signal(signal.SIGTERM, lambda *_: sys.exit(0))
    with create_app(path, clock) as app:
        timed = Timed(app)
        with listening(timed, "127.0.0.1", 0) as server:
            print(address_of(server), flush=True)
            try:
                server.run()
            finally:
                print(json.dumps(timed.times), flush=True)


@contextmanager
def served(path: Path, ahead: float, times: list[Took]) -> Iterator[str]:
    """The address of a server in a process of its own; `times` is filled once it has ended."""
    words = [sys.executable, __file__, SERVE, str(ahead), str(path)]
    with subprocess.Popen(words, stdout=subprocess.PIPE, text=True) as process:
        lines = process.stdout
        try:
            yield lines.readline().strip() if lines else ""
        finally:
            process.terminate()
            answers = [Took(*each) for each in json.loads((lines and lines.readline()) or "[]")]
            times += [each for each in answers if each.what]


def begun(workshop: Workshop, lot: random.Random) -> tuple[list[Person], list[str]]:
    """Everybody signed in at a job of their own, and the tokens that strangers look up."""
    rows = lot.sample(queries.jobs_list(workshop.book, NEWEST), PEOPLE + STRANGERS)
    set_pin(workshop, Say(FOREMAN), MECHANIC, PIN)
    people: list[Person] = []
    for row in rows[:PEOPLE]:
        vehicle = row.vehicle or ""
        job = open_job(workshop, Opening(vehicle=vehicle, procedure=PROCEDURE, second=True), Say(MECHANIC, here=True))
        device = admit(workshop, invite(workshop, Say(FOREMAN), f"tablet of lift {len(people) + 1}").code)
        key = sign_in(workshop, device.device, MECHANIC, PIN)
        people.append(Person(f"device={device.key}; session={key}", job, vehicle.lower()))
    return people, [row.token or "" for row in rows[PEOPLE:]]


class Askers:
    """Threads that ask, each over a connection of its own that stays open."""

    def __init__(self, address: str, people: Sequence[Person], tokens: Sequence[str], lot: random.Random) -> None:
        self._place = urlsplit(address).netloc
        self._people, self._tokens, self._lot = people, tokens, lot
        self._own = threading.local()
        self.counted = False
        self.waited: list[float] = []
        self.refused: list[str] = []

    def one(self, arrives: float) -> None:
        """Ask for something drawn by lot, which was to arrive at a moment."""
        what = self._lot.choices([*LOT], [*LOT.values()])[0]
        person = self._lot.choice(self._people)
        if what == "act":
            self._act(person, arrives)
        else:
            self._ask(what, self._path(what, person), person.cookies if what not in SIGNED_OUT else "", arrives)

    def _path(self, what: str, person: Person) -> str:
        paths = {
            "job": f"/job/{person.job}",
            "work": f"/job/{person.job}/work",
            "screen": f"/job/{person.job}/step/{STEP}",
            "vehicle": f"/vehicle/{person.vehicle}",
            "bench": "/bench",
            "record": f"/r/{self._lot.choice(self._tokens)}/record",
            "owner": f"/r/{self._lot.choice(self._tokens)}",
        }
        return paths[what]

    def _act(self, person: Person, arrives: float) -> None:
        """Open a screen, tell it, and open what comes next, as a browser does that is led there."""
        address = f"/job/{person.job}/step/{STEP}"
        page = self._ask("screen", address, person.cookies, arrives)
        token = re.search(r'name="form" value="([0-9a-f]+)"', page)
        told = {"id": f"{self._lot.getrandbits(128):032x}", "form": token[1] if token else "", "answer": "yes"}
        self._ask("act", address, person.cookies, time.monotonic(), {**told, "again": "yes", "here": "yes"})
        self._ask("job", f"/job/{person.job}", person.cookies, time.monotonic())

    def _ask(self, what: str, path: str, cookies: str, arrives: float, form: dict[str, str] | None = None) -> str:
        connection = self._connection()
        headers = {WHAT: what if self.counted else "", **({"Cookie": cookies} if cookies else {})}
        if form:
            headers["Content-Type"] = "application/x-www-form-urlencoded"
        connection.request("POST" if form else "GET", path, urlencode(form) if form else None, headers)
        answer = connection.getresponse()
        text = answer.read().decode()
        if self.counted:
            self.waited.append(time.monotonic() - arrives)
        if answer.status not in (200, 303):
            self.refused.append(f"{what} {path}: {answer.status}")
        return text

    def _connection(self) -> http.client.HTTPConnection:
        connection: http.client.HTTPConnection | None = getattr(self._own, "connection", None)
        if connection is None:
            connection = self._own.connection = http.client.HTTPConnection(self._place, timeout=30)
        return connection


def arrivals(askers: Askers, lot: random.Random, seconds: float) -> None:
    """Let requests arrive at the moments drawn by lot, whether or not earlier ones are answered."""
    with ThreadPoolExecutor(12) as threads:
        at, end = time.monotonic(), time.monotonic() + seconds
        asked = []
        while (at := at + lot.expovariate(EACH_SECOND)) < end:
            time.sleep(max(0.0, at - time.monotonic()))
            asked.append(threads.submit(askers.one, at))
        for each in asked:
            each.result()


def cuts(times: Sequence[float]) -> str:
    """The middle and the highest of a hundred, in milliseconds."""
    return f"p50 {statistics.median(times) * 1e3:.1f} ms, p99 {highest(times):.1f} ms"


def highest(times: Sequence[float]) -> float:
    """The highest of a hundred, in milliseconds."""
    return statistics.quantiles(times, n=100)[98] * 1e3


def told(times: Sequence[Took]) -> str:
    """How many answers there were, what they took, and what of it the processor was busy."""
    processor = cuts([each.processor for each in times])
    return f"{len(times)}, {cuts([each.seconds for each in times])}; of the processor {processor}"


def measure(path: Path, seconds: float) -> bool:
    """Print what the requests took; whether the limit is met and every request was answered."""
    lot, times = random.Random(), list[Took]()
    with open_workshop(path) as workshop:
        last = workshop.book.entry(workshop.book.head().sequence)
    ahead = (datetime.fromisoformat(last.recorded_at) - now()).total_seconds() + 3600 if last else 0.0
    with open_workshop(path, clock=lambda: now() + timedelta(seconds=ahead)) as workshop:
        people, tokens = begun(workshop, lot)
        jobs = queries.counts(workshop.book).jobs
    with served(path, ahead, times) as address:
        askers = Askers(address, people, tokens, lot)
        arrivals(askers, lot, WARM)
        askers.counted = True
        arrivals(askers, lot, seconds)
    print(f"{len(times)} requests in {seconds:.0f} s, {jobs} jobs in the book; {len(askers.refused)} refused")
    for what in LOT:
        print(f"  {what}: {told([each for each in times if each.what == what])}")
    print(f"waited in all: {cuts(askers.waited)}")
    print(f"the server's own time, limit {MOST_MS:.0f} ms at p99: {told(times)}")
    print(*askers.refused[:5], sep="\n", end="")
    return highest([each.seconds for each in times]) < MOST_MS and not askers.refused


def main() -> int:
    """1 when the server takes longer than the limit, or refuses anybody."""
    if sys.argv[1:2] == [SERVE]:
        serve(Path(sys.argv[3]), float(sys.argv[2]))
        return 0
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("jobs", nargs="?", type=int, default=JOBS)
    asked.add_argument("where", nargs="?", type=Path, help="a folder in which the book stays")
    asked.add_argument("--seconds", type=float, default=SECONDS)
    given = asked.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        place = (given.where or Path(folder)) / "busy"
        if not (place / "yard.book").exists():
            filled(place, given.jobs)
        return int(not measure(place / "yard.book", given.seconds))


if __name__ == "__main__":
    sys.exit(main())
