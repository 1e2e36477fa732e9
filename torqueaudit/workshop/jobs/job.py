"""Jobs: opened, found again, and shown."""

from typing import TYPE_CHECKING, Any

from torqueaudit.ledger.entry import Draft
from torqueaudit.model.act import Refused, Say, See, Topic
from torqueaudit.model.job.acts import Opening
from torqueaudit.model.job.record import JobRecord, JobState, fold_record
from torqueaudit.model.judged.validity import why_outside
from torqueaudit.model.procedure.in_book import fold_procedure
from torqueaudit.model.procedure.only import reduced
from torqueaudit.model.procedure.procedure import Fastener, Procedure
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.register.token import new_token
from torqueaudit.model.vehicle.instrument import told_as
from torqueaudit.model.vehicle.vehicle import Vehicle, fold_vehicle
from torqueaudit.workshop.door.attempt import SLACK, Attempt, record
from torqueaudit.workshop.jobs.keys import FASTENER, fasteners_meant, no_such
from torqueaudit.workshop.vehicles.odometer import require_read

if TYPE_CHECKING:
    from torqueaudit.workshop.door.workshop import Workshop

HOLDS = ("wheel", "brake", "sprocket")


def open_job(workshop: "Workshop", opening: Opening, say: Say) -> str:
    """Open a job on a vehicle by a procedure, or by some of its fasteners alone; returns the job's number.

    Raises Refused for an unknown vehicle, procedure, fastener, or job it follows, for one on another vehicle or of
    other work, and where a job of the same fasteners is open on this vehicle and nobody says that it is a second.
    """
    before = workshop.record(opening.follows) if opening.follows else None
    on = _vehicle(opening, before)
    said: dict[str, Any] = {"vehicle": on, "procedure": _digest(workshop, opening, before), **told_as(opening.run)}
    if before:
        said["follows"] = before.number
    if opening.only:
        said["only"] = fasteners_meant(workshop.procedure(said["procedure"]).procedure, opening.only)

    def build(attempt: Attempt) -> list[Draft]:
        vehicle = attempt.vehicle(on)
        require_read(attempt, on, opening.run, needed=False)
        procedure = fold_procedure(attempt.entries(f"procedure/{said['procedure']}")).procedure
        procedure = reduced(procedure, said["only"]) if opening.only else procedure
        if not opening.second:
            _require_only_one(workshop, on, procedure, opening)
        subject = f"job/{workshop.book.next_number('job')}"
        attempt.expect[subject] = 0
        frame = workshop.book.personal_of(f"vehicle/{on}").get("frame_number", "")
        judged = _judged(procedure, fold_vehicle(vehicle), frame)
        return [attempt.draft(subject, "opened.1", said, {**judged, "token": new_token(workshop.chance)})]

    return record(workshop, say, ActName.OPEN, "job", said, build)[0].key


def _vehicle(opening: Opening, before: JobRecord | None) -> str:
    """The vehicle that is meant: what was found on one is put right on that one."""
    if before and opening.vehicle and before.vehicle != opening.vehicle:
        raise Refused(f"job {before.number} is on {before.vehicle}; a job follows one on the same vehicle")
    return before.vehicle if before else opening.vehicle


def _digest(workshop: "Workshop", opening: Opening, before: JobRecord | None) -> str:
    """The procedure that is meant: of some fasteners of a job alone it is what that job was done by."""
    if not (before and opening.only):
        return workshop.full_digest(opening.procedure)
    if opening.procedure and workshop.full_digest(opening.procedure) != before.digest:
        by = workshop.procedure(before.digest).procedure
        says = f"job {before.number} goes by {by.name}, edition {by.edition} ({before.digest[:12]})"
        raise Refused(f"{says}, and so does a job of some of its fasteners; leave the procedure out")
    return before.digest


def _require_only_one(workshop: "Workshop", vehicle: str, procedure: Procedure, opening: Opening) -> None:
    """Refuse a job by a procedure that one is open by on the same vehicle, in whichever edition.

    One of some fasteners alone stands beside the job that it follows, and beside another that has none of them.
    """
    from torqueaudit.book import queries  # few commands open a job

    keys = {fastener.key for fastener in procedure.fasteners()}
    for row in queries.jobs_of_vehicle(workshop.book, vehicle):
        if row.state not in {JobState.OPEN, JobState.RELEASED}:
            continue
        of = workshop.record(str(row.job))
        other = workshop.procedure_of(of)
        apart = (of.only or opening.only) and keys.isdisjoint(fastener.key for fastener in other.fasteners())
        followed = opening.only and of.number == opening.follows
        if other.name == procedure.name and not apart and not followed:
            day = workshop.local_day(of.opened.happened_at)
            says = f"job {of.number} by {procedure.name} is {of.state} on {vehicle}, since {day}; go on with that one"
            raise Refused(says, See(Topic.SECOND))


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
    raise no_such(procedure, f"job {of.number}", key, FASTENER, [fastener.key for fastener in procedure.fasteners()])


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
