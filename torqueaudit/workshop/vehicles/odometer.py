"""An odometer held against what was read off the vehicle before and after, over all its jobs.

A digit lost or typed twice would hide that a re-check is due, or make one due that is not. See decision 0066.
"""

from collections.abc import Sequence
from datetime import timedelta

from torqueaudit.book import vehicle_queries
from torqueaudit.model.act import Refused, See, Topic
from torqueaudit.model.judged.around import VehicleOdometer
from torqueaudit.model.register.distance import distance_text
from torqueaudit.workshop.door.attempt import Attempt

# Common practice, no source: nobody rides farther in a day, and a motorcycle that has run less than the second may well
# have ten times as much at its next visit.
MOST_A_DAY_M = 2_000_000
NEW_M = 1_000_000
A_DIGIT_MORE = 10
AGAIN = "Read the odometer again"
DAY = timedelta(days=1)


def require_plausible(attempt: Attempt, vehicle: str, odometer_m: int, *, on_the_road: bool = False) -> None:
    """Refuse an odometer that does not fit what was read off the vehicle before and after that moment.

    Whoever says that they are sure of it is believed, as an instrument may have been exchanged. A report `on_the_road`
    never counts down, for it may bring a re-check forward and never puts one off.
    """
    readings = vehicle_queries.odometers_of(attempt.workshop.book, vehicle)
    before = [each for each in readings if each.happened_at <= attempt.happened_at]
    after = readings[len(before) :]
    if before and odometer_m < before[-1].metres:
        says = f"{distance_text(odometer_m)} is less than the {_read(attempt, before[-1])}; read the odometer again"
        if on_the_road:
            raise Refused(says)
        _ask_back(attempt, says, Topic.EXCHANGED)
    elif before:
        _require_rise(attempt, before, odometer_m)
    if after and odometer_m > after[0].metres:
        says = f"{distance_text(odometer_m)} is more than the {_read(attempt, after[0], 'later, ')}"
        _ask_back(attempt, f"{says}. Look at the date too. {AGAIN}", Topic.SURE)


def _require_rise(attempt: Attempt, before: Sequence[VehicleOdometer], odometer_m: int) -> None:
    """Ask back for a digit too many, and for more than anybody rides."""
    last = before[-1]
    days = max((attempt.happened_at - last.happened_at) / DAY, 1)
    if last.metres >= NEW_M and odometer_m >= A_DIGIT_MORE * last.metres:
        says = (
            f"{distance_text(odometer_m)} is ten times the {_read(attempt, last)}, or more: is there a digit too many"
        )
        _ask_back(attempt, f"{says}? {AGAIN}", Topic.SURE)
    elif odometer_m - last.metres > MOST_A_DAY_M * days:
        rise = f"{distance_text(odometer_m - last.metres)} more than the {_read(attempt, last)}"
        says = f"{distance_text(odometer_m)} is {rise}, and nobody rides {distance_text(MOST_A_DAY_M)} a day"
        _ask_back(attempt, f"{says}. {AGAIN}", Topic.SURE)


def _ask_back(attempt: Attempt, says: str, topic: Topic) -> None:
    if not attempt.say.sure:
        raise Refused(says, See(topic))


def _read(attempt: Attempt, reading: VehicleOdometer, later: str = "") -> str:
    """What was read, when and where: "12000 km read on 2031-04-02 in job 1"."""
    day = attempt.workshop.local_day(reading.happened_at)
    entry = attempt.workshop.book.entry(reading.entry)
    where = f" in job {entry.key}" if entry and entry.subject.startswith("job/") else ""
    return f"{distance_text(reading.metres)} read {later}on {day}{where}"
