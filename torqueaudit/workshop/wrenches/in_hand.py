"""A wrench taken in hand: what it rests on at that moment by calendar and cycles, and what has overloaded it."""

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from typing import NamedTuple

from torqueaudit.book import vehicle_queries
from torqueaudit.book.book import Book
from torqueaudit.ledger.entry import stamp
from torqueaudit.model.job.entries import fact_of
from torqueaudit.model.job.facts import Tightening
from torqueaudit.model.register.settings import Settings, begin_of
from torqueaudit.model.wrench.overload import Overload, last_seen, overload_of
from torqueaudit.model.wrench.words import cycles_text
from torqueaudit.model.wrench.wrench import InForce, Wrench

SECOND = timedelta(seconds=1)


class InHand(NamedTuple):
    """A wrench taken in hand at one moment: what it rests on then, and the cycles it has done since, at least.

    `overload` is the pass that overloaded it, where nobody has put it aside or looked at it since.
    """

    wrench: Wrench
    in_force: InForce
    cycles: int
    overload: Overload | None

    def towards(self, side: str) -> "InHand":
        """The same wrench, used on a thread of one side."""
        return self._replace(in_force=self.in_force.towards(self.wrench, side))


def take(book: Book, settings: Settings, wrench: Wrench, at: datetime) -> InHand:
    """What a wrench rests on at a moment, by date and by the cycles since its calibration, whichever ends first."""
    day = at.astimezone(settings.timezone).date()
    calibration = wrench.calibrated_before(day)
    cycles = cycles_since(book, settings, wrench, calibration.on if calibration else None, at)
    in_force = wrench.in_force(day)
    if not in_force.why_not and cycles >= settings.calibration_cycles:
        says = f"wrench {wrench.number} has done {cycles_text(cycles)}; {settings.calibration_cycles} are allowed"
        in_force = InForce(None, in_force.due_on, says)
    return InHand(wrench, in_force, cycles, overloaded(book, settings, wrench, at))


def overloaded(book: Book, settings: Settings, wrench: Wrench, at: datetime) -> Overload | None:
    """The pass up to a moment that overloaded a wrench, where nobody has put it aside or looked at it since."""
    return overload_of(wrench, _above(book, settings, wrench, at))


def cycles_since(book: Book, settings: Settings, wrench: Wrench, day: date | None, at: datetime) -> int:
    """How often a wrench was used from a local day up to a moment: what the book holds and what was estimated.

    Called "at least", for nobody records every use. Stamps are whole seconds, so what the book holds of the same second
    was told before and counts.
    """
    since = _midnight(settings, day) if day else ""
    counted = vehicle_queries.wrench_cycles(book, wrench.number, since, stamp(at + SECOND))
    return counted + wrench.unrecorded_since(day)


def _above(book: Book, settings: Settings, wrench: Wrench, at: datetime) -> Iterator[Overload]:
    """The passes up to a moment that may lie above its highest value, those of the days before its last look left out.

    Each is read when it is asked for, and the first one that counts is the last one asked for.
    """
    if wrench.max_nm is None:
        return
    seen = last_seen(wrench)
    since = _midnight(settings, seen) if seen else ""
    for row in vehicle_queries.wrench_uses_above(book, wrench.number, wrench.max_nm, since, stamp(at + SECOND)):
        entry = book.entry(row.entry)
        done = fact_of(entry) if entry else None
        if isinstance(done, Tightening):
            yield Overload(str(row.job), done.noted.happened_at.astimezone(settings.timezone).date(), done)


def _midnight(settings: Settings, day: date) -> str:
    return stamp(begin_of(day, settings.timezone))
