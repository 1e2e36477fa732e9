"""When the look after the first ride is due."""

from datetime import date, timedelta
from typing import Any

from torqueaudit.model.procedure.procedure import RecheckPlan


def due(plan: RecheckPlan | None, day: date, odometer_m: int) -> dict[str, Any]:
    """When the look after the first ride is due, by day and by odometer in metres."""
    judged: dict[str, Any] = {}
    if plan and plan.days is not None:
        judged["due_on"] = (day + timedelta(days=plan.days)).isoformat()
    if plan and plan.distance_m is not None:
        judged["due_distance_m"] = odometer_m + int(plan.distance_m)
    return judged
