"""Questions across jobs, each answered from a list through an index. Dates are ISO 8601 texts and compare as such.

The SQL is what every engine understands: decision 0059.
"""

from collections.abc import Iterable
from typing import NamedTuple, TypeVar

from torqueaudit.book.book import Book
from torqueaudit.book.lists.records import (
    Attention,
    ConcessionRow,
    Counts,
    FastenerEvent,
    JobRow,
    MeasurementRow,
    Need,
    Odometer,
    PartRow,
    PersonRow,
    ProcedureRow,
    VehicleRow,
    WrenchRow,
    WrenchUseRow,
)

_Row = TypeVar("_Row", bound=NamedTuple)


def job_by_token(book: Book, token: str) -> JobRow | None:
    """The job whose label carries this token, in upper or lower case as it was printed."""
    return next(iter(_asked(book, JobRow, "jobs", "token = ?", token)), None)


def job_row(book: Book, job: int) -> JobRow | None:
    """One job as the list holds it."""
    return next(iter(_asked(book, JobRow, "jobs", "job = ?", job)), None)


def jobs_list(book: Book, limit: int = -1) -> list[JobRow]:
    """Every job, the newest first; at most `limit` of them unless negative."""
    if limit < 0:
        return _asked(book, JobRow, "jobs", "true order by job desc")
    return _asked(book, JobRow, "jobs", "true order by job desc limit ?", limit)


def jobs_of_vehicle(book: Book, vehicle: str) -> list[JobRow]:
    """A vehicle's jobs, the oldest first."""
    return _asked(book, JobRow, "jobs", "vehicle = ? order by job", vehicle)


def open_untouched(book: Book, before: str) -> list[JobRow]:
    """Jobs open, or released and not handed over, on which nothing was recorded since `before`."""
    where = "(state = 'open' or state = 'released') and last_recorded < ? order by last_recorded, job"
    return _asked(book, JobRow, "jobs", where, before)


def due_between(book: Book, first: str, last: str) -> list[JobRow]:
    """Jobs on the road whose re-check is due from `first` to `last`, both included, and not yet done."""
    where = "rechecked_on is null and handed_over_on is not null and due_on between ? and ? order by due_on, job"
    return _asked(book, JobRow, "jobs", where, first, last)


def due_by_distance(book: Book) -> list[JobRow]:
    """Jobs on the road with a re-check not yet done and due at a distance, whatever the vehicle has run since."""
    where = "rechecked_on is null and handed_over_on is not null and due_distance_m is not null order by job"
    return _asked(book, JobRow, "jobs", where)


def waiting_for_check(book: Book) -> list[JobRow]:
    """Jobs with something that nobody has independently checked."""
    return _asked(book, JobRow, "jobs", "unchecked > 0 order by job")


def attention(book: Book, reason: str | None = None) -> list[Attention]:
    """Jobs that stand out, by reason; all of them, or those of one reason."""
    if reason is None:
        return _asked(book, Attention, "attention", "true order by reason, job")
    return _asked(book, Attention, "attention", "reason = ? order by job", reason)


def jobs_needing(book: Book, plugins: Iterable[str]) -> list[Need]:
    """The jobs whose procedure needs one of these plugins."""
    return [
        need for name in sorted(set(plugins)) for need in _asked(book, Need, "needs", "plugin = ? order by job", name)
    ]


def needed_plugins(book: Book) -> list[str]:
    """Every plugin that some job's procedure needs."""
    return [name for (name,) in book.rows("select distinct plugin from needs order by plugin")]


def later_events(book: Book, vehicle: str, since: str = "") -> list[FastenerEvent]:
    """What happened to a vehicle's fasteners at or after `since` (UTC), by position and then time."""
    where = "vehicle = ? and happened_at >= ? order by position, happened_at, entry"
    return _asked(book, FastenerEvent, "fastener_events", where, vehicle, since)


def wrench_uses(book: Book, wrench: str, since: str = "", until: str = "~") -> list[WrenchUseRow]:
    """Every pass of a wrench at or after `since` and before `until` (UTC), in order, withdrawn jobs left out."""
    where = "wrench = ? and happened_at >= ? and happened_at < ? order by happened_at, entry"
    return _asked(book, WrenchUseRow, "fastener_events", where, wrench, since, until)


