"""How a workshop's re-checks and marks went over the last months, as a night tells it: numbers, of no person."""

from datetime import date
from typing import NamedTuple


class MonthOfRechecks(NamedTuple):
    """The re-checks whose day lay in one month, `month` its first day: done by that day, done later, and not done."""

    month: date
    in_time: int
    later: int
    not_done: int

    @property
    def due(self) -> int:
        """All of them."""
        return self.in_time + self.later + self.not_done

    @property
    def missed_percent(self) -> int:
        """The share that was not done, in whole percent."""
        return round(100 * self.not_done / self.due) if self.due else 0


class DisturbedMarks(NamedTuple):
    """How often a mark of one fastener was found disturbed; `fastener` is its key, the same for a group's bolts."""

    fastener: str
    found: int

    @property
    def name(self) -> str:
        """The fastener in words, whatever procedure it was done by."""
        return self.fastener.replace("-", " ")


class Trends(NamedTuple):
    """The months up to that of a night, the oldest first, and the marks found disturbed in them, most often first."""

    months: tuple[MonthOfRechecks, ...]
    marks: tuple[DisturbedMarks, ...]

    @property
    def of_months(self) -> tuple[str, ...]:
        """A sentence for each month in which a re-check was due."""
        return tuple(
            f"{each.month:%B %Y}: {each.due} re-check{'s' * (each.due > 1)} due, {each.in_time} done by the day, "
            f"{each.later} later, {each.not_done} not ({each.missed_percent} %)."
            for each in self.months
            if each.due
        )

    @property
    def of_marks(self) -> str:
        """Which marks were found disturbed, in a sentence; "" where none was."""
        found = ", ".join(f"{each.name} {each.found}" for each in self.marks)
        return f"Marks found disturbed: {found}." if found else ""


NONE = Trends((), ())
