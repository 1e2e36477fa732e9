"""A list as CSV, made of its JSON: one row for each object, which a spreadsheet opens without running anything."""

import csv
from collections.abc import Iterable, Mapping, Sequence
from io import StringIO
from typing import Any

from torqueaudit.reports.data import harmless, table_file


def list_csv(columns: Sequence[str], rows: Iterable[Mapping[str, Any]]) -> bytes:
    """The keys that are named, one column each; "overload.says" is a key of what lies under another."""
    target = StringIO()
    writer = csv.writer(target)
    writer.writerow(columns)
    for row in rows:
        writer.writerow([harmless(cell) for cell in cells(columns, row)])
    return table_file(target.getvalue())


def cells(columns: Sequence[str], row: Mapping[str, Any]) -> list[str]:
    """The cells of one row in words: nothing where nothing is known, yes and no, and of several all of them."""
    return [_cell(_value(row, column)) for column in columns]


def _value(row: Mapping[str, Any], column: str) -> Any:
    outer, _, inner = column.partition(".")
    value = row[outer]
    return value[inner] if inner and value is not None else value


def _cell(value: Any) -> str:
    match value:
        case None:
            return ""
        case bool():
            return "yes" if value else "no"
        case list():
            return "; ".join(map(str, value))
        case _:
            return str(value)
