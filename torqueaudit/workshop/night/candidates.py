"""Which jobs may have a stop standing: one too many costs time, and one too few is what must not happen.

They are judged by the rules that the record asks, so the two never say different things.
"""

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from torqueaudit.book import queries, vehicle_queries
from torqueaudit.ledger.entry import stamp
from torqueaudit.workshop.night.desk import Desk
from torqueaudit.workshop.vehicles.present import live_jobs
from torqueaudit.workshop.wrenches.uses import doubtful_uses, uses_since_good

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry
    from torqueaudit.workshop.door.workshop import Workshop


def candidates(desk: Desk) -> Iterator[int]:
    """Everything of which something is left on a full night; else what stopped then, and what was touched since."""
    if desk.full:
        for vehicle in vehicle_queries.vehicles_away(desk.book, stamp(desk.end)):
            yield from (row.job for row in live_jobs(desk.workshop, vehicle))
    else:
        yield from _touched(desk.workshop, desk.since or ())
    yield from desk.before.jobs if desk.before else ()  # also of a vehicle that is gone since


def _touched(workshop: "Workshop", since: "Iterable[Entry]") -> Iterator[int]:
    """The jobs on which what was recorded since may have left a stop, whatever hour it was told for."""
    since = list(since)
    for vehicle in vehicles_told_of(workshop, since):
        yield from (row.job for row in live_jobs(workshop, vehicle))
    yield from jobs_of_wrenches(workshop, since)


def vehicles_told_of(workshop: "Workshop", since: "Iterable[Entry]") -> Iterable[str]:
    """The vehicles of which entries tell, by themselves or by one of their jobs, each once."""
    vehicles: dict[str, None] = {}
    for entry in since:
        noun, _, key = entry.subject.partition("/")
        if noun == "vehicle":
            vehicles[key] = None
        elif noun == "job" and (row := queries.job_row(workshop.book, int(key))):
            vehicles[row.vehicle or ""] = None
    return vehicles


def jobs_of_wrenches(workshop: "Workshop", since: "Iterable[Entry]") -> Iterator[int]:
    """The jobs that what entries tell of a wrench may put in doubt, or put right."""
    numbers = (entry.subject.partition("/")[2] for entry in since if entry.subject.startswith("wrench/"))
    for number in dict.fromkeys(numbers):
        if wrench := workshop.wrench(number):
            yield from (use.job for use in uses_since_good(workshop, wrench))
            yield from (use.job for use in doubtful_uses(workshop, wrench))
