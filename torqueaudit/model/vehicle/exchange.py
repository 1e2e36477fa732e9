"""An instrument that was replaced: what the old one showed last and the new one first, so that no distance is lost.

A reading stays what the instrument showed. What it is by the present one is worked out whenever somebody asks, from the
exchanges that stand: one that is told late, or taken back, puts everything right. See decision 0114.
"""

from collections.abc import Sequence
from datetime import datetime
from typing import NamedTuple, TypeAlias

from torqueaudit.model.vehicle.instrument import Hours, Instrument, Run

Order: TypeAlias = tuple[datetime, int]  # when something happened, and its entry


BEHIND = 2**53  # more than any entry's number


class Exchange(NamedTuple):
    """One instrument put in the place of another: what the old one showed last, and the new one first.

    Each is None where there was, or is, no instrument.
    """

    order: Order
    was: Run | None
    now: Run | None
    instrument: Instrument


class Replaced(NamedTuple):
    """What somebody says of an exchange; `instrument` is the new one."""

    instrument: Instrument
    was: Run | None
    now: Run | None


def moment(at: datetime) -> Order:
    """Behind everything that was told of a moment."""
    return (at, BEHIND)


def presently(exchanges: Sequence[Exchange], run: Run | None, order: Order, at: Order | None = None) -> Run | None:
    """What the instrument at a moment, or the present one, would show of a reading: below zero before it was new.

    None where no instrument tells, as one of another kind, or none, was there in between.
    """
    for each in exchanges:
        if not order < each.order <= (at or each.order):
            continue
        if isinstance(run, Hours) and isinstance(each.was, Hours) and isinstance(each.now, Hours):
            run = Hours(run.minutes - each.was.minutes + each.now.minutes)
        elif isinstance(run, int) and isinstance(each.was, int) and isinstance(each.now, int):
            run = run - each.was + each.now
        else:
            return None
    return run


def continued_m(exchanges: Sequence[Exchange], metres: int, order: Order) -> int:
    """What the first odometer would show of a distance that a later one showed, so that it never counts down."""
    counted = [(each.was, each.now) for each in exchanges if each.order <= order]
    was = [run for run, _ in counted if isinstance(run, int)]
    now = [run for _, run in counted if isinstance(run, int)]
    return metres + sum(was) - sum(now)
