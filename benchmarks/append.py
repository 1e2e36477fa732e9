"""How much slower is `Book.append` than SQL written by hand with the same durability, chain and lists?

All write the same facts into jobs of forty entries, with the hash chain and one list row in one transaction: through
the book; by hand into the book's own tables; and, for comparison, by hand into plain tables without triggers. The
disk's own time for a commit counts for all three, so the ratio is nearer to 1 on a slow disk.

And how long does an act wait beside a program that writes the same book without pause, on a busy machine?
"""

import hashlib
import json
import os
import random
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

from torqueaudit.book.book import Book
from torqueaudit.book.sqlite.connection import Connection, connect, set_journal
from torqueaudit.ledger.entry import Act, Draft, Entry, act_digest, stamp

FLOOR = 0.8
ACTS = 1200
ENTRIES_OF_A_JOB = 40
LIMIT = 0.25
ACTS_BESIDE = 400
BETWEEN = 0.02
TAPPED = 1_000_000
LOOPS = 2 * (os.cpu_count() or 2)
NOW = datetime(2031, 4, 2, 9, tzinfo=UTC)
SAID = {"position": "axle-nut", "wrench": "W-2", "setting": "98", "unit": "N·m", "outcome": "turned, then clicked"}
JUDGED = {"applied": "98.0", "uncertainty": "3.9", "verdict": "inside", "rule": "simple", "plugin": "built in 1"}
INTO_BOOK = "insert into ledger (position, document, hash) values (:sequence, :document, :hash)"
INTO_PLAIN = """insert into ledger values
    (:sequence, :document, :hash, :site, :sequence, :id, :subject, :number, :kind, :recorded_at)"""
PLAIN = """
create table ledger (position integer primary key, document text not null, hash text not null, site text not null,
    sequence integer not null, id text not null, subject text not null, number integer not null, kind text not null,
    recorded_at text not null) strict;
create unique index ledger_sequence on ledger (site, sequence);
create unique index ledger_id on ledger (id);
create unique index ledger_subject on ledger (site, subject, number);
create table jobs (subject text primary key, job integer, state text, last_recorded text) strict;
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


def subject_of(index: int) -> str:
    """The job that the act with this index belongs to."""
    return f"job/{index // ENTRIES_OF_A_JOB + 1}"


def through_the_book(book: Book, index: int, act: Act) -> None:
    """One act of one entry as workshop/ records it."""
    subject = subject_of(index)
    draft = Draft(subject=subject, kind="tightened.1", happened_at=NOW, who="P-3", said=SAID, judged=JUDGED)
    book.append(act, [draft], {subject: index % ENTRIES_OF_A_JOB})


def by_hand(connection: Connection, index: int, act: Act, insert: str) -> None:
    """The same fact, chained and listed, with the two look-ups no append can do without; nothing else is checked."""
    subject, moment = subject_of(index), stamp(NOW + timedelta(seconds=index))
    connection.execute("begin immediate")
    if connection.execute("select 1 from ledger where id = ?", (act.id,)).fetchone():
        raise ValueError(index)
    last = connection.execute("select sequence, hash from ledger order by position desc limit 1").fetchone()
    sequence, previous = (last[0] + 1, last[1]) if last else (1, "0" * 64)
    highest = "select coalesce(max(number), 0) + 1 from ledger where site = 'YARD' and subject = ?"
    number = connection.execute(highest, (subject,)).fetchone()[0]
    payload = {"act": {"digest": act.digest, "of": 1}, "said": SAID, "judged": JUDGED}
    fields = {"site": "YARD", "sequence": sequence, "id": act.id, "subject": subject, "number": number}
    fields |= {"kind": "tightened.1", "happened_at": moment, "recorded_at": moment, "who": "P-3"}
    fields |= {"payload": payload, "previous": previous}
    document = json.dumps(fields, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    row = {"document": document, "hash": hashlib.sha256(document.encode()).hexdigest(), **fields}
    connection.execute(insert, row)
    if number == 1:
        values = (subject, int(subject.partition("/")[2]), moment)
        connection.execute("insert into jobs (subject, job, state, last_recorded) values (?, ?, 'open', ?)", values)
    else:
        connection.execute("update jobs set last_recorded = ? where subject = ?", (moment, subject))
    connection.execute("commit")


def plain_tables(path: Path) -> Connection:
    """A file with hand-written tables, in the book's own journal mode and page cache."""
    path.touch()
    connection = connect(path, wait=30)
    set_journal(connection)
    connection.executescript(PLAIN)
    return connection


