"""An odometer held against what was read off the vehicle before and after, over all its jobs.

A digit lost or typed twice would hide that a re-check is due, or make one due that is not. See decision 0066.
"""

from collections.abc import Sequence
from datetime import timedelta

from torqueaudit.book import vehicle_queries
from torqueaudit.model.act import BY_LABEL, Refused, See, Topic, came_of
from torqueaudit.model.judged.around import VehicleOdometer
from torqueaudit.model.register.distance import distance_text
from torqueaudit.workshop.door.attempt import Attempt

# Common practice, no source: nobody rides farther in a day, and a motorcycle that has run less than the second may well
# have ten times as much at its next visit.
MOST_A_DAY_M = 2_000_000
NEW_M = 1_000_000
A_DIGIT_MORE = 10
AGAIN = "Read the odometer again"
NOT_FITTING = "this does not fit what was read before. Look at the odometer again; if it is right, call the workshop"
DAY = timedelta(days=1)


def require_plausible(attempt: Attempt, vehicle: str, odometer_m: int, *, on_the_road: bool = False) -> None:
    """Refuse an odometer that does not fit what was read off the vehicle before and after that moment.

    Whoever says that they are sure of it is believed, as an instrument may have been exchanged. A report `on_the_road`
    never counts down, for it may bring a re-check forward and never puts one off. Whoever has nothing but a label is
    not told what was read.
    """
    try:
        _hold_against_others(attempt, vehicle, odometer_m, on_the_road=on_the_road)
    except Refused:
        if attempt.say.came == BY_LABEL:
            raise Refused(NOT_FITTING) from None
        raise


def _hold_against_others(attempt: Attempt, vehicle: str, odometer_m: int, *, on_the_road: bool) -> None:
    readings = vehicle_queries.odometers_of(attempt.workshop.book, vehicle)
    before = [each for each in readings if each.happened_at <= attempt.happened_at]
    after = readings[len(before) :]
    if before and odometer_m < before[-1].metres:
        says = f"{distance_text(odometer_m)} is less than the {_read(attempt, before[-1])}; read the odometer again"
        says += _if_false(attempt, before[-1])
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


def _if_false(attempt: Attempt, reading: VehicleOdometer) -> str:
    """How to go on where anybody who has seen the label may have told the reading."""
    if not _is_by_label(attempt, reading):
        return ""
    return f". It was told by a label alone: if it is false, strike #{reading.entry} first"


def _is_by_label(attempt: Attempt, reading: VehicleOdometer) -> bool:
    entry = attempt.workshop.book.entry(reading.entry)
    return entry is not None and came_of(entry.judged) == BY_LABEL


def _read(attempt: Attempt, reading: VehicleOdometer, later: str = "") -> str:
    """What was read, when and where: "12000 km read on 2031-04-02 in job 1".

    Nobody of the workshop has read what a label told.
    """
    day = attempt.workshop.local_day(reading.happened_at)
    entry = attempt.workshop.book.entry(reading.entry)
    if _is_by_label(attempt, reading):
        return f"{distance_text(reading.metres)} told by the label {later}on {day} (entry {reading.entry})"
    where = f" in job {entry.key}" if entry and entry.subject.startswith("job/") else ""
    return f"{distance_text(reading.metres)} read {later}on {day}{where}"
