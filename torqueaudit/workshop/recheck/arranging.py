"""What is agreed about a re-check: put off, refused by the owner, handed to another workshop, and what that one found.

None of it takes a stop away, and none but the foreman puts a re-check off. See decision 0104.
"""

from collections.abc import Callable
from datetime import date, datetime
from typing import Any, NamedTuple

from torqueaudit.ledger.entry import Draft, Entry
from torqueaudit.ledger.words import FreeWords
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.acts import Postponement, RecheckResult
from torqueaudit.model.job.entries import FAULT_FOUND, IN_ORDER
from torqueaudit.model.job.record import Job
from torqueaudit.model.job.road import HandOver, RecheckAnswered, RecheckReferred, RecheckRefused, run_of
from torqueaudit.model.judged.around import Around
from torqueaudit.model.recheck.arranged import target_of_leaving
from torqueaudit.model.recheck.state import WAITING, RecheckState
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.vehicle.exchange import moment
from torqueaudit.model.vehicle.instrument import Hours, Instrument, Run, has_run, run_text, told_as
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.job import live_record
from torqueaudit.workshop.jobs.release import StopsStand
from torqueaudit.workshop.judged.around import around_of
from torqueaudit.workshop.judged.job_view import recheck_of
from torqueaudit.workshop.judged.review import review, stops
from torqueaudit.workshop.vehicles.odometer import require_kind, require_read

# Common practice, no source: what is put off farther is forgotten, and a digit too many would silence it for years.
MOST_DAYS = 366
MOST_M = 20_000_000
MOST_MIN = 500 * 60
OPEN = (*WAITING, RecheckState.IN_HAND, RecheckState.REFUSED, RecheckState.REFERRED)


class Waiting(NamedTuple):
    """A re-check that is not done: its job, the leaving it counts from, and what is around it."""

    job: Job
    left: HandOver
    around: Around

    @property
    def ahead(self) -> tuple[int | None, int]:
        """When it is due by the leaving, and what was read last, in metres or minutes as its instrument counts."""
        around = self.around
        due = target_of_leaving(self.left, around.vehicle.exchanges)
        if around.vehicle.instrument is Instrument.HOURS:
            return due.minutes, around.hours[-1].minutes if around.hours else 0
        return due.distance_m, around.odometers[-1].metres if around.odometers else 0

    def has_run(self, run: Run | None) -> bool:
        """Whether it has run since it left, as far as anybody can tell."""
        noted = self.left.noted
        return has_run(self.around.vehicle.presently(run_of(self.left), noted.happened_at, noted.entry), run)


def postpone_recheck(workshop: Workshop, job: str, told: Postponement, say: Say) -> list[Entry]:
    """Put a re-check off to a day, an odometer, or both; what is not told keeps holding.

    Raises StopsStand while a stop stands, and Refused for what puts nothing off, or farther than anybody remembers.
    """
    said: dict[str, Any] = {"why": _words("why it is put off", told.why)}
    if told.until:
        said["until"] = told.until.isoformat()
    if told.until_run is not None:
        said |= _until(told.until_run)

    def require(attempt: Attempt, waiting: Waiting) -> None:
        _require_no_stop(attempt, waiting, "the re-check is not put off")
        if told.until is None and told.until_run is None:
            raise Refused("say until which day or which odometer the re-check is put off, or both")
        require_kind(waiting.job.record.vehicle, waiting.around.vehicle.instrument, told.until_run, needed=False)
        _require_day(waiting, told.until, workshop.local_day(attempt.happened_at))
        _require_one_instrument(waiting, told.until_run, attempt.happened_at)
        _require_odometer(waiting, told.until_run)

    return _arrange(workshop, job, ActName.POSTPONE_RECHECK, "recheck_postponed.1", said, say, require)


def refuse_recheck(workshop: Workshop, job: str, why: str, say: Say) -> list[Entry]:
    """Record that the owner does not want the re-check, and why.

    Raises StopsStand while a stop stands, and Refused for what was said already.
    """
    said = {"why": _words("what the owner says", why)}

    def require(attempt: Attempt, waiting: Waiting) -> None:
        agreed = waiting.job.record.arranged
        if isinstance(agreed, RecheckRefused):
            raise Refused(f"job {job}: its re-check was refused already, entry {agreed.noted.entry}")
        _require_no_stop(attempt, waiting, "it is not recorded that the owner refuses the re-check")

    return _arrange(workshop, job, ActName.REFUSE_RECHECK, "recheck_refused.1", said, say, require)


def refer_recheck(workshop: Workshop, job: str, to_whom: str, why: str, say: Say) -> list[Entry]:
    """Record that another workshop does the re-check; it stays open until that one's result is recorded.

    Raises StopsStand while a stop stands.
    """
    said = {"to_whom": _words("to whom it is handed", to_whom), "why": _words("why it is done there", why)}

    def require(attempt: Attempt, waiting: Waiting) -> None:
        _require_no_stop(attempt, waiting, "the re-check is not handed to another workshop")

    return _arrange(workshop, job, ActName.REFER_RECHECK, "recheck_referred.1", said, say, require)


