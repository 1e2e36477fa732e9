"""When the look after the first ride is due, and how calendars know it."""

from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from torqueaudit.model.procedure.procedure import RecheckPlan

if TYPE_CHECKING:
    from torqueaudit.model.job.record import JobRecord


def due(plan: RecheckPlan | None, day: date, odometer_m: int) -> dict[str, Any]:
    """When the look after the first ride is due, by day and by odometer in metres."""
    judged: dict[str, Any] = {}
    if plan and plan.days is not None:
        judged["due_on"] = (day + timedelta(days=plan.days)).isoformat()
    if plan and plan.distance_m is not None:
        judged["due_distance_m"] = odometer_m + int(plan.distance_m)
    return judged


def sequence_of(record: "JobRecord") -> int:
    """The SEQUENCE (RFC 5545) under which a calendar is told now of the re-check of a job: it only ever rises."""
    return record.last.number


def uid_of(token: str, leaving: int) -> str:
    """How calendars know the re-check of a job, by its label's token, that counts from the leaving told in an entry.

    It is the same for ever, no other workshop has it, and nobody reads the token out of it (RFC 7986, 5.3).
    """
    from uuid import NAMESPACE_URL, uuid5  # few things that are asked for are calendars

    return str(uuid5(NAMESPACE_URL, f"torqueaudit:{token}/{leaving}"))
