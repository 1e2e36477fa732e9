"""A log as one JSON object a line (RFC 8259), each with its columns by name.

{"time": "2031-04-02T09:15:00+02:00", "position": "rear-axle-nut", "torque": 98.2}
"""

import json
from collections.abc import Iterator
from decimal import Decimal
from itertools import islice
from typing import Any

from torqueaudit.plugin import MOST_ROWS, Cell, LogRow, LogRows, LogSource
from torqueaudit_plugins.wrench_logs.head import in_lines, require_columns
from torqueaudit_plugins.wrench_logs.text import text_of

LONGEST_LINE = 20_000  # characters


def read_json_lines(source: LogSource) -> LogRows:
    """The rows of a text. Raises ValueError where it has no line, or no line has a column of the mapping."""
    rows = tuple(islice(_rows(text_of(source)), MOST_ROWS + 1))
    columns = tuple(dict.fromkeys(name for row in rows for name in row.cells))
    if all(row.fault for row in rows):
        raise ValueError("no line of it is a JSON object")
    require_columns(columns, source.columns, "every line of it")
    return LogRows(columns, rows)


def _rows(text: str) -> Iterator[LogRow]:
    for number, line in in_lines(text):
        if line.strip():
            yield _row(number, line.strip())


def _row(number: int, line: str) -> LogRow:
    """One line; of one that cannot be read its text is kept, for whoever mends it."""
    try:
        if len(line) > LONGEST_LINE:
            raise ValueError(f"the line is longer than {LONGEST_LINE} characters")  # noqa: TRY301  # told as any other fault
        told = json.loads(line, parse_int=Decimal, parse_float=Decimal, parse_constant=_refuse, object_pairs_hook=_once)
        return LogRow(number, dict(_cells(told)))
    except (ValueError, RecursionError, ArithmeticError) as error:
        says = str(error) if type(error) is ValueError else "the line is no JSON object"
        return LogRow(number, {"text of the line": line[:LONGEST_LINE]}, says)


def _cells(told: Any) -> Iterator[tuple[str, Cell]]:
    """What is told by column; nothing of what is null."""
    if not isinstance(told, dict):
        raise ValueError("the line is no JSON object")  # noqa: TRY004  # what stands in a file
    for name, value in told.items():
        if isinstance(value, dict | list):
            raise ValueError(f'"{name}" holds a list or an object; write one value')  # noqa: TRY004  # as above
        if isinstance(value, bool):
            yield name, str(value).lower()
        elif value is not None and value != "":
            yield " ".join(name.split()), value


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    if len(dict(pairs)) < len(pairs):
        raise ValueError("the line names something twice")
    return dict(pairs)


def _refuse(word: str) -> None:
    raise ValueError(f"{word} is no number")
