"""What a night could not audit, and what it says of the workshop itself: plugins, entries, wrenches, the clock."""

from collections.abc import Iterator
from itertools import pairwise

from torqueaudit.book import queries
from torqueaudit.ledger.entry import Entry, document_of, hash_of, stamp
from torqueaudit.model.act import See
from torqueaudit.model.judged.rule_name import short_name
from torqueaudit.model.shown.night import Line
from torqueaudit.workshop.night.desk import KEEP, VERIFYING, Desk, first_few
from torqueaudit.workshop.night.road import expired
from torqueaudit.workshop.night.wrenches import wrench_lines

PAGE = 200


def workshop_line(says: str, see: See | None = None) -> Line:
    """A line that is about no job."""
    return Line(job="", vehicle="", tag="", title="", holds="", says=says, see=see)


def plugin_trouble(desk: Desk) -> Iterator[Line]:
    """Each plugin that is absent, blocked or broken, with the jobs whose procedure needs it."""
    for trouble in desk.trouble:
        jobs = [str(need.job) for need in queries.jobs_needing(desk.book, [trouble.name])]
        needing = f" Needed by job {first_few(jobs)}." if jobs else ""
        yield workshop_line(f"Plugin {trouble.name} {trouble.says}. Mend it and run the night again.{needing}")


class DayEntries:
    """The entries recorded since the day began, and some before, read back from the end: the cost follows the day."""

    def __init__(self, desk: Desk) -> None:
        self.fault = ""
        self.rows: list[tuple[Entry, str]] = []
        start, last = stamp(desk.start), desk.book.head().sequence
        while last > 0 and not (self.rows and self.rows[0][0].recorded_at < start):
            first = max(1, last - PAGE + 1)
            try:
                self.rows = desk.book.ledger(first, last) + self.rows
            except Exception as error:  # noqa: BLE001  # whatever a damaged entry does, the night goes on and says so
                self.fault = f"Entries {first} to {last} cannot be read ({type(error).__name__}: {error})."
                return
            last = first - 1

    def faults(self) -> Iterator[Line]:
        """Entries that do not give their hash, or do not follow the one before them."""
        says = [self.fault] if self.fault else []
        says += [
            f"Entry {entry.sequence} was altered: its text no longer gives its hash."
            for entry, digest in self.rows
            if hash_of(document_of(entry)) != digest
        ]
        says += [
            f"Entry {entry.sequence} does not follow the entry before it."
            for (_, before), (entry, _) in pairwise(self.rows)
            if entry.previous != before
        ]
        for text in says:
            yield workshop_line(f"{text} {KEEP}", VERIFYING)

    def of_day(self, first: str, last: str) -> list[Entry]:
        """The entries recorded from one stamp to before another."""
        return [entry for entry, _ in self.rows if first <= entry.recorded_at < last]

    def set_back(self, now: str) -> Iterator[Line]:
        """Where the machine's clock went backwards."""
        moments = [(entry.sequence, entry.recorded_at) for entry, _ in self.rows]
        for (_, before), (sequence, after) in pairwise(moments):
            if after < before:
                yield workshop_line(
                    f"The clock was set back before entry {sequence}, from {before} to {after}. Look why."
                )
        if moments and moments[-1][1] > now:
            says = f"The newest entry was recorded at {moments[-1][1]}, and this clock says {now}. Set the clock right."
            yield workshop_line(says)


def rest(desk: Desk, entries: DayEntries) -> Iterator[Line]:
    """Concessions that have ended, wrenches withdrawn or to calibrate, a clock set back."""
    for flagged, granted in expired(desk):
        named = f"“{short_name(granted.covers.rule)}” on {granted.covers.subject}"
        says = f"The concession for {named} ended on {granted.expires_on}"
        yield flagged.line(f"{says}. Put it right, or grant it anew with its basis.")
    yield from wrench_lines(desk, entries.of_day(*desk.utc_day))
    yield from entries.set_back(stamp(desk.workshop.clock()))
