"""A wrench taken in hand: what it rests on at that moment, by the calendar and by the cycles it has done."""

from datetime import date, datetime, time, timedelta
from typing import NamedTuple

from torqueaudit.book import vehicle_queries
from torqueaudit.book.book import Book
from torqueaudit.ledger.entry import stamp
from torqueaudit.model.register.settings import Settings
from torqueaudit.model.wrench.words import cycles_text
from torqueaudit.model.wrench.wrench import InForce, Wrench

SECOND = timedelta(seconds=1)


class InHand(NamedTuple):
    """A wrench taken in hand at one moment: what it rests on then, and the cycles it has done since, at least."""

    wrench: Wrench
    in_force: InForce
    cycles: int


def take(book: Book, settings: Settings, wrench: Wrench, at: datetime) -> InHand:
    """What a wrench rests on at a moment, by date and by the cycles since its calibration, whichever ends first."""
    day = at.astimezone(settings.timezone).date()
    calibration = wrench.calibrated_before(day)
    cycles = cycles_since(book, settings, wrench, calibration.on if calibration else None, at)
    in_force = wrench.in_force(day)
    if not in_force.why_not and cycles >= settings.calibration_cycles:
        says = f"wrench {wrench.number} has done {cycles_text(cycles)}; {settings.calibration_cycles} are allowed"
        in_force = InForce(None, in_force.due_on, says)
    return InHand(wrench, in_force, cycles)


def cycles_since(book: Book, settings: Settings, wrench: Wrench, day: date | None, at: datetime) -> int:
    """How often a wrench was used from a local day up to a moment: what the book holds and what was estimated.

    Called "at least", for nobody records every use. Stamps are whole seconds, so what the book holds of the same second
    was told before and counts.
    """
    since = stamp(datetime.combine(day, time(), settings.timezone)) if day else ""
    counted = vehicle_queries.wrench_cycles(book, wrench.number, since, stamp(at + SECOND))
    return counted + wrench.unrecorded_since(day)
