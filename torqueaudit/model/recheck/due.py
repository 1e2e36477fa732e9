"""When the look after the first ride is due, and how calendars know it."""

from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from torqueaudit.model.procedure.procedure import RecheckPlan
from torqueaudit.model.vehicle.instrument import Hours, Instrument, Run, whole_figure

if TYPE_CHECKING:
    from torqueaudit.model.job.record import JobRecord


def due(plan: RecheckPlan | None, day: date, run: Run | None, instrument: Instrument) -> dict[str, Any]:
    """When the look after the first ride is due, by day and by what was read when the vehicle left, as entries hold it.

    In miles it is the last whole one before, so that whoever reads the figure that was told has reached it.
    """
    judged: dict[str, Any] = {}
    if plan and plan.days is not None:
        judged["due_on"] = (day + timedelta(days=plan.days)).isoformat()
    if plan and plan.distance_m is not None and isinstance(run, int):
        far = run + int(plan.distance_m)
        judged["due_distance_m"] = whole_figure(far, instrument) if instrument is Instrument.MILES else far
    if plan and plan.run_min is not None and isinstance(run, Hours):
        judged["due_min"] = run.minutes + plan.run_min
    return judged


def sequence_of(record: "JobRecord") -> int:
    """The SEQUENCE (RFC 5545) under which a calendar is told now of the re-check of a job: it only ever rises."""
    return record.last.number


def is_counted(plan: RecheckPlan, instrument: Instrument) -> bool:
    """Whether a plan says when it is due in anything that passes by itself, or that the instrument counts."""
    by_distance = plan.distance_m is not None and instrument.counts_distance
    by_hours = plan.run_min is not None and instrument is Instrument.HOURS
    return plan.days is not None or by_distance or by_hours


def uid_of(token: str, leaving: int) -> str:
    """How calendars know the re-check of a job, by its label's token, that counts from the leaving told in an entry.

    It is the same for ever, no other workshop has it, and nobody reads the token out of it (RFC 7986, 5.3).
    """
    from uuid import NAMESPACE_URL, uuid5  # few things that are asked for are calendars

    return str(uuid5(NAMESPACE_URL, f"torqueaudit:{token}/{leaving}"))
