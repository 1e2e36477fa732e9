"""After the hand-over: rides reported, and the look after the first ride."""

from typing import Any

from torqueaudit.ledger.entry import Draft, Entry
from torqueaudit.ledger.words import FreeWords
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.record import Job, JobRecord
from torqueaudit.model.job.road import run_of
from torqueaudit.model.judged.around import Around
from torqueaudit.model.judged.overtaken import later_jobs, still_to_look_at
from torqueaudit.model.judged.sentences import names_together
from torqueaudit.model.judged.unsigned import unsigned_work
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.vehicle.instrument import Instrument, Run, has_run, told_as
from torqueaudit.model.vehicle.vehicle import fold_vehicle
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.job import live_record
from torqueaudit.workshop.jobs.release import StopsStand
from torqueaudit.workshop.judged.around import around_of
from torqueaudit.workshop.judged.review import review, stops
from torqueaudit.workshop.vehicles.odometer import require_read
from torqueaudit.workshop.vehicles.visits import arrival


def report_ride(workshop: Workshop, job: str, run: Run | None, remark: str, say: Say) -> list[Entry]:
    """Record a ride with what its instrument shows after it. It may bring a re-check forward and never puts one off.

    Raises Refused for a vehicle that has no instrument: there is nothing to tell of a ride.
    """
    said = _said(run, remark)

    def build(attempt: Attempt) -> list[Draft]:
        of = _on_the_road(attempt, job)
        if require_read(attempt, of.vehicle, run, on_the_road=True) is Instrument.NONE:
            raise Refused(f"{of.vehicle} has neither odometer nor hour meter, so nothing tells how far it was ridden")
        return [attempt.draft(f"job/{job}", "ridden.2", said)]

    return record(workshop, say, ActName.RIDE, f"job/{job}", said, build)


def recheck(workshop: Workshop, job: str, run: Run | None, remark: str, say: Say) -> list[Entry]:
    """Conclude the look after the first ride, once every mark and measurement of the plan was looked at since.

    Raises Refused with what has not been looked at or signed, StopsStand while a stop stands.
    """
    said = _said(run, remark)

    def build(attempt: Attempt) -> list[Draft]:
        of = _on_the_road(attempt, job)
        instrument = require_read(attempt, of.vehicle, run, on_the_road=True)
        if of.recheck:
            done = workshop.local_day(of.recheck.noted.happened_at)
            raise Refused(f"job {job}: the re-check was concluded on {done}; report what you found as marks and values")
        if not _has_run(attempt, of, run):
            says = f"the {instrument.called} stands where it stood at hand-over, so there was no ride to look after"
            raise Refused(f"job {job}: {says}")
        _require_done(workshop, Job(of, workshop.procedure_of(of)))
        return [*arrival(attempt, of.vehicle, look=True), attempt.draft(f"job/{job}", "rechecked.2", said)]

    return record(workshop, say, ActName.RECHECK, f"job/{job}", said, build)


def _has_run(attempt: Attempt, of: JobRecord, run: Run | None) -> bool:
    """Whether it has run since it left, as far as anybody can tell."""
    left = of.first_ride
    if left is None:
        return True
    vehicle = fold_vehicle(attempt.vehicle(of.vehicle))
    return has_run(vehicle.presently(run_of(left), left.noted.happened_at, left.noted.entry), run)


def _require_done(workshop: Workshop, job: Job) -> None:
    """What a re-check put right leaves the workshop as the work itself does: without a stop, and signed.

    What was turned since the vehicle left is due as work, and not as a look.
    """
    around, undone = around_of(workshop, job), unsigned_work(job)
    if not undone:
        _require_looked_at(job, around)
    if standing := stops(review(job, around, workshop.plugins)):
        raise StopsStand(f"job {job.number}: the re-check cannot be concluded", standing)
    if undone:
        raise Refused(
            f"job {job.number}: nobody has signed what was done on {names_together(undone)}. A foreman releases it "
            "first; then conclude the re-check, and hand it over again."
        )


def _require_looked_at(job: Job, around: Around) -> None:
    if missing := still_to_look_at(job, around, later_jobs(job, around)):
        names = ", ".join(look.says for look in missing)
        raise Refused(f"job {job.number}: not looked at since the hand-over: {names}. Look and record each first.")


def _said(run: Run | None, remark: str) -> dict[str, Any]:
    return {**told_as(run), **({"remark": FreeWords(remark)} if remark else {})}


def _on_the_road(attempt: Attempt, job: str) -> JobRecord:
    of = live_record(attempt, job)
    if of.hand_over is None:
        raise Refused(f"job {job} has not been handed over yet, so there was no ride after it")
    return of
