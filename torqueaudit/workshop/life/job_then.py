"""A job as it stood at any entry of the record: by the same judge, from a book that ends there."""

from typing import TYPE_CHECKING

from torqueaudit.model.act import Refused
from torqueaudit.model.shown.course import JobThen
from torqueaudit.workshop.door.then import as_it_stood, last_entry
from torqueaudit.workshop.judged.job_view import headed, look_at
from torqueaudit.workshop.life.course import course_of
from torqueaudit.workshop.vehicles.present import vehicle_view

if TYPE_CHECKING:
    from collections.abc import Sequence

    from torqueaudit.ledger.entry import Entry
    from torqueaudit.workshop.door.workshop import Workshop


def show_job_then(workshop: "Workshop", number: str, entry: int) -> JobThen:
    """A job as it stood at an entry, with its course up to there; nothing comes next on a job of the past.

    What was struck since is told beside it. Raises Refused where there is no such job or entry, and where the job was
    opened later.
    """
    record = workshop.record(number)
    vehicle = record.vehicle
    entries = workshop.book.entries(f"job/{number}")
    workshop.book.tell_head()  # before anybody sees an earlier one
    with as_it_stood(workshop, vehicle, entry) as then:
        if entries[0].sequence > entry:
            opened = entries[0].sequence
            raise Refused(f"job {number} was opened later, in entry {opened}; give that one or a later one")
        look = look_at(then, number)
        known = then.book.entries(f"job/{number}")
        before, after = _beside(entries, entry)
        return JobThen(
            job=headed(then, look.view)._replace(to_do=()),
            vehicle=vehicle_view(then, vehicle),
            entry=entry,
            recorded=then.clock().astimezone(look.around.settings.timezone),
            newest=last_entry(workshop),
            before=before,
            after=after,
            course=course_of(look.job, look.around, known, record.strikes),
        )


def last_act_of(workshop: "Workshop", number: str) -> int:
    """The entry with which the newest act on a job ended. Raises Refused where there is no such job."""
    return workshop.record(number).last.entry


def _beside(entries: "Sequence[Entry]", entry: int) -> tuple[int | None, int | None]:
    """The ends of a job's acts before the one that had ended at an entry, and after it."""
    ends = {each.act: each.sequence for each in entries}.values()
    shown = max(end for end in (entries[0].sequence, *ends) if end <= entry)
    before, after = [end for end in ends if end < shown], [end for end in ends if end > entry]
    return max(before, default=None), min(after, default=None)
