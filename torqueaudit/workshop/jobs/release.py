"""Release and hand-over: what is signed, and that the vehicle left."""

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any, NamedTuple

from torqueaudit.ledger.entry import Draft, Entry
from torqueaudit.ledger.words import FreeWords
from torqueaudit.model.act import Refused, Say, See, Topic
from torqueaudit.model.job.noted import plain_key
from torqueaudit.model.job.record import JobRecord
from torqueaudit.model.judged.finding import Finding
from torqueaudit.model.judged.sentences import Saying, stops_text, together
from torqueaudit.model.procedure.procedure import RecheckPlan
from torqueaudit.model.recheck.due import due, is_counted
from torqueaudit.model.recheck.estimate import per_day_of
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.vehicle.instrument import Hours, Instrument, Run, hours_text, told_as
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.job import live_record
from torqueaudit.workshop.judged.review import judge, stops
from torqueaudit.workshop.vehicles.odometer import read_before, require_read
from torqueaudit.workshop.vehicles.visits import presence_of

MOST_DAYS = 366  # common practice, no source: farther ahead it is forgotten


class StopsStand(Refused):
    """What cannot be done to a job while stops stand; each is told."""

    def __init__(self, says: str, standing: Sequence[Finding], see: See | None = None) -> None:
        self.standing: tuple[Saying, ...] = tuple(together(standing))
        many = len(self.standing)
        super().__init__(f"{says} while {stops_text(many)} stand{'s' * (many == 1)}", see)

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


def hand_over(
    workshop: Workshop, job: str, run: Run | None, say: Say, with_stops: str = "", recheck_by: date | None = None
) -> list[Entry]:
    """Record that the vehicle left, released or not; `with_stops` says why it leaves although stops stand.

    The re-check counts from here where something was turned since it left before. A foreman says `recheck_by` where its
    plan names nothing that passes by itself, or that the instrument of the vehicle counts: see decision 0112. Raises
    Refused for a vehicle that left already, StopsStand where nobody said why it leaves with them.
    """
    said: dict[str, Any] = {**told_as(run), **({"recheck_by": recheck_by.isoformat()} if recheck_by else {})}
    without_stops = {**said}
    if with_stops:
        said["with_stops"] = FreeWords(with_stops)

    def build(attempt: Attempt) -> list[Draft]:
        of = live_record(attempt, job)
        _require_back(attempt, of)
        instrument = require_read(attempt, of.vehicle, run)
        if of.facts and attempt.happened_at < of.facts[-1].noted.happened_at:
            raise Refused(f"job {job}: work is recorded after that time, so the vehicle had not left; look at the date")
        standing = stops(judge(workshop, of))
        if standing and not with_stops.strip():
            raise StopsStand(f"job {job} is not handed over", standing, See(Topic.WITH_STOPS))
        judged = _Leaving(attempt, of, instrument, run).planned(recheck_by)
        judged["stops"] = [plain_key(finding.key) for finding in standing]
        return [attempt.draft(f"job/{job}", "handed_over.2", said if standing else without_stops, judged)]

    return record(workshop, say, ActName.HAND_OVER, f"job/{job}", said, build)


def _require_back(attempt: Attempt, of: JobRecord) -> None:
    if of.hand_over and not presence_of(attempt, of.vehicle).here:
        left = of.hand_over.noted.happened_at.astimezone(attempt.workshop.settings.timezone)
        raise Refused(
            f"job {of.number} was handed over on {left:%Y-%m-%d}, and {of.vehicle} has not come back since",
            See(Topic.ARRIVAL, of.vehicle),
        )


class _Leaving(NamedTuple):
    """A vehicle that leaves: by which job, and what its instrument shows."""

    attempt: Attempt
    of: JobRecord
    instrument: Instrument
    run: Run | None

    def planned(self, recheck_by: date | None) -> dict[str, Any]:
        """When the look after the first ride is due; one that was only looked at has no first ride before it."""
        workshop, day = self.attempt.workshop, self.attempt.workshop.local_day(self.attempt.happened_at)
        plan = workshop.procedure_of(self.of).recheck
        if self.of.hand_over and not self.of.reworked:
            self._refuse_day(recheck_by, "it was only looked at")
            return {"plans": False}
        if plan is None or is_counted(plan, self.instrument):
            self._refuse_day(recheck_by, "its procedure says when" if plan else "its procedure asks for none")
            judged = due(plan, day, self.run, self.instrument)
            per_day = self._per_day() if judged.keys() & {"due_distance_m", "due_min"} else None
            return judged | ({"per_day": per_day} if per_day else {})
        return {"due_on": self._day_of_foreman(plan, recheck_by, day).isoformat()}

    def _per_day(self) -> int | None:
        """What it runs a day by its own history, for as long as nobody reads it again."""
        before = [(each.happened_at, each.figure) for each in read_before(self.attempt, self.of.vehicle)]
        figure = self.run.minutes if isinstance(self.run, Hours) else self.run
        return None if figure is None else per_day_of(before, self.attempt.happened_at, figure)

    def _refuse_day(self, recheck_by: date | None, why: str) -> None:
        if recheck_by:
            raise Refused(f"job {self.of.number}: no day is said for its re-check, because {why}; leave it out")

    def _day_of_foreman(self, plan: RecheckPlan, by: date | None, day: date) -> date:
        """No day is made up here: whoever wrote the procedure has named none, so somebody has to answer for it."""
        if by is None:
            planned = plan.distance_written or hours_text(plan.run_min or 0)
            says = f"its re-check is planned after {planned} and by no day, and nothing on {self.of.vehicle} shows that"
            raise Refused(f"job {self.of.number}: {says}. A foreman says by which day", See(Topic.RECHECK_DAY))
        self.attempt.permit(ActName.NAME_RECHECK_DAY)
        if not day < by <= day + timedelta(days=MOST_DAYS):
            raise Refused(f"{by}: the day of a re-check lies ahead, and within a year; look at the date")
        return by
