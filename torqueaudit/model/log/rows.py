"""A wrench's log, or a list of a workshop's own, as a plugin gets it, and its rows as the plugin gives them."""

from collections.abc import Mapping
from datetime import datetime
from decimal import Decimal
from typing import Any, NamedTuple, TypeAlias

MOST_ROWS = 10_000  # of one file; who reads one stops behind the first that is too many

Cell: TypeAlias = str | Decimal | datetime


class LogSource(NamedTuple):
    """A file to be read: its name, its bytes, and what the mapping says of how it is written.

    `columns` are those that the mapping names: what is read has all of them. `separator` and `encoding` are of a text
    file, `sheet` of a workbook; "" where the mapping says nothing of it.
    """

    name: str
    data: bytes
    columns: tuple[str, ...]
    separator: str = ""
    encoding: str = ""
    sheet: str = ""


class LogRow(NamedTuple):
    """One row, by the line that it stands on: what is in its cells by column, none of which is empty.

    A number or a moment is given as such where the file says that it is one, and else as the text that is written.
    `fault` says why nobody can tell what the row means; it is then listed with that.
    """

    line: int
    cells: Mapping[str, Cell]
    fault: str = ""


class LogRows(NamedTuple):
    """What a file holds: its columns in their order, and every row that is not empty."""

    columns: tuple[str, ...]
    rows: tuple[LogRow, ...]


def is_log(given: Any) -> bool:
    """Whether rows are made as they are to be: a plugin's author may not check types."""
    return (
        isinstance(given.columns, tuple)
        and all(isinstance(each, str) for each in given.columns)
        and isinstance(given.rows, tuple)
        and all(map(_is_row, given.rows))
    )


def _is_row(row: Any) -> bool:
    return isinstance(row, LogRow) and _is_made(row.line, row.cells, row.fault)


def _is_made(line: Any, cells: Any, fault: Any) -> bool:
    whole = type(line) is int and isinstance(fault, str) and isinstance(cells, Mapping)
    return whole and all(isinstance(name, str) and _is_cell(cell) for name, cell in cells.items())


def _is_cell(cell: Any) -> bool:
    return isinstance(cell, str | datetime) or (isinstance(cell, Decimal) and cell.is_finite())
