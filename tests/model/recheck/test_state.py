"""A re-check has one state: due by day or by distance, whichever comes first, late only past its grace."""

from datetime import date
from typing import TYPE_CHECKING, NamedTuple, cast

import pytest

from torqueaudit.model.job.noted import Noted
from torqueaudit.model.job.road import (
    Arrangement,
    HandOver,
    Recheck,
    RecheckAnswered,
    RecheckPostponed,
    RecheckReferred,
    RecheckRefused,
)
from torqueaudit.model.procedure.procedure import RecheckPlan
from torqueaudit.model.recheck.state import Now, RecheckState, Standing, standing_of
from torqueaudit.model.vehicle.visits import Presence

if TYPE_CHECKING:
    from torqueaudit.model.job.record import JobRecord

AWAY, HERE, GONE = Presence(here=False), Presence(here=True), Presence(here=False, gone=True)


class Said(NamedTuple):
    """What the state asks of a job's record."""

    first_ride: HandOver | None = None
    recheck: Recheck | None = None
    withdrawn: bool = False
    arranged: Arrangement | None = None


class Left(NamedTuple):
    """What it asks of a leaving."""

    due_on: date | None = date(2031, 4, 16)
    due_distance_m: int | None = 12_110_000
    due_min: int | None = None
    noted: Noted | None = None


PLAN = RecheckPlan(days=14, grace_days=7)
RIDDEN = Said(first_ride=cast("HandOver", Left()))


def standing(
    day: str,
    odometer_m: int | None = None,
    presence: Presence = AWAY,
    said: Said = RIDDEN,
    plan: RecheckPlan | None = PLAN,
) -> Standing:
    now = Now(date.fromisoformat(day), odometer_m, presence, overtaken=False)
    return standing_of(plan, cast("JobRecord", said), now)


@pytest.mark.parametrize(
    ("day", "odometer_m", "expected"),
    [
        ("2031-04-15", None, ("not yet due", 0, 0)),
        ("2031-04-16", None, ("due", 0, 0)),
        ("2031-04-23", None, ("due", 0, 0)),
        ("2031-04-24", None, ("missed", 8, 0)),
        ("2031-04-10", 12_110_000, ("due", 0, 0)),
        ("2031-04-10", 12_110_001, ("missed", 0, 1)),
        ("2031-04-25", 12_300_000, ("missed", 9, 190_000)),
    ],
)
def test_it_is_late_only_past_its_grace(day: str, odometer_m: int | None, expected: tuple[str, int, int]) -> None:
    """Then it is late since the day and the distance it was due at."""
    actual = standing(day, odometer_m)

    assert expected == (actual.state.value, actual.late_days, actual.late_m)


@pytest.mark.parametrize(
    ("expected", "presence", "said", "plan"),
    [
        (RecheckState.NONE_PLANNED, AWAY, RIDDEN, None),
        (RecheckState.NOT_YET_DUE, HERE, Said(), PLAN),
        (RecheckState.IN_HAND, HERE, RIDDEN, PLAN),
        (RecheckState.GONE, GONE, RIDDEN, PLAN),
        (RecheckState.DONE, AWAY, RIDDEN._replace(recheck=cast("Recheck", "looked at")), PLAN),
        (RecheckState.WITHDRAWN, AWAY, RIDDEN._replace(withdrawn=True), PLAN),
    ],
)
def test_what_is_not_waited_for_is_never_late(
    expected: RecheckState, presence: Presence, said: Said, plan: RecheckPlan | None
) -> None:
    """Months after its day."""
    actual = standing("2031-12-31", 20_000_000, presence, said, plan)

    assert (expected, 0, 0) == (actual.state, actual.late_days, actual.late_m)


def test_a_job_of_which_nothing_is_left_is_overtaken() -> None:
    """Later jobs have done each of its fasteners since."""
    now = Now(date(2031, 12, 31), None, AWAY, overtaken=True)

    assert RecheckState.OVERTAKEN is standing_of(PLAN, cast("JobRecord", RIDDEN), now).state


NOTED = cast("Noted", "said on 2031-04-10")
LATER = RecheckPostponed(NOTED, of=1, until=date(2031, 5, 2), until_m=12_600_000, why="abroad")


@pytest.mark.parametrize(
    ("day", "odometer_m", "expected"),
    [
        ("2031-04-30", 12_500_000, (RecheckState.POSTPONED, -2, -100_000)),
        ("2031-05-02", 12_500_000, (RecheckState.DUE, 0, -100_000)),
        ("2031-05-09", 12_500_000, (RecheckState.DUE, 7, -100_000)),
        ("2031-05-10", 12_500_000, (RecheckState.MISSED, 8, -100_000)),
        ("2031-04-12", 12_600_000, (RecheckState.DUE, -20, 0)),
        ("2031-04-12", 12_600_001, (RecheckState.MISSED, -20, 1)),
    ],
)
def test_what_is_put_off_is_due_at_its_new_day_or_distance(
    day: str, odometer_m: int, expected: tuple[RecheckState, int, int]
) -> None:
    """Whichever comes first, with the grace of the plan behind it."""
    assert expected == tuple(standing(day, odometer_m, said=RIDDEN._replace(arranged=LATER)))[:3]


@pytest.mark.parametrize(
    ("told", "day", "odometer_m", "expected"),
    [
        (LATER._replace(until_m=None), "2031-04-12", 12_110_000, RecheckState.DUE),
        (LATER._replace(until_m=None), "2031-04-20", 12_109_999, RecheckState.POSTPONED),
        (LATER._replace(until=None), "2031-04-16", 12_300_000, RecheckState.DUE),
        (LATER._replace(until=None), "2031-04-15", 12_300_000, RecheckState.POSTPONED),
    ],
)
def test_what_a_postponement_does_not_tell_keeps_holding(
    told: RecheckPostponed, day: str, odometer_m: int, expected: RecheckState
) -> None:
    """Put off to a day, it is due at the distance of its leaving all the same."""
    assert expected is standing(day, odometer_m, said=RIDDEN._replace(arranged=told)).state


@pytest.mark.parametrize(
    ("agreed", "expected"),
    [
        (RecheckRefused(NOTED, 1, "no time"), RecheckState.REFUSED),
        (RecheckReferred(NOTED, 1, "the workshop in the next valley", "it is nearer"), RecheckState.REFERRED),
        (RecheckAnswered(NOTED, 1, in_order=False, odometer_m=None, remark="a nut turns"), RecheckState.MISSED),
        (LATER, RecheckState.MISSED),
    ],
)
def test_what_was_agreed_comes_before_any_day_and_behind_the_vehicle(
    agreed: Arrangement, expected: RecheckState
) -> None:
    """Months after its day; in hand while it is here, whatever was agreed, and done once it is."""
    said = RIDDEN._replace(arranged=agreed)
    done = said._replace(recheck=cast("Recheck", "looked at"))
    states = [standing("2031-12-31", presence=presence, said=said).state for presence in (AWAY, HERE, GONE)]

    assert [expected, RecheckState.IN_HAND, RecheckState.GONE] == states
    assert RecheckState.DONE is standing("2031-12-31", presence=HERE, said=done).state
