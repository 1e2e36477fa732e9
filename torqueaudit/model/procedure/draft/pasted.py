"""A table that was pasted from a spreadsheet, as pieces of work: a fastener in each row, the names of columns above."""

import csv
import re
from collections.abc import Iterator, Mapping
from io import StringIO
from typing import Any, NamedTuple

from torqueaudit.model.act import Refused
from torqueaudit.model.nearest import did_you_mean
from torqueaudit.model.procedure.draft.fields import Field, How, fields_of
from torqueaudit.model.procedure.draft.spelling import kept, key_of, several
from torqueaudit.model.procedure.words import FIELDS
from torqueaudit.signs import require_seen

MOST_ROWS = 100
KIND = "tighten"
_NO, _YES = ("", "no", "n", "0", "-", "–", "none", "false"), ("yes", "y", "x", "1", "true", "✓")
_ALSO_CALLED = {
    "fastener": "name",
    "position": "name",
    "order": "pattern",
    "number": "count",
    "class": "property_class",
}


_WITH_UNIT = re.compile(r"(.+?)\s*[(\[](.+)[)\]]")
_BARE = re.compile(r"[0-9]+(?:[.,][0-9]+)?")


class Row(NamedTuple):
    """A row: its line in what was pasted, counted from 1, and the piece of work that it is."""

    line: int
    work: Mapping[str, Any]


class _Column(NamedTuple):
    """A column: its field, and the unit in its name, "Torque (N·m)", which belongs to each bare number below it."""

    field: Field
    unit: str = ""


def columns() -> dict[str, Field]:
    """The columns that a table may have, by every name of theirs in small letters."""
    found: dict[str, Field] = {}
    for field in fields_of(KIND):
        for name in filter(None, (field.says, FIELDS.get(field.key, ""), field.key)):
            found.setdefault(name.lower(), field)
    return {**found, **{name: found[key] for name, key in _ALSO_CALLED.items()}}


def rows_in(text: str, source: str) -> list[Row]:
    """The rows of a table whose first line names its columns; `source` is that of rows which name none.

    Columns stand between tabs, as a spreadsheet copies them, or between semicolons. Raises Refused.
    """
    told = [(line, cells) for line, cells in _lines_of(text) if any(cell.strip() for cell in cells)]
    if len(told) < 2:  # noqa: PLR2004  # the names, and one row
        raise Refused("paste at least two lines: the names of the columns, and below them a fastener in each line")
    if len(told) > MOST_ROWS + 1:
        raise Refused(f"at most {MOST_ROWS} rows are pasted at once; these are {len(told) - 1}")
    if len(told[0][1]) == 1 and "," in told[0][1][0]:
        raise Refused(
            "the columns stand between commas, which numbers hold too; copy the cells in your spreadsheet itself"
        )
    names = [_column(cell) for cell in told[0][1]]
    _require_once([each.field for each in names if each])
    return [Row(line, _work(names, cells, line, source)) for line, cells in told[1:]]


def _lines_of(text: str) -> list[tuple[int, list[str]]]:
    """The cells of each row with the line it begins on; one in quotation marks may have line ends of its own."""
    between = "\t" if "\t" in text else ";"
    try:
        return list(_numbered(csv.reader(StringIO(text), delimiter=between, strict=True)))
    except csv.Error:  # a mark that is none, such as that of an inch, would take all rows below into its cell
        return list(_numbered(csv.reader(StringIO(text), delimiter=between, quoting=csv.QUOTE_NONE)))


def _numbered(rows: Any) -> Iterator[tuple[int, list[str]]]:
    line = 1
    for cells in rows:
        yield line, cells
        line = rows.line_num + 1


def _column(cell: str) -> _Column | None:
    """A column by its name; None for one without a name, whose cells have to be empty."""
    name, known = " ".join(cell.split()), columns()
    if not name:
        return None
    if found := known.get(name.lower()):
        return _Column(found)
    with_unit = _WITH_UNIT.fullmatch(name)
    if with_unit and (found := known.get(with_unit[1].lower())):
        return _Column(found, with_unit[2].strip())
    words = {(field.says or FIELDS[field.key]).lower() for field in known.values()}
    raise Refused(f"there is no column “{name.lower()}”; {did_you_mean(name.lower(), sorted(words))}")


def _require_once(fields: list[Field]) -> None:
    for each in fields:
        if fields.count(each) > 1:
            called = each.says or FIELDS[each.key]
            raise Refused(f"two columns are the {called}; leave one of them out")


def _work(names: list[_Column | None], cells: list[str], line: int, source: str) -> dict[str, Any]:
    work: dict[str, Any] = {}
    for nth, cell in enumerate(cells):
        column = names[nth] if nth < len(names) else None
        if column is not None:
            work |= _told(column, cell, line)
        elif cell.strip():
            raise Refused(f"line {line}: “{cell.strip()}” stands in no column that has a name")
    work["source"] = work.get("source") or source or None
    key = work.pop("key", None) or key_of(str(work.get("name") or "")) or f"row-{line}"
    return {KIND: key, **{key: value for key, value in work.items() if value is not None}}


def _told(column: _Column, cell: str, line: int) -> dict[str, Any]:
    field = column.field
    try:
        require_seen(cell, f"line {line}, {field.says or FIELDS[field.key]}", lines=True)
    except ValueError as error:
        raise Refused(str(error)) from None
    if field.how == How.TICK and cell.strip().lower() not in (*_NO, *_YES):
        return {field.key: cell.strip()}  # neither: the reader says so
    if column.unit and _BARE.fullmatch(cell.strip()):
        cell = f"{cell.strip()} {column.unit}"
    return kept(field, _typed(field, cell))


def _typed(field: Field, cell: str) -> list[str]:
    """What a form would send of a cell; several stand in one between commas."""
    cell = cell.strip()
    if field.how in (How.TICK, How.UNTICK):
        return [] if cell.lower() in _NO else ["yes"]
    if field.how in (How.LINES, How.PAIRS):
        return ["\n".join(several(cell))]
    return [each.strip() for each in cell.split(",")] if field.how == How.PIECES else [cell]
