"""Questions across jobs and of the register, each answered from a list through an index.

Dates are ISO 8601 texts and compare as such. The SQL is what every engine understands: decision 0059.
"""

from collections.abc import Iterable, Sequence
from typing import NamedTuple, TypeVar

from torqueaudit.book.book import Book
from torqueaudit.book.engine import ALL
from torqueaudit.book.lists.records import (
    Attention,
    ConcessionRow,
    Counts,
    JobRow,
    Need,
    PersonRow,
    ProcedureRow,
    RecheckDone,
    VehicleRow,
    WrenchRow,
)

_Row = TypeVar("_Row", bound=NamedTuple)


def job_by_token(book: Book, token: str) -> JobRow | None:
    """The job whose label carries this token, in upper or lower case as it was printed."""
    return next(iter(_rows_of(book, JobRow, "jobs", "token = ?", token)), None)


def job_row(book: Book, job: int) -> JobRow | None:
    """One job as the list holds it."""
    return next(iter(_rows_of(book, JobRow, "jobs", "job = ?", job)), None)


def jobs_list(book: Book, limit: int = -1, before: int = ALL) -> list[JobRow]:
    """Every job whose number lies below `before`, the newest first; at most `limit` of them unless negative."""
    return _rows_of(book, JobRow, "jobs", "job < ? order by job desc limit ?", before, limit if limit >= 0 else ALL)


def jobs_of_vehicle(book: Book, vehicle: str) -> list[JobRow]:
    """A vehicle's jobs, the oldest first."""
    return _rows_of(book, JobRow, "jobs", "vehicle = ? order by job", vehicle)


def jobs_of_day(book: Book, day: tuple[str, str], limit: int) -> list[JobRow]:
    """Jobs opened or handed over between the two UTC stamps between which a local day lies, the newest first."""
    own = "select {} from jobs where {} >= ? and {} < ?"
    either = " union ".join(own.format("job", *(column,) * 2) for column in ("opened_on", "handed_over_on"))
    where = f"job in ({either}) order by job desc limit ?"
    return _rows_of(book, JobRow, "jobs", where, *day, *day, limit)


def tags_of(book: Book, vehicles: Sequence[str]) -> dict[str, str]:
    """The workshop's tags of some vehicles, by their numbers."""
    if not vehicles:
        return {}
    asked = f"select vehicle, tag from vehicles where subject in ({', '.join('?' * len(vehicles))})"
    return {vehicle: tag or "" for vehicle, tag in book.rows(asked, *(f"vehicle/{each}" for each in vehicles))}


def jobs_among(book: Book, jobs: Sequence[str]) -> list[JobRow]:
    """Some jobs as the list holds them, by number."""
    if not jobs:
        return []
    where = f"subject in ({', '.join('?' * len(jobs))}) order by job"
    return _rows_of(book, JobRow, "jobs", where, *(f"job/{each}" for each in jobs))


def open_jobs(book: Book) -> list[JobRow]:
    """Jobs open, or released and not handed over, the one that was worked on last first."""
    where = "(state = 'open' or state = 'released') order by last_recorded desc, job desc"
    return _rows_of(book, JobRow, "jobs", where)


def open_untouched(book: Book, before: str) -> list[JobRow]:
    """Jobs open, or released and not handed over, on which nothing was recorded since `before`."""
    where = "(state = 'open' or state = 'released') and last_recorded < ? order by last_recorded, job"
    return _rows_of(book, JobRow, "jobs", where, before)


def due_between(book: Book, first: str, last: str) -> list[JobRow]:
    """Jobs on the road whose re-check is due from `first` to `last`, both included, and not yet done."""
    where = "rechecked_on is null and handed_over_on is not null and due_on between ? and ? order by due_on, job"
    return _rows_of(book, JobRow, "jobs", where, first, last)


def due_by_instrument(book: Book) -> list[JobRow]:
    """Jobs on the road with a re-check not yet done and due at a distance, or at running hours, whatever it has run."""
    by = "(due_distance_m is not null or due_min is not null)"
    where = f"rechecked_on is null and handed_over_on is not null and {by} order by job"
    return _rows_of(book, JobRow, "jobs", where)


def rechecks_arranged(book: Book, arranged: str) -> list[JobRow]:
    """Jobs whose re-check is not done and was postponed, refused or referred, as asked for."""
    return _rows_of(book, JobRow, "jobs", "arranged = ? order by job", arranged)


