"""What stands in one cell of a row, by the mapping of its file: a word, or a number. Nothing is guessed."""

import re
from datetime import datetime
from decimal import Decimal

from torqueaudit.model.log.rows import LogRow
from torqueaudit.model.log.told import Told, name_in
from torqueaudit.model.numbers import quoted, read_decimal
from torqueaudit.model.torque.decimals import decimal_text
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


def cell_of(row: LogRow, column: str) -> str | Decimal | datetime:
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
