"""What the numbers among a workshop's settings may be."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any, NamedTuple


class Bounds(NamedTuple):
    """What a number among the settings may be, both ends included, and what is said of one that may not."""

    lowest: Decimal
    highest: Decimal
    says: str


NUMBERS = {
    "late_minutes": Bounds(Decimal(1), Decimal(43_200), "an entry counts as late after 1 to 43200 minutes (30 days)"),
    "untouched_days": Bounds(Decimal(1), Decimal(3650), "a job counts as untouched after 1 to 3650 days"),
    "due_soon_days": Bounds(Decimal(0), Decimal(365), "a re-check is due soon 0 to 365 days before it is due"),
    "check_seconds": Bounds(Decimal(0), Decimal(600), "checks less than 0 to 600 seconds apart are told; 0: none are"),
    "own_tolerance_percent": Bounds(
        Decimal("0.1"), Decimal(99), "the workshop's own tolerance lies between 0.1 and 99 %"
    ),
    "guard_factor": Bounds(Decimal(0), Decimal(3), "a guard factor is 0 (simple acceptance) to 3; 1 is usual"),
    "calibration_months": Bounds(Decimal(1), Decimal(24), "a calibration holds 1 to 24 months; ISO 6789 says 12"),
    "calibration_cycles": Bounds(
        Decimal(1), Decimal(20_000), "a calibration holds 1 to 20000 cycles; ISO 6789 says 5000"
    ),
    "wrench_due_soon_days": Bounds(Decimal(0), Decimal(180), "a calibration is due soon 0 to 180 days before it ends"),
    "backup_days": Bounds(Decimal(0), Decimal(365), "a missing backup is told after 1 to 365 days, or never: 0"),
    "weekly_reminders": Bounds(Decimal(0), Decimal(52), "an owner is reminded 0 to 52 times weekly after a miss"),
    "quiet_from": Bounds(Decimal(0), Decimal(23), "the quiet begins at an hour from 0 to 23"),
    "quiet_until": Bounds(Decimal(0), Decimal(23), "the quiet ends at an hour from 0 to 23"),
    "disclosure_days": Bounds(Decimal(1), Decimal(3650), "who was shown what is kept for 1 to 3650 days"),
}


def within(name: str, value: Any) -> Any:
    """A number among the settings, or the nearest one that it may be: versions before 0.2 took any."""
    bounds = NUMBERS[name]
    nearest = min(max(value, bounds.lowest), bounds.highest)
    return value if nearest == value else type(value)(nearest)


def beyond(chosen: Mapping[str, Any]) -> list[str]:
    """The numbers that were chosen beyond what they may be, each in a sentence."""
    return [
        f"{name.replace('_', ' ')} was chosen as {chosen[name]}, and {within(name, Decimal(chosen[name]))} stands in: "
        f"{NUMBERS[name].says}"
        for name in NUMBERS
        if name in chosen and within(name, Decimal(chosen[name])) != Decimal(chosen[name])
    ]
