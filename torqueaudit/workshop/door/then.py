"""A workshop as it stood at an entry of the record: a book that ends there, and a clock that stands there.

Whatever is worked out of it is judged by the rules of today, from what was known then. See decision 0123.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from torqueaudit.book import queries
from torqueaudit.ledger.entry import moment_of
from torqueaudit.model.act import Refused
from torqueaudit.workshop.door.workshop import Workshop

if TYPE_CHECKING:
    from datetime import datetime


@contextmanager
def as_it_stood(workshop: Workshop, vehicle: str, entry: int) -> Iterator[Workshop]:
    """The workshop as it stood at an entry, for whoever asks about one vehicle and its jobs.

    Nothing is recorded in it. Raises Refused where the record has no such entry.
    """
    moment = moment_at(workshop, entry)
    jobs = (f"job/{row.job}" for row in queries.jobs_of_vehicle(workshop.book, vehicle))
    with workshop.book.then(entry, [f"vehicle/{vehicle}", *jobs]) as book:
        yield Workshop(book, workshop.plugins, lambda: moment, workshop.chance)


def moment_at(workshop: Workshop, entry: int) -> "datetime":
    """When an entry was recorded (UTC). Raises Refused where the record has none of that number."""
    found = workshop.book.entry(entry) if entry else None
    if found is None:
        raise Refused(f"entry {entry}: the record has none of that number; its last one is {last_entry(workshop)}")
    return moment_of(found.recorded_at)


def last_entry(workshop: Workshop) -> int:
    """The number of the newest entry."""
    return workshop.book.head().sequence
