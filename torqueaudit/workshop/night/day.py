"""The entries recorded on the day a night is about."""

from collections.abc import Iterator
from itertools import pairwise

from torqueaudit.ledger.entry import Entry, stamp
from torqueaudit.model.shown.night import Line
from torqueaudit.workshop.door.ledger import ledger_entries
from torqueaudit.workshop.door.refusal import why_of
from torqueaudit.workshop.night.desk import KEEP, VERIFYING, Desk

PAGE = 200


class DayEntries:
    """The entries recorded since the day began, and some before, read back from the end: the cost follows the day."""

    def __init__(self, desk: Desk) -> None:
        self.fault = ""
        self.rows: list[Entry] = []
        start, last = stamp(desk.start), desk.book.head().sequence
        while last > 0 and not (self.rows and self.rows[0].recorded_at < start):
            first = max(1, last - PAGE + 1)
            try:
                self.rows = [*ledger_entries(desk.workshop, first, last), *self.rows]
            except Exception as error:  # noqa: BLE001  # whatever a damaged entry does, the night goes on and says so
                self.fault = f"Entries {first} to {last} cannot be read ({why_of(error)})."
                return
            last = first - 1

    def faults(self) -> Iterator[Line]:
        """What of the day could not be read."""
        if self.fault:
            yield Line(f"{self.fault} {KEEP}", see=VERIFYING)

    def of_day(self, first: str, last: str) -> list[Entry]:
        """The entries recorded from one stamp to before another."""
        return [entry for entry in self.rows if first <= entry.recorded_at < last]

    def set_back(self, now: str) -> Iterator[Line]:
        """Where the machine's clock went backwards."""
        moments = [(entry.sequence, entry.recorded_at) for entry in self.rows]
        for (_, before), (sequence, after) in pairwise(moments):
            if after < before:
                yield Line(f"The clock was set back before entry {sequence}, from {before} to {after}. Look why.")
        if moments and moments[-1][1] > now:
            says = f"The newest entry was recorded at {moments[-1][1]}, and this clock says {now}. Set the clock right."
            yield Line(says)
