"""The rows that each subject's entries give to the cross-job lists: facts and judged-then values, nothing of today."""

from collections.abc import Callable, Sequence

from torqueaudit.book.lists.job import job_rows
from torqueaudit.book.lists.upkeep import Rows
from torqueaudit.book.lists.vehicle import vehicle_rows
from torqueaudit.ledger.entry import Entry
from torqueaudit.model.job.record import fold_record
from torqueaudit.model.procedure.in_book import fold_procedure
from torqueaudit.model.register.devices import DEVICE, fold_device
from torqueaudit.model.register.nights import NIGHTS, told_nights
from torqueaudit.model.register.people import fold_person
from torqueaudit.model.register.programs import PROGRAM, fold_program
from torqueaudit.model.register.settings import told_settings
from torqueaudit.model.unread import NothingKnown, Unread
from torqueaudit.model.vehicle.vehicle import fold_vehicle
from torqueaudit.model.wrench.entries import fold_wrench


def rows_of(subject: str, entries: Sequence[Entry]) -> Rows:
    """Table name to rows for one subject, from those of its own entries that can be read and nothing else."""
    noun = subject.partition("/")[0]
    if not entries or noun not in WRITERS:
        return {}
    try:
        return WRITERS[noun](entries)
    except NothingKnown:
        return {}


def unread_of(subject: str, entries: Sequence[Entry]) -> tuple[Unread, ...]:
    """The entries of one subject that cannot be read and were not struck."""
    noun = subject.partition("/")[0]
    try:
        return FOLDS[noun](entries) if noun in FOLDS else ()
    except NothingKnown as error:
        return (error.unread,)


def _wrench_rows(entries: Sequence[Entry]) -> Rows:
    wrench = fold_wrench(entries)
    due_on = wrench.due.isoformat() if wrench.due else None
    state = "withdrawn" if wrench.withdrawn else "in use"
    return {"wrenches": [{"wrench": wrench.number, "state": state, "due_on": due_on}]}


def _person_rows(entries: Sequence[Entry]) -> Rows:
    person = fold_person(entries)
    return {"people": [{"person": person.number, "roles": person.role, "supervisor": person.supervisor}]}


def _procedure_rows(entries: Sequence[Entry]) -> Rows:
    fold_procedure(entries)
    entered = entries[0]
    reads = [entry for entry in entries if entry.what == "read"]
    plain = entered.judged["procedure"]
    return {
        "procedures": [
            {
                "digest": entered.key,
                "name": plain["name"],
                "title": plain["title"],
                "edition": plain["edition"],
                "read_by": reads[-1].who if reads else None,
                "read_on": reads[-1].happened_at if reads else None,
            }
        ]
    }


FOLDS: dict[str, Callable[[Sequence[Entry]], tuple[Unread, ...]]] = {
    "job": lambda entries: fold_record(entries).unread,
    "wrench": lambda entries: fold_wrench(entries).unread,
    "person": lambda entries: fold_person(entries).unread,
    "vehicle": lambda entries: fold_vehicle(entries).unread,
    "procedure": lambda entries: fold_procedure(entries).unread,
    "site": lambda entries: told_settings(entries)[1],
    DEVICE: lambda entries: fold_device(entries).unread,
    PROGRAM: lambda entries: fold_program(entries).unread,
    NIGHTS: lambda entries: told_nights(entries)[1],
}
WRITERS: dict[str, Callable[[Sequence[Entry]], Rows]] = {
    "job": job_rows,
    "wrench": _wrench_rows,
    "person": _person_rows,
    "vehicle": vehicle_rows,
    "procedure": _procedure_rows,
}
