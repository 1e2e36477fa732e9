"""The lines of a night by motorcycle: one row each, where its most urgent line stands, so nobody is called twice."""

from collections.abc import Container, Iterable, Iterator
from typing import NamedTuple

from torqueaudit.model.shown.night import Call, Line, NightSection


class Reason(NamedTuple):
    """A line that is told of a motorcycle, and the key and the title of the section that it is of."""

    key: str
    title: str
    line: Line


class Row(NamedTuple):
    """A motorcycle with every line about it, the most urgent first; or one line of the workshop's own, `vehicle` ""."""

    vehicle: str
    tag: str
    reasons: tuple[Reason, ...]

    @property
    def calls(self) -> tuple[Call, ...]:
        """Whom somebody calls about it, each once."""
        return tuple(call for call in dict.fromkeys(each.line.call for each in self.reasons) if call)

    @property
    def days_late(self) -> int | None:
        """By how many days the latest of it is late."""
        return max((each.line.days_late for each in self.reasons if each.line.days_late), default=None)

    @property
    def late_far(self) -> str:
        """How late the latest of it is by the instrument of the motorcycle, in words; "" where nothing is."""
        lines = (each.line for each in self.reasons)
        return max(lines, key=lambda line: (line.minutes_late or 0, line.metres_late or 0)).late_far


class Fold(NamedTuple):
    """A section as it is read: the rows that begin in it, and how many of its lines stand in rows further up."""

    section: NightSection
    rows: tuple[Row, ...]
    above: int


def folded(sections: Iterable[NightSection]) -> Iterator[Fold]:
    """The sections, the most urgent first, with each motorcycle in the first one that tells of it."""
    sections = tuple(sections)
    told: dict[str, list[Reason]] = {}
    for section in sections:
        for line in section.lines:
            told.setdefault(line.vehicle, []).append(Reason(section.key, section.title, line))
    for section in sections:
        rows = tuple(_rows(section, told))
        begun = sum(each.key == section.key for row in rows for each in row.reasons)
        yield Fold(section, rows, len(section.lines) - begun)


def _rows(section: NightSection, told: dict[str, list[Reason]]) -> Iterator[Row]:
    """The rows that begin in a section. What is taken from `told` is told no more further down."""
    for line in section.lines:
        if not line.vehicle:
            yield Row("", "", (Reason(section.key, section.title, line),))
        elif lines := told.pop(line.vehicle, None):
            tag = next((each.line.tag for each in lines if each.line.tag), "")
            yield Row(line.vehicle, tag, tuple(lines))


def count_text(fold: Fold) -> str:
    """How many lines a section has: "none", "3", or "3, 1 of them told above" where a row further up tells of it."""
    lines = len(fold.section.lines)
    if fold.above == lines:
        return f"{lines}, told above" if lines else "none"
    return f"{lines}, {fold.above} of them told above" if fold.above else str(lines)


def call_text(row: Row, unreached: Container[str]) -> str:
    """Whom to call about a row: "the owner"; "" where nobody is called."""
    lost = " (no number and no address is kept)" * (row.vehicle in unreached)
    return " and ".join(f"{call}{lost * (call is Call.OWNER)}" for call in row.calls)


def reaches_owner(row: Row, unreached: Container[str]) -> bool:
    """Whether its owner is called about a row, and something is kept to reach them by."""
    return Call.OWNER in row.calls and row.vehicle not in unreached