def answer_recheck(workshop: Workshop, job: str, told: RecheckResult, say: Say) -> list[Entry]:
    """Record what another workshop found: in order, which concludes the re-check, or a fault, which is a stop.

    Raises Refused for a re-check that was handed to nobody, StopsStand for one in order while a stop stands.
    """
    said: dict[str, Any] = {"found": IN_ORDER if told.in_order else FAULT_FOUND, **told_as(told.run)}
    if told.remark.strip() or not told.in_order:
        said["remark"] = _words("which fault was found", told.remark)

    def require(attempt: Attempt, waiting: Waiting) -> None:
        agreed = waiting.job.record.arranged
        if not isinstance(agreed, RecheckReferred | RecheckAnswered):
            raise Refused(f"job {job}: its re-check was not handed to another workshop; say that first, and to whom")
        if attempt.happened_at < agreed.noted.happened_at:
            day = workshop.local_day(agreed.noted.happened_at)
            raise Refused(f"job {job}: this lies before it was handed to them on {day}; look at the date")
        instrument = require_read(attempt, waiting.job.record.vehicle, told.run, needed=False, on_the_road=True)
        if not waiting.has_run(told.run):
            says = f"the {instrument.called} stands where it stood when it left, so there was no ride"
            raise Refused(f"job {job}: {says}")
        if told.in_order:
            _require_no_stop(attempt, waiting, "the re-check is not in order")

    return _arrange(workshop, job, ActName.ANSWER_RECHECK, "recheck_answered.1", said, say, require)


def _require_no_stop(attempt: Attempt, waiting: Waiting, says: str) -> None:
    """Nothing that lets a re-check rest, or closes it, is agreed while a stop stands. Raises StopsStand."""
    if standing := stops(review(waiting.job, waiting.around, attempt.workshop.plugins)):
        raise StopsStand(f"job {waiting.job.number}: {says}", standing)


def _words(what: str, text: str) -> FreeWords:
    if not text.strip():
        raise Refused(f"say {what}")
    return FreeWords(text.strip())


def _arrange(
    workshop: Workshop,
    job: str,
    act: ActName,
    kind: str,
    said: dict[str, Any],
    say: Say,
    require: Callable[[Attempt, Waiting], None],
) -> list[Entry]:
    """Record what is agreed, with the leaving that it is about."""

    def build(attempt: Attempt) -> list[Draft]:
        waiting = _waiting(attempt, job)
        require(attempt, waiting)
        return [attempt.draft(f"job/{job}", kind, said, {"of": waiting.left.noted.entry})]

    return record(workshop, say, act, f"job/{job}", said, build)


def _waiting(attempt: Attempt, number: str) -> Waiting:
    """The re-check of a job, while it can still be done. Raises Refused."""
    workshop, of = attempt.workshop, live_record(attempt, number)
    job, left = Job(of, workshop.procedure_of(of)), of.first_ride
    if job.procedure.recheck is None:
        raise Refused(f"job {number}: its procedure asks for no re-check")
    around = around_of(workshop, job)
    view = recheck_of(job, around)
    if view is None or left is None:
        raise Refused(f"job {number}: it has not been handed over yet, and a re-check counts from the day it leaves")
    if view.standing.state not in OPEN:
        raise Refused(f"job {number}: its re-check is not waited for ({view.standing.state}), so nothing is agreed")
    if attempt.happened_at < left.noted.happened_at:
        day = workshop.local_day(left.noted.happened_at)
        raise Refused(f"job {number}: this lies before the vehicle left on {day}; look at the date")
    return Waiting(job, left, around)


def _require_day(waiting: Waiting, until: date | None, day: date) -> None:
    """Refuse a day that puts nothing off, or too far; and none, where the day of the leaving is there."""
    due = waiting.left.due_on
    if until is None:
        if due and due <= day:
            raise Refused(f"it is due by {due} as well, and that day is there; say until which day too")
    elif until <= day:
        raise Refused(f"{until} does not lie ahead; look at the date")
    elif due and until <= due:
        raise Refused(f"{until}: it is due by {due} as it is, so that puts nothing off")
    elif (until - day).days > MOST_DAYS:
        raise Refused(f"{until} is more than a year ahead; say an earlier day, and put it off again when that comes")


def _until(run: Run) -> dict[str, int]:
    return {"until_min": run.minutes} if isinstance(run, Hours) else {"until_m": run}


def _require_one_instrument(waiting: Waiting, until: Run | None, at: datetime) -> None:
    """Refuse a figure of a moment behind which the instrument was replaced: it may be of the one or of the other."""
    exchanges = waiting.around.vehicle.exchanges
    if until is not None and any(each.order > moment(at) for each in exchanges):
        raise Refused("the instrument was replaced since then, and this may be a figure of either; say it as of now")


def _require_odometer(waiting: Waiting, until: Run | None) -> None:
    """Refuse what puts nothing off, or too far; and none, where what the leaving planned is run."""
    instrument = waiting.around.vehicle.instrument
    hours = instrument is Instrument.HOURS
    due, now = waiting.ahead

    def text(figure: int) -> str:
        return run_text(Hours(figure) if hours else figure, instrument)

    if until is None:
        if due is not None and due <= now:
            raise Refused(f"it is due at {text(due)} as well, and it has run that; say until which odometer")
        return
    told, most = (until.minutes, MOST_MIN) if isinstance(until, Hours) else (until, MOST_M)
    if told <= now:
        raise Refused(f"{text(told)} does not lie ahead of the {text(now)} that were read last")
    if due is not None and told <= due:
        raise Refused(f"{text(told)}: it is due at {text(due)} as it is, so that puts nothing off")
    if told - now > most:
        ahead = f"more than {text(most)} ahead of the {text(now)} that were read last"
        raise Refused(f"{text(told)} is {ahead}; is there a digit too many?")
