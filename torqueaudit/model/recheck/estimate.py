"""How far a vehicle has run since it left, as far as its own history tells, while nobody has read it: an estimate.

It may make a re-check due, so that somebody calls, and never missed. See decision 0115.
"""

from collections.abc import Sequence
from datetime import date, datetime, timedelta

from torqueaudit.model.job.record import JobRecord
from torqueaudit.model.job.road import run_of
from torqueaudit.model.recheck.arranged import target_of
from torqueaudit.model.vehicle.instrument import Hours, Run

# Common practice, no source: less tells one tour, and more tells of another season's owner.
LEAST, MOST = timedelta(days=28), timedelta(days=366)


def per_day_of(before: Sequence[tuple[datetime, int]], at: datetime, figure: int) -> int | None:
    """What a vehicle runs a day, in whole metres or minutes, by what was read since a year ago and now.

    None where the first of these lies less than four weeks back, or it has not run.
    """
    first = next(((when, read) for when, read in before if at - MOST <= when), None)
    if first is None or at - first[0] < LEAST:
        return None
    return max((figure - first[1]) // (at - first[0]).days, 0) or None


def estimated(record: JobRecord, days: int) -> Run | None:
    """What its instrument shows some days after it left, by its own history; None where that tells nothing."""
    left = record.first_ride
    run = run_of(left) if left else None
    if left is None or left.per_day is None or run is None:
        return None
    more = left.per_day * max(days, 0)
    return Hours(run.minutes + more) if isinstance(run, Hours) else run + more


def estimated_on(record: JobRecord, left_on: date) -> date | None:
    """The day on which the estimate comes to what the re-check is due at; None where it never does."""
    left, target = record.first_ride, target_of(record)
    run = run_of(left) if left else None
    due = target.minutes if isinstance(run, Hours) else target.distance_m
    if left is None or left.per_day is None or run is None or due is None:
        return None
    ahead = due - (run.minutes if isinstance(run, Hours) else run)
    return left_on + timedelta(days=max(-(-ahead // left.per_day), 0))
