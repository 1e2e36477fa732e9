"""A log as a workbook (ISO/IEC 29500, .xlsx), read in a process of its own that ends with it."""

import json
from datetime import datetime
from decimal import Decimal
from typing import Any

from torqueaudit.plugin import Cell, Ended, LogRows, LogSource, answer_apart
from torqueaudit_plugins.wrench_logs.head import Line, rows_below

MOST_WAITED = 60  # seconds; more than the processor time it has, for it gives way to everything else
FAULT = "fault"
_PROGRAM = "torqueaudit_plugins.wrench_logs.workbook_child"
_TOO_MUCH = "this workbook takes too long to read, which no list does; save its rows alone, as a new workbook or as CSV"
_BROKE_OFF = "reading this workbook broke off; save its rows as CSV, and read that"


def read_workbook(source: LogSource) -> LogRows:
    """The rows of its one sheet, or of the sheet that the mapping names. Raises ValueError."""
    try:
        answer = answer_apart(
            _PROGRAM, (), json.dumps({"sheet": source.sheet}).encode() + b"\n" + source.data, MOST_WAITED
        )
    except Ended as ended:
        raise ValueError(_TOO_MUCH if ended.too_long else _BROKE_OFF) from ended
    told = json.loads(answer)
    if "not_read" in told:
        raise ValueError(told["not_read"])
    return rows_below((_line(each) for each in told["lines"]), source.columns)


def _line(told: Any) -> Line:
    number, cells, fault = told
    faults = {place: text for place, (kind, text) in enumerate(cells) if kind == FAULT}
    return Line(number, [_cell(*each) for each in cells], fault, faults)


def _cell(kind: str, text: str) -> Cell:
    if kind == "number":
        return Decimal(text)
    if kind == "moment":
        return datetime.fromisoformat(text)
    return "" if kind == FAULT else text