def measure(folder: Path) -> dict[str, list[float]]:
    """Seconds of each act, done in turns so that the disk's mood hits all alike."""
    Book.new(folder / "hand.book", "YARD", Clock().now, random.Random(1), rows_of=rows_of).close()
    plain, hand = plain_tables(folder / "plain.db"), connect(folder / "hand.book", wait=30)
    set_journal(hand)
    with Book.new(folder / "ours.book", "YARD", Clock().now, random.Random(1), rows_of=rows_of) as ours:
        ways: dict[str, Callable[[int, Act], None]] = {
            "book": lambda index, act: through_the_book(ours, index, act),
            "hand": lambda index, act: by_hand(hand, index, act, INTO_BOOK),
            "plain": lambda index, act: by_hand(plain, index, act, INTO_PLAIN),
        }
        times: dict[str, list[float]] = {name: [] for name in ways}
        for index in range(ACTS):
            act = Act(f"act-{index}", act_digest("tighten", "P-3", subject_of(index), SAID))
            for name, work in ways.items():
                start = time.perf_counter()
                work(index, act)
                times[name].append(time.perf_counter() - start)
    plain.close()
    hand.close()
    return times


@contextmanager
def programs(*arguments: str, count: int = 1) -> Iterator[None]:
    """So many Python programs, from when they are started until the block ends."""
    running = [subprocess.Popen([sys.executable, *arguments]) for _ in range(count)]
    try:
        yield
    finally:
        for program in running:
            program.kill()
        for program in running:
            program.wait()


def write_without_pause(path: Path) -> None:
    """The acts of an import that never rests, until the program is ended."""
    with Book.open(path, Clock().now, random.Random(2), rows_of=rows_of) as book:
        index = 0
        while True:
            through_the_book(book, index, Act(f"import-{index}", act_digest("tighten", "P-3", subject_of(index), SAID)))
            index += 1


def measure_beside(path: Path) -> tuple[list[float], int]:
    """Seconds of each act from the tap to the record, and how many acts the other program wrote meanwhile."""
    with (
        Book.new(path, "YARD", Clock().now, random.Random(1), rows_of=rows_of) as book,
        programs("-c", "while True: pass", count=LOOPS),
        programs(__file__, "--without-pause", str(path)),
    ):
        while book.head().sequence < ENTRIES_OF_A_JOB:
            time.sleep(BETWEEN)
        before, times = book.head().sequence, []
        for index in range(ACTS_BESIDE):
            time.sleep(BETWEEN)
            act = Act(f"tap-{index}", act_digest("tighten", "P-3", subject_of(index), SAID))
            draft = Draft(
                subject=f"job/{TAPPED + index // ENTRIES_OF_A_JOB}",
                kind="tightened.1",
                happened_at=NOW,
                who="P-3",
                said=SAID,
                judged=JUDGED,
            )
            start = time.perf_counter()
            book.append(act, [draft], {})
            times.append(time.perf_counter() - start)
        return times, book.head().sequence - before - ACTS_BESIDE


def ratio_met(folder: Path) -> bool:
    """Print how the book compares with SQL written by hand."""
    each = {name: statistics.mean(times) for name, times in measure(folder).items()}
    print("append, ms an act:", ", ".join(f"{name} {seconds * 1e3:.2f}" for name, seconds in each.items()))
    ratio = each["hand"] / each["book"]
    print(f"append: by hand into the same tables / book {ratio:.2f}, floor {FLOOR}; ", end="")
    print(f"into tables without triggers / book {each['plain'] / each['book']:.2f}")
    return ratio >= FLOOR


def limit_met(folder: Path) -> bool:
    """Print how long the acts waited beside the program that never rests."""
    times, others = measure_beside(folder / "beside.book")
    cuts = statistics.quantiles(times, n=100)
    print(
        f"append beside {LOOPS} busy loops and a program that wrote {others} acts meanwhile, {len(times)} acts: ",
        end="",
    )
    print(f"p50 {cuts[49] * 1e3:.0f} ms, p99 {cuts[98] * 1e3:.0f} ms, limit {LIMIT * 1e3:.0f} ms; ", end="")
    print(f"max {max(times) * 1e3:.0f} ms")
    return cuts[98] <= LIMIT


def main() -> int:
    """1 when the ratio lies below its floor or the wait above its limit."""
    if sys.argv[1:2] == ["--without-pause"]:
        write_without_pause(Path(sys.argv[2]))
    with tempfile.TemporaryDirectory(dir=sys.argv[1] if len(sys.argv) > 1 else None) as folder:
        met = [ratio_met(Path(folder)), limit_met(Path(folder))]
    return int(not all(met))


if __name__ == "__main__":
    sys.exit(main())
