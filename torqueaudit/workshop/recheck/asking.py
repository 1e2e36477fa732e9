"""A day asked for: the owner would like to come then. It is a wish, and moves no re-check."""

from datetime import date, timedelta
from typing import TYPE_CHECKING

from torqueaudit.ledger.entry import Draft, Entry
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.record import Job
from torqueaudit.model.job.road import Half
from torqueaudit.model.recheck.state import WAITING
from torqueaudit.model.register.permits import OWNER, ActName
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.jobs.job import live_record
from torqueaudit.workshop.judged.around import around_of
from torqueaudit.workshop.judged.job_view import recheck_of

if TYPE_CHECKING:
    from torqueaudit.workshop.door.workshop import Workshop

# Common practice, no source: how far ahead a day may be asked for where the re-check's own is past, or none is told.
LATE, NO_DAY = timedelta(days=7), timedelta(days=30)


def ask_day(workshop: "Workshop", job: str, on: date, half: Half, say: Say) -> list[Entry]:
    """Record the day on which the owner would like to come with the re-check.

    Raises Refused where no re-check is waited for, for a day that is past, and for one after the re-check's own: a wish
    may only bring it forward. A label, which may be anybody's, puts no day off that is noted already.
    """
    call = "; call the workshop" if say.by == OWNER else ""
    said = {"on": on.isoformat(), "half": half.value}

    def build(attempt: Attempt) -> list[Draft]:
        of = live_record(attempt, job)
        judged = Job(of, workshop.procedure_of(of))
        recheck = recheck_of(judged, around_of(workshop, judged))
        if recheck is None or recheck.standing.state not in WAITING:
            raise Refused(f"job {job} waits for no re-check, so no day is asked for{call}")
        today = workshop.local_day(attempt.happened_at)
        if on < today:
            raise Refused(f"{on} is past; ask for another day")
        if on > (last := last_day(recheck.due_on, today)):
            later = "if no such day suits, call the workshop" if call else "a foreman may put the re-check off"
            raise Refused(f"{on} is too late, ask for {last} or earlier; {later}")
        if attempt.say.by == OWNER and recheck.asked and on > recheck.asked.on:
            raise Refused("another day is noted already; to change it call us")
        return [attempt.draft(f"job/{job}", "day_asked.1", said)]

    return record(workshop, say, ActName.ASK_DAY, f"job/{job}", said, build)


def last_day(due_on: date | None, today: date) -> date:
    """The last day that may be asked for: that of the re-check; a week ahead where it is today or past."""
    if due_on is None:
        return today + NO_DAY
    return due_on if due_on > today else today + LATE
