"""What is agreed about a re-check, and when it is due by that."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import NamedTuple

from torqueaudit.model.job.noted import Noted
from torqueaudit.model.job.record import JobRecord
from torqueaudit.model.job.road import (
    Arrangement,
    HandOver,
    RecheckAnswered,
    RecheckPostponed,
    RecheckReferred,
    RecheckRefused,
)
from torqueaudit.model.vehicle.exchange import Exchange, presently
from torqueaudit.model.vehicle.instrument import Hours, Instrument, run_text, whole_figure

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


def target_of(record: JobRecord, exchanges: Sequence[Exchange] = ()) -> Target:
    """When a re-check is due, by the leaving it counts from, or by what it was put off to.

    What a postponement does not tell keeps holding. It is in what the present instrument shows, where `exchanges` are
    those of the vehicle; else in what the instrument of then showed.
    """
    left, agreed = record.first_ride, record.arranged
    if left is None:
        return Target()
    planned = target_of_leaving(left, exchanges)
    if not isinstance(agreed, RecheckPostponed):
        return planned
    far = _presently(exchanges, agreed.until_m, agreed.until_min, agreed.noted)
    return Target(
        on=agreed.until or planned.on,
        distance_m=planned.distance_m if agreed.until_m is None else far.distance_m,
        minutes=planned.minutes if agreed.until_min is None else far.minutes,
    )


def target_of_leaving(left: HandOver, exchanges: Sequence[Exchange] = ()) -> Target:
    """When the re-check of a leaving is due, whatever was agreed since."""
    return _presently(exchanges, left.due_distance_m, left.due_min, left.noted)._replace(on=left.due_on)


def _presently(exchanges: Sequence[Exchange], metres: int | None, minutes: int | None, noted: Noted) -> Target:
    """What was worked out at a moment, by the instrument of today, and by a new one at its last whole figure before."""
    told = metres if minutes is None else Hours(minutes)
    run = presently(exchanges, told, (noted.happened_at, noted.entry)) if exchanges else told
    if isinstance(run, Hours):
        return Target(None, None, run.minutes)
    return Target(None, run if run is None or run == told else whole_figure(run, exchanges[-1].instrument))


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
