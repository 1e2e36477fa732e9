"""What is agreed about a re-check, and when it is due by that."""

from collections.abc import Mapping
from datetime import date
from typing import NamedTuple

from torqueaudit.model.job.facts import (
    Arrangement,
    RecheckAnswered,
    RecheckPostponed,
    RecheckReferred,
    RecheckRefused,
)
from torqueaudit.model.job.record import JobRecord
from torqueaudit.model.vehicle.instrument import Hours, Instrument, run_text

POSTPONED, REFUSED, REFERRED = "postponed", "refused", "referred"
_LISTED: Mapping[type, str] = {
    RecheckPostponed: POSTPONED,
    RecheckRefused: REFUSED,
    RecheckReferred: REFERRED,
}


class Target(NamedTuple):
    """When a re-check is due: its day, and what its instrument shows then; None for what is not planned.

    That is an odometer in metres, or an hour meter in minutes.
    """

    on: date | None = None
    distance_m: int | None = None
    minutes: int | None = None


def target_of(record: JobRecord) -> Target:
    """When a re-check is due, by the leaving it counts from, or by what it was put off to.

    What a postponement does not tell keeps holding.
    """
    left, agreed = record.first_ride, record.arranged
    if left is None:
        return Target()
    if not isinstance(agreed, RecheckPostponed):
        return Target(left.due_on, left.due_distance_m, left.due_min)
    return Target(
        on=agreed.until or left.due_on,
        distance_m=left.due_distance_m if agreed.until_m is None else agreed.until_m,
        minutes=left.due_min if agreed.until_min is None else agreed.until_min,
    )


def arranged_as(record: JobRecord) -> str:
    """What is agreed about a re-check that was not done, as the list holds it: "" where nothing is."""
    return "" if record.withdrawn or record.recheck else _LISTED.get(type(record.arranged), "")


def arranged_text(agreed: Arrangement, instrument: Instrument) -> str:
    """What was agreed, in words: "postponed until 2031-05-02 or 12 600 km"."""
    if isinstance(agreed, RecheckRefused):
        return "refused by the owner"
    if isinstance(agreed, RecheckReferred):
        return "handed to another workshop"
    if isinstance(agreed, RecheckAnswered):
        return f"another workshop found {'it in order' if agreed.in_order else 'a fault'}"
    far = agreed.until_m if agreed.until_min is None else Hours(agreed.until_min)
    until = (str(agreed.until or ""), run_text(far, instrument))
    return f"postponed until {' or '.join(filter(None, until))}"


def rests_on(record: JobRecord) -> int:
    """The number, within its job, of the entry that the day of its re-check rests on; 0 where it has not left."""
    left, agreed = record.first_ride, record.arranged
    if left is None:
        return 0
    return (agreed if isinstance(agreed, RecheckPostponed) else left).noted.number
