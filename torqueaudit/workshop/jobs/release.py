"""The second person's look, the foreman's permission, release and hand-over."""

from collections.abc import Sequence
from datetime import datetime

from torqueaudit.ledger.entry import Draft
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.facts import plain_key
from torqueaudit.model.job.record import JobRecord
from torqueaudit.model.judged.sentences import Saying, together
from torqueaudit.model.recheck.due import due
from torqueaudit.model.register.distance import distance_text
from torqueaudit.model.register.permits import ActName
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.job import live_record
from torqueaudit.workshop.judged.review import judge, stops


class NotReleased(Refused):
    """A job on which stops stand; each is told."""

    def __init__(self, job: str, standing: Sequence[Saying]) -> None:
        super().__init__(f"job {job} cannot be released while {len(standing)} stop(s) stand:")
        self.standing = tuple(standing)

    def __str__(self) -> str:
        """The sentence, and each stop on a line of its own."""
        return "\n".join([self.says, *(f"  {each.says}" for each in self.standing)])


def release(workshop: Workshop, job: str, say: Say) -> None:
    """Record the permission to hand over, with the findings that were shown. Refused while a stop stands."""

    def build(attempt: Attempt) -> list[Draft]:
        of = live_record(attempt, job)
        if of.release:
            raise Refused(
                f"job {job} is released already (entry {of.release.noted.entry}); strike that to release anew"
            )
        judged = judge(workshop, of)
        standing_stops = stops(judged)
        if standing_stops:
            raise NotReleased(job, together(standing_stops))
        shown = [plain_key(each.finding.key) for each in judged]
        return [attempt.draft(f"job/{job}", "released.1", {}, {"shown": shown})]

    record(workshop, say, ActName.RELEASE, f"job/{job}", {}, build)


def hand_over(workshop: Workshop, job: str, odometer_m: int, say: Say) -> None:
    """Record that the vehicle left, released or not; the re-check counts from here."""

    def build(attempt: Attempt) -> list[Draft]:
        of = live_record(attempt, job)
        if of.hand_over:
            raise Refused(f"job {job} was handed over on {workshop.local_day(of.hand_over.noted.happened_at)} already")
        require_forward(of, odometer_m, attempt.happened_at)
        if of.facts and attempt.happened_at < of.facts[-1].noted.happened_at:
            raise Refused(f"job {job}: work is recorded after that time, so the vehicle had not left; look at the date")
        day = workshop.local_day(attempt.happened_at)
        judged = due(workshop.procedure_of(of).recheck, day, odometer_m)
        judged["stops"] = [plain_key(finding.key) for finding in stops(judge(workshop, of))]
        return [attempt.draft(f"job/{job}", "handed_over.1", {"odometer_m": odometer_m}, judged)]

    record(workshop, say, ActName.HAND_OVER, f"job/{job}", {"odometer_m": odometer_m}, build)


def require_forward(of: JobRecord, odometer_m: int, at: datetime) -> None:
    """An odometer counts up; a smaller figure is a slip of the pen, and would hide that a re-check is due."""
    before = [(metres, when) for when, metres, _ in of.odometers() if when <= at]
    if before and odometer_m < max(before)[0]:
        most, when = max(before)
        read, least = distance_text(odometer_m), distance_text(most)
        raise Refused(f"{read} is less than the {least} read on {when:%Y-%m-%d}; read the odometer again")
