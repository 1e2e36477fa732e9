"""One of several programs that write a book at once: appends until the time is up and prints how many acts it did."""

import random
import sys
import time
from datetime import UTC, datetime

from torqueaudit.book.address import place_of
from torqueaudit.book.book import Book
from torqueaudit.book.errors import Moved
from torqueaudit.ledger.entry import Act, Draft, act_digest


def main(path: str, name: str, seconds: float) -> int:
    """One act at least; half of the others go to a subject that all write, so that some of them have to start over."""
    chance = random.Random(name)
    done = 0
    with Book.open(place_of(path), lambda: datetime.now(UTC), chance, rows_of=lambda _subject, _entries: {}) as book:
        end = time.monotonic() + seconds
        while not done or time.monotonic() < end:
            subject = "job/1" if done and chance.getrandbits(1) else f"job/{name}"
            act = Act(f"{name}-{done}", act_digest("note", "P-3", subject, {"act": done}))
            draft = Draft(subject=subject, kind="noted.1", happened_at=datetime.now(UTC), who="P-3", said={"act": done})
            try:
                book.append(act, [draft, draft], {subject: len(book.entries(subject))})
            except Moved:
                continue
            done += 1
    return done


if __name__ == "__main__":
    print(main(sys.argv[1], sys.argv[2], float(sys.argv[3])))  # noqa: T201 the test reads it
