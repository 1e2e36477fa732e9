"""How do the books of a chain in a database compare with SQL written by hand, and do its sites wait for each other?

    python benchmarks/chain.py postgresql://LOGIN@MACHINE/DATABASE [--seconds S] [--jobs N]

The database is empty, and the login may make roles. Three questions, each beside its floor in the same run:
acts in turns through the book and by hand, into the same tables with the same triggers, lock and durability;
32 programs that write for S seconds, at one site and at eight, through the book and by hand; and a label and a day's
re-checks looked up in the book of one of forty sites with N jobs each, beside the same question by hand, and beside a
site with a thousand jobs alone.
"""

import argparse
import hashlib
import json
import random
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Mapping, Sequence
from contextlib import ExitStack
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any, TypeAlias

import psycopg

from torqueaudit.book import queries
from torqueaudit.book.address import place_of
from torqueaudit.book.book import Book
from torqueaudit.book.lists.records import JobRow
from torqueaudit.book.postgres.connection import connect_to_site
from torqueaudit.ledger.entry import Act, Draft, Entry, act_digest, stamp

Connection: TypeAlias = psycopg.Connection[tuple[Any, ...]]

APPEND_FLOOR, SITES_FLOOR, LOOK_UP_LIMIT, GROWTH_LIMIT = 0.7, 5.0, 2.0, 2.0
ACTS, ENTRIES_OF_A_JOB = 800, 40
SITES, WRITERS = 8, 32
MANY_SITES, LOOKS = 40, 300
NOW = datetime(2031, 4, 2, 9, tzinfo=UTC)
SAID = {"position": "axle-nut", "wrench": "W-2", "setting": "98", "unit": "N·m", "outcome": "turned, then clicked"}
JUDGED = {"applied": "98.0", "uncertainty": "3.9", "verdict": "inside", "rule": "simple", "plugin": "built in 1"}
FILL = """
    insert into chain.jobs (site, subject, job, vehicle, token, state, due_on, handed_over_on)
    select $1::text, 'job/' || nth, nth, 'V-' || nth / 3, lower($1) || nth, 'handed over',
        (date '2029-01-01' + (nth / 30)::int)::text, '2029-01-01T00:00:00Z'
    from generate_series(1::bigint, $2) as nth
"""


class Clock:
    """A clock on which a second passes whenever it is read."""

    def __init__(self) -> None:
        self._seconds = -1

    def now(self) -> datetime:
        """The next second."""
        self._seconds += 1
        return NOW + timedelta(seconds=self._seconds)


def rows_of(subject: str, entries: Sequence[Entry]) -> Mapping[str, Sequence[Mapping[str, str | int | None]]]:
    """One row of the list of jobs."""
    job = int(subject.partition("/")[2])
    return {"jobs": [{"job": job, "state": "open", "last_recorded": entries[-1].recorded_at}]}


class Chain:
    """An empty database, in which sites are made and opened."""

    def __init__(self, address: str, folder: Path) -> None:
        self._address = f"{address}{'&' if '?' in address else '?'}beside={folder}"

    def named(self, site: str) -> str:
        """The address of a site's book."""
        return f"{self._address}&site={site}"

    def new(self, site: str) -> Book:
        """Make its book and open it."""
        return Book.new(place_of(self.named(site)), site, Clock().now, random.Random(1), rows_of=rows_of)

    def plain(self, site: str) -> Connection:
        """A connection of the program's own kind."""
        return connected(self.named(site), site)

    def bare(self) -> Connection:
        """A connection with the rights of the login, past every view."""
        return psycopg.connect(self._address.partition("&beside")[0].partition("?beside")[0], autocommit=True)


def connected(address: str, site: str) -> Connection:
    """A connection of the program's own kind."""
    place = place_of(address)
    if isinstance(place, Path):
        raise SystemExit(f"{address} is a file, and no address of a database")
    return connect_to_site(place, site, 30)


def through_the_book(book: Book, job: str, index: int, act: Act) -> None:
    """One act of one entry, as workshop/ records it."""
    draft = Draft(subject=job, kind="tightened.1", happened_at=NOW, who="P-3", said=SAID, judged=JUDGED)
    book.append(act, [draft], {job: index % ENTRIES_OF_A_JOB})


