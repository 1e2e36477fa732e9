"""The rows of a list of a workshop's own as they were looked at: what comes of each."""

from enum import StrEnum
from typing import NamedTuple

from torqueaudit.model.log.rows import LogRow
from torqueaudit.model.move_in.rows import ListedVehicle, ListedWrench


class Comes(StrEnum):
    """What comes of a row."""

    ENTERED = "entered"
    THERE = "there already"
    WRONG = "wrong"


class RowLook(NamedTuple):
    """A row, what comes of it, and that in words; `number` is what it has become, or is there as."""

    row: LogRow
    comes: Comes
    says: str
    number: str = ""
    told: ListedVehicle | ListedWrench | None = None


class ListLook(NamedTuple):
    """A list that was looked at: the SHA-256 of its file, its own columns, and every row."""

    file: str
    columns: tuple[str, ...]
    rows: tuple[RowLook, ...]

    def those(self, comes: Comes) -> tuple[RowLook, ...]:
        """The rows that one thing comes of."""
        return tuple(each for each in self.rows if each.comes is comes)