def wrench_cycles(book: Book, wrench: str, since: str = "", until: str = "~") -> int:
    """How many passes `wrench_uses` would list, counted through the index."""
    asked = "select count(*) from fastener_events where wrench = ? and happened_at >= ? and happened_at < ?"
    return int(book.rows(asked, wrench, since, until)[0][0])


def reported_loose(book: Book) -> list[int]:
    """The jobs whose fastener somebody reported as undone outside any job, and that nobody has tightened since."""
    asked = """
        select distinct (
            select max(before.job) from fastener_events before
            where before.vehicle = report.vehicle and before.position = report.position
            and before.kind = 'tightened' and before.happened_at <= report.happened_at
        ) as job
        from fastener_events report
        where report.job is null and not exists (
            select 1 from fastener_events later
            where later.vehicle = report.vehicle and later.position = report.position
            and later.kind = 'tightened' and later.happened_at > report.happened_at
        )
        order by job
    """
    return [job for (job,) in book.rows(asked) if job is not None]


def newest_odometer(book: Book, vehicle: str) -> Odometer | None:
    """The last distance read off a vehicle."""
    where = "vehicle = ? order by happened_at desc, entry desc limit 1"
    return next(iter(_asked(book, Odometer, "odometer", where, vehicle)), None)


def odometers_of(book: Book, vehicle: str) -> list[Odometer]:
    """Every distance read off a vehicle, in the order it was read."""
    return _asked(book, Odometer, "odometer", "vehicle = ? order by happened_at, entry", vehicle)


def measured_on(book: Book, vehicle: str) -> list[MeasurementRow]:
    """Every value measured on a vehicle, in the order of the work."""
    return _asked(book, MeasurementRow, "measurements", "vehicle = ? order by happened_at, entry", vehicle)


def fitted_to(book: Book, vehicle: str) -> list[PartRow]:
    """Every part fitted to a vehicle, in the order of the work."""
    return _asked(book, PartRow, "parts", "vehicle = ? order by happened_at, entry", vehicle)


def jobs_following(book: Book, job: int, vehicle: str) -> list[int]:
    """The jobs on the same vehicle that follow one, the oldest first; withdrawn ones are left out."""
    asked = "select job from jobs where follows = ? and vehicle = ? and withdrawn = 0 order by job"
    return [number for (number,) in book.rows(asked, job, vehicle)]


def concessions_of_day(book: Book, start: str, end: str) -> list[ConcessionRow]:
    """The concessions granted from `start` to before `end`: the UTC stamps between which a local day lies."""
    where = "granted_on >= ? and granted_on < ? order by job, entry"
    return _asked(book, ConcessionRow, "concessions", where, start, end)


def concessions_expiring(book: Book, before: str) -> list[ConcessionRow]:
    """The concessions whose last day lies before `before`."""
    return _asked(book, ConcessionRow, "concessions", "expires_on < ? order by expires_on, job", before)


def wrenches(book: Book) -> list[WrenchRow]:
    """Every wrench."""
    return _asked(book, WrenchRow, "wrenches", "true order by wrench")


def people(book: Book) -> list[PersonRow]:
    """Every person."""
    return _asked(book, PersonRow, "people", "true order by person")


def vehicles(book: Book) -> list[VehicleRow]:
    """Every vehicle."""
    return _asked(book, VehicleRow, "vehicles", "true order by vehicle")


def procedures(book: Book, name: str | None = None) -> list[ProcedureRow]:
    """Every procedure revision in the order they were entered, or those of one name."""
    if name is None:
        return _asked(book, ProcedureRow, "procedures", "true order by name, rowid")
    return _asked(book, ProcedureRow, "procedures", "name = ? order by rowid", name)


def counts(book: Book) -> Counts:
    """How much the book holds."""
    jobs, vehicles = book.rows("select (select count(*) from jobs), (select count(*) from vehicles)")[0]
    return Counts(book.head().sequence, jobs, vehicles)


def _asked(book: Book, kind: type[_Row], table: str, where: str, *values: str | int) -> list[_Row]:
    """The rows of a list as records; the record's fields are the columns asked for."""
    columns = ", ".join(f'"{column}"' for column in kind._fields)
    asked = f"select {columns} from {table} where {where}"
    return [kind(*row) for row in book.rows(asked, *values)]
