"""Which procedures hold for a vehicle, for whoever opens a job on it."""

from typing import TYPE_CHECKING

from torqueaudit.book import queries
from torqueaudit.model.judged.validity import why_outside

if TYPE_CHECKING:
    from torqueaudit.book.lists.records import ProcedureRow
    from torqueaudit.workshop.door.workshop import Workshop

LOOKED_BACK = 200  # of the newest jobs, for what was used last


def procedures_for(workshop: "Workshop", number: str) -> "list[ProcedureRow]":
    """The newest edition of each procedure whose sources hold for a vehicle, those used last first.

    Frame numbers are left out: they are looked at when the job is opened. Raises Refused for an unknown vehicle.
    """
    vehicle = workshop.vehicle(number)
    newest = {row.name: row for row in queries.procedures(workshop.book)}
    fitting = [
        row for row in newest.values() if not why_outside(workshop.procedure(row.digest).procedure, vehicle, frame=None)
    ]
    used = {row.title: nth for nth, row in reversed(list(enumerate(queries.jobs_list(workshop.book, LOOKED_BACK))))}
    return sorted(fitting, key=lambda row: (used.get(row.title, LOOKED_BACK), row.title or ""))
