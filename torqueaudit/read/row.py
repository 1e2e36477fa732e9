"""One row of a list, read cell by cell: every mistake in it is noted with its column, not the first alone."""

from collections.abc import Callable
from datetime import date
from typing import TypeVar

from torqueaudit.model.log.rows import LogRow
from torqueaudit.model.log.told import Told
from torqueaudit.model.log.when import Day
from torqueaudit.model.move_in.mapping import Joined
from torqueaudit.read.cell import LONGEST_CELL, day_of, is_told, word_of

T = TypeVar("T")


class RowReader:
    """Reads a row, and keeps what is wrong with it."""

    def __init__(self, row: LogRow) -> None:
        self.row = row
        self.wrong: list[str] = [row.fault] if row.fault else []

    def require_right(self) -> None:
        """Raise ValueError with all that is wrong, a sentence each."""
        if self.wrong:
            raise ValueError("; ".join(self.wrong))

    def read(self, column: str, reader: Callable[[], T], default: T) -> T:
        """What a reader makes of what stands in a column; the default where it raises ValueError, which is noted."""
        try:
            return reader()
        except ValueError as error:
            says = str(error)
            self.wrong.append(says if says.startswith(column) else f"{column}: {says}")
            return default

    def word(self, told: Told) -> str:
        """A word; "" where it is told nowhere, and where it cannot be read."""
        return self.read(told.column, lambda: word_of(self.row, told), "") if is_told(self.row, told) else ""

    def needed(self, told: Told) -> str:
        """A word that no row may lack."""
        return self.read(told.column, lambda: word_of(self.row, told), "")

    def one_of(self, told: Told, reader: Callable[[str], T], default: T) -> T:
        """What a reader makes of a word; the default where none is told."""
        word = self.word(told)
        return self.read(told.column, lambda: reader(word), default) if word else default

    def day(self, told: Day, needed: str = "") -> date | None:
        """A day; None where none can be read. Where one is `needed`, that says what to do about an empty cell."""
        if told.always or told.column in self.row.cells:
            return self.read(told.column, lambda: day_of(self.row, told), None)
        if needed:
            self.wrong.append(f"{told.column} is empty; {needed}")
        return None

    def joined(self, told: Joined) -> str:
        """The words of some columns, with commas between; those that are empty are passed over."""
        words = (self.word(Told(told.table, column=column)) for column in told.columns)
        text = ", ".join(filter(None, words))
        if len(text) > LONGEST_CELL:
            self.wrong.append(f"{told.columns[0]}: joined they have more than {LONGEST_CELL} characters")
        return text
