"""Release and hand-over: what is signed, and that the vehicle left."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from torqueaudit.ledger.entry import Draft, Entry
from torqueaudit.ledger.words import FreeWords
from torqueaudit.model.act import Refused, Say, See, Topic
from torqueaudit.model.job.facts import plain_key
from torqueaudit.model.job.record import JobRecord
from torqueaudit.model.judged.finding import Finding
from torqueaudit.model.judged.sentences import Saying, together
from torqueaudit.model.recheck.due import due
from torqueaudit.model.register.permits import ActName
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.job import live_record
from torqueaudit.workshop.judged.review import judge, stops
from torqueaudit.workshop.vehicles.odometer import require_plausible
from torqueaudit.workshop.vehicles.visits import presence_of


class StopsStand(Refused):
    """What cannot be done to a job while stops stand; each is told."""

    def __init__(self, says: str, standing: Sequence[Finding], see: See | None = None) -> None:
        self.standing: tuple[Saying, ...] = tuple(together(standing))
        super().__init__(f"{says} while {len(self.standing)} stop(s) stand", see)

    def __str__(self) -> str:
        """The sentence, and each stop on a line of its own."""
        return "\n".join([f"{super().__str__()}:", *(f"  {each.says}" for each in self.standing)])


def release(workshop: Workshop, job: str, say: Say) -> list[Entry]:
    """Sign the work recorded so far, with the findings that were shown. Refused while a stop stands.

    What is turned, loosened, fitted or measured later waits for a release of its own.
    """

    def build(attempt: Attempt) -> list[Draft]:
        of = live_record(attempt, job)
        if of.release and not of.unsigned:
            raise Refused(f"job {job} is released already (entry {of.release.noted.entry}), and nothing was done since")
        judged = judge(workshop, of)
        if standing := stops(judged):
            raise StopsStand(f"job {job} cannot be released", standing)
        shown = [plain_key(each.finding.key) for each in judged]
        return [attempt.draft(f"job/{job}", "released.1", {}, {"shown": shown})]

    return record(workshop, say, ActName.RELEASE, f"job/{job}", {}, build)


def hand_over(workshop: Workshop, job: str, odometer_m: int, say: Say, with_stops: str = "") -> list[Entry]:
    """Record that the vehicle left, released or not; `with_stops` says why it leaves although stops stand.

    The re-check counts from here where something was turned since it left before. Raises Refused for a vehicle that
    left already, StopsStand where nobody said why it leaves with them.
    """
    said: dict[str, Any] = {"odometer_m": odometer_m}
    if with_stops:
        said["with_stops"] = FreeWords(with_stops)

    def build(attempt: Attempt) -> list[Draft]:
        of = live_record(attempt, job)
        _require_back(attempt, of)
        require_plausible(attempt, of.vehicle, odometer_m)
        if of.facts and attempt.happened_at < of.facts[-1].noted.happened_at:
            raise Refused(f"job {job}: work is recorded after that time, so the vehicle had not left; look at the date")
        standing = stops(judge(workshop, of))
        if standing and not with_stops.strip():
            raise StopsStand(f"job {job} is not handed over", standing, See(Topic.WITH_STOPS))
        judged = _planned(workshop, of, attempt.happened_at, odometer_m)
        judged["stops"] = [plain_key(finding.key) for finding in standing]
        words = said if standing else {"odometer_m": odometer_m}
        return [attempt.draft(f"job/{job}", "handed_over.2", words, judged)]

    return record(workshop, say, ActName.HAND_OVER, f"job/{job}", said, build)


def _require_back(attempt: Attempt, of: JobRecord) -> None:
    if of.hand_over and not presence_of(attempt, of.vehicle).here:
        left = of.hand_over.noted.happened_at.astimezone(attempt.workshop.settings.timezone)
        raise Refused(
            f"job {of.number} was handed over on {left:%Y-%m-%d}, and {of.vehicle} has not come back since",
            See(Topic.ARRIVAL, of.vehicle),
        )


def _planned(workshop: Workshop, of: JobRecord, at: datetime, odometer_m: int) -> dict[str, Any]:
    """When the look after the first ride is due; a vehicle that was only looked at has no first ride before it."""
    if of.hand_over and not of.reworked:
        return {"plans": False}
    return due(workshop.procedure_of(of).recheck, workshop.local_day(at), odometer_m)
