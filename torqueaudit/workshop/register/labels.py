"""Finding a job by what stands on its label, and what can go wrong with the book meanwhile."""

from typing import TYPE_CHECKING

from torqueaudit.book.errors import BookError
from torqueaudit.book.queries import job_by_token, job_row, jobs_of_vehicle
from torqueaudit.model.register.token import TokenError, read_token
from torqueaudit.model.shown.label import PERSON, WRENCH
from torqueaudit.read.number import read_person_number

if TYPE_CHECKING:
    from torqueaudit.book.lists.records import JobRow
    from torqueaudit.model.job.record import JobRecord
    from torqueaudit.workshop.door.workshop import Workshop

__all__ = ["BookError", "job_of_token", "record_of", "replaced_by", "vehicle_of"]


def job_of_token(workshop: "Workshop", token: str) -> str | None:
    """Give the number of the job whose label carries this token (as `read_token` gives it); None when none does."""
    row = job_by_token(workshop.book, token)
    return None if row is None else str(row.job)


def vehicle_of(workshop: "Workshop", number: str) -> str:
    """Give the vehicle of a job; "" where the list has none."""
    row = job_row(workshop.book, int(number))
    return (row and row.vehicle) or ""


def replaced_by(workshop: "Workshop", number: str) -> list[str]:
    """Give the earlier jobs whose labels a job replaces: the one it follows, and those by the same work.

    A job of some fasteners alone leaves the others as they were, so it replaces no label but of one that has no others.
    """
    mine, of = job_row(workshop.book, int(number)), workshop.record(number)
    earlier = jobs_of_vehicle(workshop.book, mine.vehicle) if mine and mine.vehicle else []
    return [
        str(row.job)
        for row in sorted(earlier, key=lambda row: row.job)
        if mine and row.job < mine.job and not row.withdrawn and _replaces(workshop, of, row, mine.title)
    ]


def _replaces(workshop: "Workshop", of: "JobRecord", row: "JobRow", title: str | None) -> bool:
    if of.only:
        only = workshop.record(str(row.job)).only if row.procedure == of.digest else ()
        return bool(only) and set(only) <= set(of.only)
    return str(row.job) == of.follows or row.title == title or row.procedure == of.digest


def record_of(workshop: "Workshop", way: str, key: str) -> str | None:
    """Give the number that a label's way and key lead to (`record_key`), of a job, a wrench or a person; else None."""
    if way == WRENCH:
        return key.upper() if workshop.wrench(key.upper()) else None
    if way == PERSON:
        return number if workshop.person(number := read_person_number(key)) else None
    try:
        return job_of_token(workshop, read_token(key))
    except TokenError:
        return None
