"""A program that writes acts without pause, says each that is recorded, and is killed: by itself in the middle of one.

    python killed.py ADDRESS LAST

In the act LAST it dies when the entries and the personal data are written and the lists are not.
"""

import os
import random
import signal
import sys
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from itertools import count

from torqueaudit.book.address import place_of
from torqueaudit.book.book import Book
from torqueaudit.ledger.entry import Act, Draft, Entry, act_digest

NOON = datetime(2031, 4, 2, 12, tzinfo=UTC)


def rows_of(subject: str, entries: Sequence[Entry]) -> Mapping[str, Sequence[Mapping[str, str | int | None]]]:
    """How many entries a job has."""
    if not subject.startswith("job/"):
        return {}
    return {"jobs": [{"job": int(subject.partition("/")[2]), "unchecked": len(entries)}]}


def act(number: int) -> Act:
    """One of the acts."""
    return Act(f"K-{number}", act_digest("note", "P-3", "job/1", {"act": number}))


def record(book: Book, number: int) -> None:
    """Two entries on one job, one on another, and one that tells a name."""
    drafts = [
        Draft(subject=subject, kind="noted.1", happened_at=NOON, who="P-3", said={"act": number})
        for subject in ("job/1", "job/1", "job/2", "person/P-3")
    ]
    book.append(act(number), drafts, {}, personal={"person/P-3": {"name": f"Sample {number}"}})


def main(address: str, last: int) -> None:
    """Write until killed."""

    def rows_or_death(subject: str, entries: Sequence[Entry]) -> Mapping[str, Sequence[Mapping[str, str | int | None]]]:
        if entries[-1].said["act"] == last:
            os.kill(os.getpid(), signal.SIGKILL)
        return rows_of(subject, entries)

    with Book.open(place_of(address), lambda: NOON, random.Random(1), rows_of=rows_or_death) as book:
        for number in count():
            record(book, number)
            print(number, flush=True)  # noqa: T201 the test reads it


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]))
