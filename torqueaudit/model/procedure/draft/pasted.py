"""A table that was pasted from a spreadsheet, as pieces of work: a fastener in each row, the names of columns above."""

import csv
from collections.abc import Mapping
from typing import Any, NamedTuple

from torqueaudit.model.act import Refused
from torqueaudit.model.nearest import did_you_mean
from torqueaudit.model.procedure.draft.fields import Field, How, fields_of
from torqueaudit.model.procedure.draft.spelling import kept, key_of
from torqueaudit.model.procedure.words import FIELDS
from torqueaudit.signs import require_seen

MOST_ROWS = 100
KIND = "tighten"
_NO, _YES = ("", "no", "0", "-"), ("yes", "x", "1", "true")
_ALSO_CALLED = {
    "fastener": "name",
    "position": "name",
    "order": "pattern",
    "number": "count",
    "class": "property_class",
}


class Row(NamedTuple):
    """A row: its line in what was pasted, counted from 1, and the piece of work that it is."""

    line: int
    work: Mapping[str, Any]


def columns() -> dict[str, Field]:
    """The columns that a table may have, by every name of theirs in small letters."""
    found: dict[str, Field] = {}
    for field in fields_of(KIND):
        for name in (field.key, field.says, FIELDS.get(field.key, "")):
            found.setdefault(name.lower(), field)
    return {**found, **{name: found[key] for name, key in _ALSO_CALLED.items()}}


def rows_in(text: str, source: str) -> list[Row]:
    """The rows of a table whose first line names its columns; `source` is that of rows which name none.

    Columns stand between tabs, as a spreadsheet copies them, or between semicolons. Raises Refused.
    """
    lines = list(csv.reader(text.splitlines(), delimiter="\t" if "\t" in text else ";", strict=False))
    told = [(nth, cells) for nth, cells in enumerate(lines, start=1) if any(cell.strip() for cell in cells)]
    if len(told) < 2:  # noqa: PLR2004  # the names, and one row
        raise Refused("paste at least two lines: the names of the columns, and below them a fastener in each line")
    if len(told) > MOST_ROWS + 1:
        raise Refused(f"at most {MOST_ROWS} rows are pasted at once; these are {len(told) - 1}")
    names = [_column(cell) for cell in told[0][1]]
    return [Row(line, _work(names, cells, line, source)) for line, cells in told[1:]]


def _column(cell: str) -> Field | None:
    """The field of a column; None for one without a name, whose cells have to be empty."""
    name, known = " ".join(cell.split()).lower(), columns()
    if name and name not in known:
        raise Refused(f"there is no column “{name}”; {did_you_mean(name, known)}")
    return known.get(name)


def _work(names: list[Field | None], cells: list[str], line: int, source: str) -> dict[str, Any]:
    work: dict[str, Any] = {}
    for nth, cell in enumerate(cells):
        field = names[nth] if nth < len(names) else None
        if field is None:
            if cell.strip():
                raise Refused(f"line {line}: “{cell.strip()}” stands in no column that has a name")
            continue
        try:
            require_seen(cell, f"line {line}, {field.says or FIELDS[field.key]}", lines=True)
        except ValueError as error:
            raise Refused(str(error)) from None
        work |= kept(field, _typed(field, cell))
    work.setdefault("source", source or None)
    key = work.pop("key", None) or key_of(str(work.get("name") or "")) or f"row-{line}"
    return {KIND: key, **{key: value for key, value in work.items() if value is not None}}


def _typed(field: Field, cell: str) -> list[str]:
    """What a form would send of a cell; several stand in one between commas."""
    cell = cell.strip()
    if field.how in (How.TICK, How.UNTICK):
        return [] if cell.lower() in _NO else ["yes" if cell.lower() in _YES else cell]
    if field.how in (How.LINES, How.PAIRS):
        return ["\n".join(each.strip() for each in cell.split(","))]
    return [each.strip() for each in cell.split(",")] if field.how == How.PIECES else [cell]
