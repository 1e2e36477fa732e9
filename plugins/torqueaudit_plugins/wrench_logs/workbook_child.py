"""The program that reads one workbook and ends, so that one made to harm spends its own time and memory alone.

    python -m torqueaudit_plugins.wrench_logs.workbook_child < SHEET_AND_WORKBOOK

Its input is a line of JSON with the name of a sheet, and the workbook behind it. It prints one JSON object: `lines`,
each with its number, its cells as (kind, text), and why it cannot be read; or why nothing can be (`not_read`). A kind
is text, number, moment, or fault with the reason.
"""

import io
import json
import os
import sys
import warnings
from collections.abc import Iterator
from contextlib import suppress
from datetime import datetime, time, timedelta
from typing import Any, NamedTuple

from torqueaudit.plugin import MOST_ROWS, limit
from torqueaudit_plugins.wrench_logs.archive import NotRead, require_harmless

MOST_SECONDS = 20  # of processor; ten thousand rows of twenty cells take five
MOST_MEMORY = 400 * 1024 * 1024  # addresses, of which Python and the reader take a quarter
MOST_COLUMNS = 100
MOST_LINES = MOST_ROWS + 100  # with what may stand above the rows
MOST_CHARACTERS = 20_000_000  # of all cells
LONGEST = 300  # characters of a cell; nothing that is read is as long
DIGITS = 15  # a spreadsheet keeps no more of a number
_MUCH = b'{"not_read": "this workbook takes more memory than a list does; save its rows alone, as a new one or as CSV"}'
_MANY = (
    f"this sheet has more than {MOST_LINES} lines or {MOST_CHARACTERS} characters; split it, or save its rows as CSV"
)
_DAMAGED = "this is no workbook that can be read; open it in a spreadsheet program, and save it anew as .xlsx"
# What the reader of workbooks would import where it is there, and does without: it has no need of them here.
_NOT_NEEDED = ("numpy", "lxml", "defusedxml", "PIL")


class Told(NamedTuple):
    """A cell: its kind, and what is in it as text."""

    kind: str
    text: str


def main() -> None:
    """Read a workbook from standard input."""
    for name in _NOT_NEEDED:
        sys.modules[name] = None  # type: ignore[assignment]  # so that it is not found
    limit(MOST_MEMORY, MOST_SECONDS)
    warnings.simplefilter("ignore")
    try:
        answer = json.dumps({"lines": _lines(sys.stdin.buffer.readline(), sys.stdin.buffer.read())})
    except NotRead as error:
        answer = json.dumps({"not_read": str(error)})
    except MemoryError:
        os.write(sys.stdout.fileno(), _MUCH)  # what fills the memory is still held, so nothing new is made
        os._exit(0)
    except Exception:  # noqa: BLE001  # whatever a file that is no workbook makes of its reader
        answer = json.dumps({"not_read": _DAMAGED})
    with suppress(BrokenPipeError):
        sys.stdout.write(answer)
        sys.stdout.flush()


def _lines(asked: bytes, data: bytes) -> list[tuple[int, list[Told], str]]:
    merged = require_harmless(data)
    from openpyxl import load_workbook  # what is refused before is not even tried

    book = load_workbook(io.BytesIO(data), read_only=True, data_only=False, keep_links=False)
    sheet = _sheet(book, json.loads(asked)["sheet"])
    sheet.reset_dimensions()  # what it says of its own size may be anything
    lines, characters = [], 0
    for number, cells in _filled(sheet):
        fault = merged.says(sheet._worksheet_path, number)  # noqa: SLF001  # not told otherwise
        lines.append((number, cells, fault))
        characters += sum(len(each.text) for each in cells)
        if len(lines) > MOST_LINES or characters > MOST_CHARACTERS:
            raise NotRead(_MANY)
    return lines


def _sheet(book: Any, name: str) -> Any:
    """The sheet that is meant: the one that is seen, or one by its name."""
    shown = [each.title for each in book.worksheets if each.sheet_state == "visible"]
    if name and name not in book.sheetnames:
        raise NotRead(f'it has no sheet "{name}"; there are {_named(shown)}')
    if name and name not in shown:
        raise NotRead(f'its sheet "{name}" is hidden; show it first, so that what is read is what everybody sees')
    if not name and len(shown) != 1:
        raise NotRead(
            f"it has {len(shown)} sheets that are seen ({_named(shown)}); say [file] sheet = … in the mapping"
        )
    return book[name or shown[0]]


def _named(names: list[str]) -> str:
    told = ", ".join(f'"{name[:40]}"' for name in names[:5])
    return f"{told}, …" if len(names) > 5 else told or "none"  # noqa: PLR2004  # names that one sentence takes


def _filled(sheet: Any) -> Iterator[tuple[int, list[Told]]]:
    """Every row with something in it, by its number."""
    for row in sheet.iter_rows():
        cells = [_cell(each) for each in row[:MOST_COLUMNS]]
        if any(each.text for each in cells):
            yield next(each.row for each in row if each.value is not None), cells


def _cell(cell: Any) -> Told:
    value = cell.value
    if value is None:
        return Told("text", "")
    where = f"cell {cell.coordinate}"
    if cell.data_type == "f":
        return Told("fault", f"{where} holds a formula, and no value; put its value there")
    if cell.data_type == "e":
        return Told("fault", f"{where} holds an error ({str(value)[:20]})")
    return _value(value)


def _value(value: Any) -> Told:
    if isinstance(value, bool):
        return Told("text", str(value).lower())
    if isinstance(value, int | float):
        return Told("number", f"{value:.{DIGITS}g}" if isinstance(value, float) else str(value))
    if isinstance(value, datetime):
        rounded = (value + timedelta(milliseconds=500)).replace(microsecond=0)
        return Told("moment", rounded.isoformat())
    if isinstance(value, time | timedelta):
        return Told("text", str(value).partition(".")[0])
    return Told("text", str(value).strip()[:LONGEST])


if __name__ == "__main__":
    main()
