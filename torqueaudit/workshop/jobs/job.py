"""Jobs: opened, found again, and shown."""

from typing import TYPE_CHECKING, Any

from torqueaudit.ledger.entry import Draft
from torqueaudit.model.act import Refused, Say, See, Topic
from torqueaudit.model.job.acts import Opening
from torqueaudit.model.job.record import JobRecord, JobState, fold_record
from torqueaudit.model.judged.validity import why_outside
from torqueaudit.model.procedure.in_book import fold_procedure
from torqueaudit.model.procedure.procedure import Fastener, Procedure
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.register.token import new_token
from torqueaudit.model.vehicle.vehicle import Vehicle, fold_vehicle
from torqueaudit.workshop.door.attempt import SLACK, Attempt, record
from torqueaudit.workshop.jobs.keys import FASTENER, no_such
from torqueaudit.workshop.vehicles.odometer import require_plausible

if TYPE_CHECKING:
    from torqueaudit.workshop.door.workshop import Workshop

HOLDS = ("wheel", "brake", "sprocket")


def open_job(workshop: "Workshop", opening: Opening, say: Say) -> str:
    """Open a job on a vehicle by a procedure; returns the job's number.

    Raises Refused for an unknown vehicle, procedure, or job it follows, for one on another vehicle, and where a job by
    the same procedure is open on this one and nobody says that it is a second.
    """
    said: dict[str, Any] = {"vehicle": opening.vehicle, "procedure": workshop.full_digest(opening.procedure)}
    if opening.odometer_m is not None:
        said["odometer_m"] = opening.odometer_m
    if opening.follows:
        said["follows"] = _followed(workshop, opening).number

    def build(attempt: Attempt) -> list[Draft]:
        vehicle = attempt.entries(f"vehicle/{opening.vehicle}")
        if not vehicle:
            raise Refused(f"{opening.vehicle}: no such vehicle", See(Topic.VEHICLES))
        if opening.odometer_m is not None:
            require_plausible(attempt, opening.vehicle, opening.odometer_m)
        procedure = fold_procedure(attempt.entries(f"procedure/{said['procedure']}")).procedure
        if not opening.second:
            _require_only_one(workshop, opening.vehicle, procedure)
        subject = f"job/{workshop.book.next_number('job')}"
        attempt.expect[subject] = 0
        frame = workshop.book.personal_of(f"vehicle/{opening.vehicle}").get("frame_number", "")
        judged = _judged(procedure, fold_vehicle(vehicle), frame)
        return [attempt.draft(subject, "opened.1", said, {**judged, "token": new_token(workshop.chance)})]

    return record(workshop, say, ActName.OPEN, "job", said, build)[0].key


def _require_only_one(workshop: "Workshop", vehicle: str, procedure: Procedure) -> None:
    """Refuse a job by a procedure that one is open by on the same vehicle, in whichever edition."""
    from torqueaudit.book import queries  # few commands open a job

    for row in queries.jobs_of_vehicle(workshop.book, vehicle):
        if row.state not in {JobState.OPEN, JobState.RELEASED}:
            continue
        of = workshop.record(str(row.job))
        if workshop.procedure_of(of).name == procedure.name:
            day = workshop.local_day(of.opened.happened_at)
            says = f"job {of.number} by {procedure.name} is {of.state} on {vehicle}, since {day}; go on with that one"
            raise Refused(says, See(Topic.SECOND))


def _followed(workshop: "Workshop", opening: Opening) -> JobRecord:
    """The job that this one follows: what was found on one vehicle is put right on that one."""
    before = workshop.record(opening.follows)
    if before.vehicle != opening.vehicle:
        raise Refused(f"job {before.number} is on {before.vehicle}; a job follows one on the same vehicle")
    return before


def live_record(attempt: Attempt, job: str) -> JobRecord:
    """A job's record for writing. Refused when there is no such job, or it was withdrawn."""
    entries = attempt.entries(f"job/{job}") if job.isalnum() else []
    if not entries:
        raise Refused(f"job {job}: no such job", See(Topic.JOBS))
    of = fold_record(entries)
    if of.state is JobState.WITHDRAWN:
        raise Refused(f"job {job} was withdrawn ({of.strikes[-1].why}); open a new one")
    if attempt.happened_at < of.opened.happened_at - SLACK:
        opened = of.opened.happened_at.astimezone(attempt.workshop.settings.timezone)
        raise Refused(f"job {job} was opened on {opened:%Y-%m-%d at %H:%M}, and this lies before it; look at the date")
    return of


def fastener_of(workshop: "Workshop", of: JobRecord, key: str) -> tuple[Fastener, tuple[str, ...]]:
    """A fastener of a job's procedure, see `fastener_in`."""
    return fastener_in(workshop.procedure_of(of), of, key)


def fastener_in(procedure: Procedure, of: JobRecord, key: str) -> tuple[Fastener, tuple[str, ...]]:
    """A fastener by its key (a group: all its positions, in the order they are turned) or by one position."""
    for fastener in procedure.fasteners():
        if key == fastener.key:
            return fastener, fastener.turning_order
        if key in fastener.positions:
            return fastener, (key,)
    raise no_such(procedure, of.number, key, FASTENER, [fastener.key for fastener in procedure.fasteners()])


def _judged(procedure: Procedure, vehicle: Vehicle, frame: str) -> dict[str, Any]:
    fasteners = procedure.fasteners()
    held = [fastener.holds for fastener in fasteners]
    judged = {
        "title": procedure.title,
        "needs": list(procedure.needs),
        "checks": [position for f in fasteners if f.check for position in f.positions],
        "holds": next((name for name in HOLDS if name in held), ""),
    }
    validity = why_outside(procedure, vehicle, frame)
    return {**judged, "validity": validity} if validity else judged
