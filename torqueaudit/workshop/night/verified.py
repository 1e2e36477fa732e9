"""A night verifies the book before it trusts it: chain, stored texts, words, lists, papers and seals.

A book of a usual size is verified whole each night. Where that would take long, it is verified whole once a week, and
the nights between look at what was recorded since, and at the newest seal.
"""

from collections.abc import Iterator
from datetime import date
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.book.errors import BookError
from torqueaudit.ledger.note import NoSignatures
from torqueaudit.model.register.nights import InFull
from torqueaudit.model.shown.night import Line
from torqueaudit.workshop.door.held import held_against
from torqueaudit.workshop.door.seal import Damaged, keys_of, newest_fitting
from torqueaudit.workshop.night.desk import KEEP, VERIFYING
from torqueaudit.workshop.night.in_full import DAYS

if TYPE_CHECKING:
    from torqueaudit.workshop.door.workshop import Workshop

EACH_NIGHT = 500_000  # entries, which are verified in less than half a minute
TOLD = 12  # faults; the rest is counted


class Verified(NamedTuple):
    """What a verification found; and the last day whose night found the whole book sound, with its newest entry."""

    faults: tuple[str, ...]
    whole_on: date | None
    whole_to: int

    def lines(self) -> Iterator[Line]:
        """What is wrong, behind what it means for the rest of the report."""
        if not self.faults:
            return
        yield Line("The book does not verify, so nothing that this report says can be relied on.")
        for fault in self.faults[:TOLD]:
            yield Line(fault)
        more = len(self.faults) - TOLD
        yield Line(KEEP if more <= 0 else f"{more} more faults are not listed here. {KEEP}", see=VERIFYING)


def verified(workshop: "Workshop", before: InFull | None, day: date, each_night: int) -> Verified:
    """Verify the whole book, or where it has more entries than `each_night`, what was recorded since it was sound."""
    newest = workshop.book.head().sequence
    on, to = (before.verified_on, before.verified_to) if before else (None, 0)
    whole = newest <= each_night or on is None or not 0 <= (day - on).days < DAYS
    try:
        faults = tuple(workshop.book.verify(after=0 if whole else to)) or _seal_faults(workshop, whole=whole)
    except BookError as error:
        faults = (f"{error.says}, so it cannot be verified.",)
    except Exception as error:  # noqa: BLE001  # whatever damage does, the night goes on and says so
        faults = (f"The verification broke off ({type(error).__name__}: {error}).",)
    return Verified(faults, day, newest) if whole and not faults else Verified(faults, on, to)


def _seal_faults(workshop: "Workshop", *, whole: bool) -> tuple[str, ...]:
    """What the seals beside the book say against the ledger: all of them, or the newest alone."""
    try:
        if whole:
            return held_against(workshop, ()).faults
        newest_fitting(workshop, keys_of(workshop))
    except Damaged as error:
        return (f"Held against its newest seal, {error}.",)
    except NoSignatures:  # told where the ledger cannot be sealed
        return ()
    return ()