def by_hand(connection: Connection, site: str, job: str, index: int, act: Act) -> None:
    """The same fact, chained and listed under the same lock, with the look-ups no append can do without."""
    moment = stamp(NOW + timedelta(seconds=index))
    run = connection.cursor(binary=False).execute
    with connection.transaction():
        run("select pg_advisory_xact_lock(7, hashtext($1))", (site,))
        if run("select 1 from ledger where id = $1", (act.id,)).fetchone():
            raise ValueError(index)
        last = run("select sequence, hash from ledger order by sequence desc limit 1").fetchone()
        sequence, previous = (last[0] + 1, last[1]) if last else (1, "0" * 64)
        ((number,),) = run("select coalesce(max(number), 0) + 1 from ledger where subject = $1", (job,)).fetchall()
        payload = {"act": {"digest": act.digest, "of": 1}, "said": SAID, "judged": JUDGED}
        fields = {"site": site, "sequence": sequence, "id": act.id, "subject": job, "number": number}
        fields |= {"kind": "tightened.1", "happened_at": moment, "recorded_at": moment, "who": "P-3"}
        fields |= {"payload": payload, "previous": previous}
        document = json.dumps(fields, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
        hash_ = hashlib.sha256(document.encode()).hexdigest()
        run("insert into ledger (document, hash) values ($1, $2)", (document, hash_))
        if number == 1:
            insert = "insert into jobs (subject, job, state, last_recorded) values ($1, $2, 'open', $3)"
            run(insert, (job, int(job.partition("/")[2]), moment))
        else:
            run("update jobs set last_recorded = $1 where subject = $2", (moment, job))


def act_of(id_: str, job: str) -> Act:
    """An act of this id."""
    return Act(id_, act_digest("tighten", "P-3", job, SAID))


def append_met(chain: Chain) -> bool:
    """Print how an act through the book compares with one by hand, done in turns."""
    times: dict[str, list[float]] = {"book": [], "hand": []}
    chain.new("HAND").close()
    with chain.new("BOOK") as book, chain.plain("HAND") as hand:
        ways: dict[str, Callable[[str, int, Act], None]] = {
            "book": lambda job, index, act: through_the_book(book, job, index, act),
            "hand": lambda job, index, act: by_hand(hand, "HAND", job, index, act),
        }
        for index in range(ACTS):
            job = f"job/{index // ENTRIES_OF_A_JOB + 1}"
            for name, work in ways.items():
                start = time.perf_counter()
                work(job, index, act_of(f"act-{index}", job))
                times[name].append(time.perf_counter() - start)
    each = {name: statistics.median(of) for name, of in times.items()}
    ratio = each["hand"] / each["book"]
    told = ", ".join(f"{name} {seconds * 1e3:.2f}" for name, seconds in each.items())
    print(f"append, ms an act at the median: {told}; by hand / book {ratio:.2f}, floor {APPEND_FLOOR}")
    return ratio >= APPEND_FLOOR


def write(address: str, site: str, name: str, seconds: float, *, bare: bool) -> None:
    """Write acts on one job until the time is up, and print how many."""
    job, done = f"job/{name}", 0
    with ExitStack() as until:
        if bare:
            connection = until.enter_context(connected(address, site))
        else:
            opened = Book.open(place_of(address), Clock().now, random.Random(name), rows_of=rows_of)
            book = until.enter_context(opened)
        print("ready", flush=True)
        sys.stdin.readline()
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            act = act_of(f"{name}-{done}", job)
            if bare:
                by_hand(connection, site, job, done, act)
            else:
                book.append(act, [Draft(subject=job, kind="noted.1", happened_at=NOW, who="P-3", said=SAID)], {})
            done += 1
    print(done)


def begun(chain: Chain, sites: Sequence[str], seconds: float, *, bare: bool) -> list[subprocess.Popen[str]]:
    """The programs that write, shared out to the sites, each with its book open; they begin when they are told to."""
    running = []
    for nth in range(WRITERS):
        site = sites[nth % len(sites)]
        told = ["--write", chain.named(site), site, str(nth + 1), str(seconds), "bare" if bare else "book"]
        program = [sys.executable, __file__, *told]
        running.append(subprocess.Popen(program, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True))
    for each in running:
        if each.stdout:
            each.stdout.readline()
    return running


def acts_a_second(chain: Chain, sites: Sequence[str], seconds: float, *, bare: bool) -> float:
    """How many acts a second all writers record together. Each is counted in the ledgers, none twice."""
    running = begun(chain, sites, seconds, bare=bare)
    for each in running:
        if each.stdin:
            each.stdin.write("\n")
            each.stdin.flush()
    said = sum(int(each.communicate()[0]) for each in running)
    recorded = 0
    for site in sites:
        with Book.open(place_of(chain.named(site)), Clock().now, random.Random(1), rows_of=rows_of) as book:
            recorded += book.head().sequence
            if faults := [] if bare else book.verify(processes=1):
                print(f"{site}: {faults[0]}")
                raise SystemExit(1)
    if recorded != said:
        print(f"{said} acts were acknowledged, and {recorded} are recorded")
        raise SystemExit(1)
    return said / seconds


def sites_met(chain: Chain, seconds: float) -> bool:
    """Print how much more eight sites record than one, with as many connections, and what the machine lets by hand."""
    gains = {}
    for name, bare in (("book", False), ("hand", True)):
        one, eight = f"ONE-{name.upper()}", [f"{name.upper()}-{nth}" for nth in range(1, SITES + 1)]
        for site in (one, *eight):
            chain.new(site).close()
        alone = acts_a_second(chain, [one], seconds, bare=bare)
        together = acts_a_second(chain, eight, seconds, bare=bare)
        gains[name] = together / alone
        print(f"{WRITERS} writers through the {name}: {alone:.0f} acts a second at one site, {together:.0f} at {SITES}")
    floor = min(SITES_FLOOR, 0.9 * gains["hand"])
    print(f"eight sites / one: book {gains['book']:.2f}, by hand {gains['hand']:.2f}; floor {floor:.2f}", end="")
    print(" (none lost, none doubled)")
    return gains["book"] >= floor


def look_up_met(chain: Chain, jobs: int) -> bool:
    """Print how long a look-up takes in one of forty sites, by hand, and in a site with a thousand jobs."""
    sites = [f"MANY-{nth}" for nth in range(1, MANY_SITES + 1)]
    chain.new("SMALL").close()
    small = timed(chain, "SMALL", 1000)
    for site in sites:
        chain.new(site).close()
    with chain.bare() as owner:
        for site in sites[1:]:
            owner.execute(FILL.replace("$1", "%s").replace("$2", "%s"), (site, site, jobs))
        owner.execute("analyze chain.jobs")
    large = timed(chain, sites[0], jobs)
    met = True
    for what in ("label", "day"):
        ratio = large[f"{what} by book"] / large[f"{what} by hand"]
        growth = large[f"{what} by book"] / small[f"{what} by book"]
        met &= ratio <= LOOK_UP_LIMIT and growth <= GROWTH_LIMIT
        print(f"{what} at {MANY_SITES} sites of {jobs} jobs: {large[f'{what} by book'] * 1e3:.2f} ms; ", end="")
        print(f"book / hand {ratio:.2f}, limit {LOOK_UP_LIMIT}; / at 1,000 jobs {growth:.2f}, limit {GROWTH_LIMIT}")
    return met


def timed(chain: Chain, site: str, jobs: int) -> dict[str, float]:
    """The median seconds of a label and of a day's re-checks, through the book and by hand, in turns."""
    with chain.bare() as bare, Book.open(place_of(chain.named(site)), Clock().now, random.Random(1)) as book:
        bare.execute(FILL.replace("$1", "%s").replace("$2", "%s"), (site, site, jobs))
        bare.execute("analyze chain.jobs")
        columns = ", ".join(f'"{column}"' for column in JobRow._fields)
        asked = f"select {columns} from chain.jobs where site = %s and "  # noqa: S608 the record's own fields
        due = "rechecked_on is null and handed_over_on is not null and due_on between %s and %s order by due_on, job"
        times: dict[str, list[float]] = {}
        for nth in range(LOOKS):
            token, day = f"{site.lower()}{nth * 7 % jobs + 1}", f"2029-01-{nth % 28 + 1:02d}"
            ways: dict[str, Callable[[], object]] = {
                "label by book": lambda token=token: queries.job_by_token(book, token),  # type: ignore[misc]
                "label by hand": lambda token=token: bare.execute(f"{asked}token = %s", (site, token)).fetchall(),  # type: ignore[misc]
                "day by book": lambda day=day: queries.due_between(book, day, day),  # type: ignore[misc]
                "day by hand": lambda day=day: bare.execute(asked + due, (site, day, day)).fetchall(),  # type: ignore[misc]
            }
            for name, way in ways.items():
                start = time.perf_counter()
                way()
                times.setdefault(name, []).append(time.perf_counter() - start)
    return {name: statistics.median(of[LOOKS // 5 :]) for name, of in times.items()}


def main() -> int:
    """1 when anything lies on the wrong side of its limit."""
    if sys.argv[1:2] == ["--write"]:
        _, _, address, site, name, seconds, how = sys.argv
        write(address, site, name, float(seconds), bare=how == "bare")
        return 0
    told = argparse.ArgumentParser(description=__doc__)
    told.add_argument("address")
    told.add_argument("--seconds", type=float, default=60)
    told.add_argument("--jobs", type=int, default=25_000)
    wanted = told.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        chain = Chain(wanted.address, Path(folder))
        met = [append_met(chain), sites_met(chain, wanted.seconds), look_up_met(chain, wanted.jobs)]
    return int(not all(met))


if __name__ == "__main__":
    sys.exit(main())
