"""What stands in a cell of a row, by the mapping of its file: a word, a number, a torque, a day; nothing is guessed."""

import re
from contextlib import suppress
from datetime import date, datetime
from decimal import Decimal

from torqueaudit.model.days import require_year
from torqueaudit.model.log.rows import Cell, LogRow
from torqueaudit.model.log.told import Told, name_in
from torqueaudit.model.log.when import Day
from torqueaudit.model.numbers import MOST_DIGITS, quoted, read_decimal
from torqueaudit.model.torque.decimals import decimal_text
from torqueaudit.model.torque.units import Torque, TorqueUnit
from torqueaudit.signs import require_seen

LONGEST_CELL = 200  # characters of a cell that is read
FURTHEST = 20  # digits before or behind the point


def is_told(row: LogRow, told: Told) -> bool:
    """Whether something that a row need not tell is told of it."""
    return bool(told.always) or (bool(told.column) and told.column in row.cells)


def word_of(row: LogRow, told: Told) -> str:
    """A word that is told of a row, by what it stands for; "" for what the mapping leaves out. Raises ValueError."""
    return name_in(told, text_of(row, told.column)) if told.column else told.always


def text_of(row: LogRow, column: str) -> str:
    """The words in a column; a number as it is written without zeros. Raises ValueError for none, and for a date."""
    cell = cell_of(row, column)
    if isinstance(cell, datetime):
        raise ValueError(f"{column} is a date, and no word or number")  # noqa: TRY004  # what stands in a file
    return decimal_text(cell) if isinstance(cell, Decimal) else cell


def cell_of(row: LogRow, column: str) -> Cell:
    """What stands in a column, words with single spaces. Raises ValueError for an empty one."""
    cell = row.cells.get(column, "")
    if isinstance(cell, Decimal) and not -FURTHEST < cell.adjusted() < FURTHEST:
        raise ValueError(f"{column} is larger or smaller than anything that is read")
    if not isinstance(cell, str):
        return cell
    if len(cell) > LONGEST_CELL:
        raise ValueError(f"{column} has more than {LONGEST_CELL} characters")
    require_seen(cell, column)
    words = " ".join(cell.split())
    if not words:
        raise ValueError(f"{column} is empty")
    return words


def number_of(row: LogRow, told: Told, sign: str) -> Decimal:
    """The number in a column; text has the mapping's sign before its decimals, and none between thousands.

    Raises ValueError for anything else.
    """
    cell = cell_of(row, told.column)
    if isinstance(cell, Decimal):
        return cell
    if isinstance(cell, datetime):
        raise ValueError(f"{told.column} is a date, and no number")  # noqa: TRY004  # what stands in a file
    if not re.fullmatch(rf"[+-]?[0-9]+(?:{re.escape(sign)}[0-9]+)?", cell):
        says = f"is no number with {quoted(sign)} before its decimals, as the mapping says"
        raise ValueError(f"{told.column} {quoted(cell)} {says}")
    # Which sign is meant is told, so nothing is asked back: no number of ours is as small as that.
    return read_decimal(cell.replace(",", "."), told.column, 0)


def torque_text(number: Decimal, unit: TorqueUnit, column: str) -> str:
    """A torque as entries hold it: without zeros at its end, and never as what may be thousands. Raises ValueError."""
    if number <= 0:
        raise ValueError(f"{column} is {decimal_text(number)}, and a torque is above zero")
    return f"{Torque(number, unit).number(MOST_DIGITS)} {unit.symbol}"


def day_of(row: LogRow, told: Day) -> date:
    """The day in a column, written as the mapping says or as ISO 8601 does. Raises ValueError."""
    day = date.fromisoformat(told.always) if told.always else _day_in(row, told)
    require_year(day)
    return day


def as_in_workbook(cell: Cell) -> Cell:
    """A moment of a workbook that is read as text where its row was left out, "2031-04-02 00:00:00"; else the cell."""
    if isinstance(cell, str) and re.fullmatch("[0-9]{4}-[0-9]{2}-[0-9]{2} [0-9]{2}:[0-9]{2}:[0-9]{2}", cell):
        with suppress(ValueError):
            return datetime.fromisoformat(cell)
    return cell


def _day_in(row: LogRow, told: Day) -> date:
    cell = as_in_workbook(cell_of(row, told.column))
    if isinstance(cell, datetime):
        return cell.date()
    text = decimal_text(cell) if isinstance(cell, Decimal) else cell
    for form in filter(None, (told.form, "%Y-%m-%d")):
        with suppress(ValueError):
            return datetime.strptime(text, form).date()  # noqa: DTZ007  # a day has no zone
    raise ValueError(f"{told.column} {quoted(text)} is no day written as {told.written}")