def to_be_reminded(book: Book, first: str, vehicle: str = "") -> list[tuple[str, str]]:
    """Each vehicle whose owner may be reminded, or one of them, with its newest job whose re-check is not yet done.

    It is due from `first` on, or by what its instrument shows alone.
    """
    own = "and waiting.vehicle = ?2" if vehicle else ""
    asked = f"""
        select waiting.vehicle, max(waiting.job) from jobs waiting
        join (select distinct subject from personal where field in ('mail', 'mobile') and value <> '') known
        on known.subject = 'vehicle/' || waiting.vehicle
        where waiting.rechecked_on is null and waiting.handed_over_on is not null and waiting.withdrawn = 0
        and (waiting.due_on >= ?1
            or (waiting.due_on is null and (waiting.due_distance_m is not null or waiting.due_min is not null))) {own}
        group by waiting.vehicle order by length(waiting.vehicle), waiting.vehicle
    """
    found = book.rows(asked, first, vehicle) if vehicle else book.rows(asked, first)
    return [(str(vehicle), str(job)) for vehicle, job in found]


def waiting_for_check(book: Book) -> list[JobRow]:
    """Jobs with something that nobody has independently checked."""
    return _rows_of(book, JobRow, "jobs", "unchecked > 0 order by job")


def attention(book: Book, reason: str | None = None) -> list[Attention]:
    """Jobs that stand out, by reason; all of them, or those of one reason."""
    if reason is None:
        return _rows_of(book, Attention, "attention", "true order by reason, job")
    return _rows_of(book, Attention, "attention", "reason = ? order by job", reason)


def jobs_needing(book: Book, plugins: Iterable[str]) -> list[Need]:
    """The jobs whose procedure needs one of these plugins."""
    return [
        need for name in sorted(set(plugins)) for need in _rows_of(book, Need, "needs", "plugin = ? order by job", name)
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
    return _rows_of(book, ConcessionRow, "concessions", where, start, end)


def concessions_expiring(book: Book, before: str) -> list[ConcessionRow]:
    """The concessions whose last day lies before `before`."""
    return _rows_of(book, ConcessionRow, "concessions", "expires_on < ? order by expires_on, job", before)


def wrenches(book: Book) -> list[WrenchRow]:
    """Every wrench."""
    return _rows_of(book, WrenchRow, "wrenches", "true order by wrench")


def people(book: Book) -> list[PersonRow]:
    """Every person."""
    return _rows_of(book, PersonRow, "people", "true order by person")


def vehicles(book: Book) -> list[VehicleRow]:
    """Every vehicle."""
    return _rows_of(book, VehicleRow, "vehicles", "true order by vehicle")


def procedures(book: Book, name: str | None = None) -> list[ProcedureRow]:
    """Every procedure revision in the order they were entered, or those of one name."""
    if name is None:
        return _rows_of(book, ProcedureRow, "procedures", "true order by name, rowid")
    return _rows_of(book, ProcedureRow, "procedures", "name = ? order by rowid", name)


def counts(book: Book) -> Counts:
    """How much the book holds."""
    jobs, vehicles = book.rows("select (select count(*) from jobs), (select count(*) from vehicles)")[0]
    return Counts(book.head().sequence, jobs, vehicles)


def rechecks_done(book: Book, first: str, last: str) -> list[RecheckDone]:
    """The re-checks that were done and due from one day to another, both included."""
    return _rows_of(book, RecheckDone, "rechecks_done", "due_on between ? and ? order by due_on", first, last)


def marks_disturbed(book: Book, since: str, until: str) -> list[str]:
    """The position of each mark that was found disturbed between two moments (UTC)."""
    asked = "select position from marks_disturbed where happened_at between ? and ?"
    return [position for (position,) in book.rows(asked, since, until)]


def signed_between(book: Book, start: str, end: str) -> list[int]:
    """The jobs of which something was checked, released or handed over, or one of these struck.

    What counts is that it was recorded from `start` to before `end`: the UTC stamps between which local days lie.
    """
    asked = "select distinct job from sign_offs where recorded_at >= ? and recorded_at < ? order by job"
    return [job for (job,) in book.rows(asked, start, end)]


def _rows_of(book: Book, kind: type[_Row], table: str, where: str, *values: str | int) -> list[_Row]:
    """The rows of a list as records; the record's fields are the columns asked for."""
    columns = ", ".join(f'"{column}"' for column in kind._fields)
    asked = f"select {columns} from {table} where {where}"
    return [kind(*row) for row in book.rows(asked, *values)]
