"""Questions across jobs and of the register, each answered from a list through an index.

Dates are ISO 8601 texts and compare as such. The SQL is what every engine understands: decision 0059.
"""

from collections.abc import Iterable

from torqueaudit.book.book import Book
from torqueaudit.book.lists.records import (
    Attention,
    ConcessionRow,
    Counts,
    JobRow,
    Need,
    PersonRow,
    ProcedureRow,
    VehicleRow,
    WrenchRow,
)
from torqueaudit.book.vehicle_queries import rows_of


def job_by_token(book: Book, token: str) -> JobRow | None:
    """The job whose label carries this token, in upper or lower case as it was printed."""
    return next(iter(rows_of(book, JobRow, "jobs", "token = ?", token)), None)


def job_row(book: Book, job: int) -> JobRow | None:
    """One job as the list holds it."""
    return next(iter(rows_of(book, JobRow, "jobs", "job = ?", job)), None)


def jobs_list(book: Book, limit: int = -1) -> list[JobRow]:
    """Every job, the newest first; at most `limit` of them unless negative."""
    if limit < 0:
        return rows_of(book, JobRow, "jobs", "true order by job desc")
    return rows_of(book, JobRow, "jobs", "true order by job desc limit ?", limit)


def jobs_of_vehicle(book: Book, vehicle: str) -> list[JobRow]:
    """A vehicle's jobs, the oldest first."""
    return rows_of(book, JobRow, "jobs", "vehicle = ? order by job", vehicle)


def open_untouched(book: Book, before: str) -> list[JobRow]:
    """Jobs open, or released and not handed over, on which nothing was recorded since `before`."""
    where = "(state = 'open' or state = 'released') and last_recorded < ? order by last_recorded, job"
    return rows_of(book, JobRow, "jobs", where, before)


def due_between(book: Book, first: str, last: str) -> list[JobRow]:
    """Jobs on the road whose re-check is due from `first` to `last`, both included, and not yet done."""
    where = "rechecked_on is null and handed_over_on is not null and due_on between ? and ? order by due_on, job"
    return rows_of(book, JobRow, "jobs", where, first, last)


def due_by_distance(book: Book) -> list[JobRow]:
    """Jobs on the road with a re-check not yet done and due at a distance, whatever the vehicle has run since."""
    where = "rechecked_on is null and handed_over_on is not null and due_distance_m is not null order by job"
    return rows_of(book, JobRow, "jobs", where)


def waiting_for_check(book: Book) -> list[JobRow]:
    """Jobs with something that nobody has independently checked."""
    return rows_of(book, JobRow, "jobs", "unchecked > 0 order by job")


def attention(book: Book, reason: str | None = None) -> list[Attention]:
    """Jobs that stand out, by reason; all of them, or those of one reason."""
    if reason is None:
        return rows_of(book, Attention, "attention", "true order by reason, job")
    return rows_of(book, Attention, "attention", "reason = ? order by job", reason)


def jobs_needing(book: Book, plugins: Iterable[str]) -> list[Need]:
    """The jobs whose procedure needs one of these plugins."""
    return [
        need for name in sorted(set(plugins)) for need in rows_of(book, Need, "needs", "plugin = ? order by job", name)
    ]


def needed_plugins(book: Book) -> list[str]:
    """Every plugin that some job's procedure needs."""
    return [name for (name,) in book.rows("select distinct plugin from needs order by plugin")]


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


def concessions_of_day(book: Book, start: str, end: str) -> list[ConcessionRow]:
    """The concessions granted from `start` to before `end`: the UTC stamps between which a local day lies."""
    where = "granted_on >= ? and granted_on < ? order by job, entry"
    return rows_of(book, ConcessionRow, "concessions", where, start, end)


def concessions_expiring(book: Book, before: str) -> list[ConcessionRow]:
    """The concessions whose last day lies before `before`."""
    return rows_of(book, ConcessionRow, "concessions", "expires_on < ? order by expires_on, job", before)


def wrenches(book: Book) -> list[WrenchRow]:
    """Every wrench."""
    return rows_of(book, WrenchRow, "wrenches", "true order by wrench")


def people(book: Book) -> list[PersonRow]:
    """Every person."""
    return rows_of(book, PersonRow, "people", "true order by person")


def vehicles(book: Book) -> list[VehicleRow]:
    """Every vehicle."""
    return rows_of(book, VehicleRow, "vehicles", "true order by vehicle")


def procedures(book: Book, name: str | None = None) -> list[ProcedureRow]:
    """Every procedure revision in the order they were entered, or those of one name."""
    if name is None:
        return rows_of(book, ProcedureRow, "procedures", "true order by name, rowid")
    return rows_of(book, ProcedureRow, "procedures", "name = ? order by rowid", name)


def counts(book: Book) -> Counts:
    """How much the book holds."""
    jobs, vehicles = book.rows("select (select count(*) from jobs), (select count(*) from vehicles)")[0]
    return Counts(book.head().sequence, jobs, vehicles)
