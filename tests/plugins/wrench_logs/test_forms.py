"""The same rows as text, as a workbook and as JSON lines are the same rows, and what is no row is told by its line."""

import csv
import io
import json
import os
from collections.abc import Sequence
from datetime import datetime, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import Workbook

from torqueaudit.model.log.mapping import LogMapping, read_mapping
from torqueaudit.model.log.rows import LogRows, LogSource
from torqueaudit.plugin.commands import unit_table
from torqueaudit.read.log import LogPass, read_pass
from torqueaudit_plugins.wrench_logs import read_log

UNITS = unit_table()
EXAMPLE = Path(__file__).parents[3] / "examples" / "wrench-logs"
COLUMNS = ("No", "When", "Torque", "Unit", "Wrench", "Job", "Place", "Angle")
MAPPING = """
format = 1
moment = { column = "When", zone = "Europe/Vienna" }
torque = { column = "Torque", decimal = "," }
unit = { column = "Unit" }
wrench = { column = "Wrench" }
job = { column = "Job" }
fastener = { column = "Place" }
angle = { column = "Angle" }
number = { column = "No" }
"""


class Row(NamedTuple):
    """One pass as a wrench would log it."""

    number: int
    when: datetime
    torque: Decimal
    unit: str
    wrench: str
    job: int
    place: str
    angle: Decimal


ROWS = st.builds(
    Row,
    number=st.integers(1, 10**9),
    # Without the hours that a clock shows twice or never.
    when=st.builds(
        lambda seconds: datetime(2031, 4, 2) + timedelta(seconds=seconds),  # noqa: DTZ001  # the wrench's own clock
        st.integers(0, 10_000_000),
    ),
    torque=st.decimals("0.01", "999", places=2),
    unit=st.sampled_from(["N·m", "lbf·ft", "kgf-m", "in-lb"]),
    wrench=st.sampled_from(["W-1", "w2", "W 3"]),
    job=st.integers(1, 9999),
    place=st.sampled_from(["rear-axle-nut", "sprocket-bolt-3", 'odd "place"; with, signs']),
    angle=st.decimals("1", "360", places=1),
)


def as_text(rows: Sequence[Row], mark: str = "") -> bytes:
    """Separated by commas, decimals with a comma."""
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(COLUMNS)
    for row in rows:
        writer.writerow([str(each).replace(".", ",") if isinstance(each, Decimal) else each for each in row])
    return (mark + text.getvalue()).encode()


def as_workbook(rows: Sequence[Row]) -> bytes:
    """Numbers as numbers and moments as dates, as a spreadsheet program keeps them."""
    book = Workbook()
    book.active.append(COLUMNS)
    for row in rows:
        book.active.append([float(each) if isinstance(each, Decimal) else each for each in row])
    return saved(book)


def saved(book: Any) -> bytes:
    """A workbook's file."""
    file = io.BytesIO()
    book.save(file)
    return file.getvalue()


def as_json_lines(rows: Sequence[Row]) -> bytes:
    """Numbers as numbers, moments in ISO 8601."""
    told = ({**dict(zip(COLUMNS, row, strict=True)), "When": row.when.isoformat()} for row in rows)
    return "".join(f"{json.dumps(each, default=float)}\n" for each in told).encode()


def rows_of(name: str, data: bytes, **how: str) -> LogRows:
    """What the plugin reads."""
    found = read_log(LogSource(name, data, COLUMNS, **how))
    assert found is not None
    return found


def passes(name: str, data: bytes, mapping: LogMapping) -> list[LogPass]:
    """What the rows say."""
    return [read_pass(each, mapping, UNITS) for each in rows_of(name, data).rows]


@settings(max_examples=100 if "TORQUEAUDIT_PROOF" in os.environ else 6)  # each begins a process of its own
@given(st.lists(ROWS, min_size=1, max_size=8))
def test_the_same_rows_say_the_same_in_each_form(rows: list[Row]) -> None:
    """What an entry is made of is equal, so a row is known again whichever file it comes in."""
    mapping = read_mapping(MAPPING, UNITS)
    expected = passes("log.csv", as_text(rows), mapping)

    assert len(rows) == len(expected)
    assert [row.torque for row in rows] == [UNITS.parse(each.shown).value for each in expected]
    assert expected == passes("log.xlsx", as_workbook(rows), mapping)
    assert expected == passes("LOG.JSONL", as_json_lines(rows), mapping)
    assert expected == passes("log.txt", as_text(rows, "\ufeff"), mapping)


def text_with(separator: str, *lines: str, encoding: str = "utf-8") -> bytes:
    """A text below the head of all columns."""
    return "\r\n".join((separator.join(COLUMNS), *lines)).encode(encoding)


def test_what_stands_above_the_head_is_passed_over_and_lines_keep_their_numbers() -> None:
    """A title, an empty line; a record over two lines is told by the first."""
    data = b"A log\r\n\r\n" + text_with(";", '1;"two\r\nlines";3', ";;", "2;b;c")
    found = rows_of("log.csv", data, separator=";")

    assert [4, 7] == [row.line for row in found.rows]
    assert "two\r\nlines" == found.rows[0].cells["When"]


@pytest.mark.parametrize(("mark", "encoding"), [("", "windows-1252"), ("\ufeff", "utf-16-le"), ("\ufeff", "utf-8")])
def test_a_text_is_read_as_it_is_marked_or_as_the_mapping_says(mark: str, encoding: str) -> None:
    """A mark at its beginning goes before what the mapping says."""
    data = (mark + text_with(",", "1,ü").decode()).encode(encoding)
    found = rows_of("log.csv", data, encoding="windows-1252")

    assert "ü" == found.rows[0].cells["When"]


def test_letters_that_are_written_otherwise_than_the_mapping_says_are_entered_by_nobody() -> None:
    """A list that was saved anew as UTF-8 without its mark would be read, with two signs for each letter."""
    says = "it is UTF-8 text, and the mapping says windows-1252; save it as that, or put the mapping right"
    with pytest.raises(ValueError, match=says):
        rows_of("log.csv", text_with(",", "1,ü"), encoding="windows-1252")

    assert "1" == rows_of("log.csv", text_with(",", "1,u"), encoding="windows-1252").rows[0].cells["No"]


REFUSED = {
    "nothing": ("log.csv", b"", "it holds no line"),
    "another column": (
        "log.csv",
        text_with(",").replace(b"Torque", b"Torqe"),
        'line 1 lacks "Torque": did you mean "Torqe"?',
    ),
    "another separator": ("log.csv", text_with(";"), "look at separator, sheet and columns there"),
    "a column twice": ("log.csv", text_with(",").replace(b"Angle", b"Angle,Job"), 'line 1 has the column "Job" twice'),
    "an open quotation mark": ("log.csv", text_with(",", '1,"a'), "the record that begins on line 2 cannot be read"),
    "no such text": ("log.csv", text_with(",", "1,ü", encoding="cp1252"), "it is no UTF-8 text; say in the mapping"),
    "no JSON": ("log.jsonl", b"1\n[2]\n", "no line of it is a JSON object"),
    "JSON without a column": ("log.jsonl", b'{"No": 1}\n', 'every line of it lacks the column "When"; known are No'),
    "no workbook": ("log.xlsx", b"PK", "this is damaged, or no .xlsx workbook; open it in a spreadsheet program"),
    "the form before it": (
        "log.xlsx",
        b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1",
        "locked with a password, or of the form before",
    ),
}


@pytest.mark.parametrize("what", REFUSED)
def test_a_file_without_its_rows_is_refused(what: str) -> None:
    """With one sentence that says what to do."""
    name, data, says = REFUSED[what]
    with pytest.raises(ValueError, match=r".") as caught:
        rows_of(name, data)

    assert says in str(caught.value)
    assert "\n" not in str(caught.value)


BAD_LINES = {
    "no JSON": ("torque 98", "the line is no JSON object"),
    "a list": ("[1]", "the line is no JSON object"),
    "a list inside": ('{"No": [1]}', '"No" holds a list or an object; write one value'),
    "twice": ('{"No": 1, "No": 2}', "the line names something twice"),
    "no number": ('{"Torque": NaN}', "NaN is no number"),
    "too deep": ("[" * 5000, "the line is no JSON object"),
    "too long": (f'{{"No": "{"9" * 20_000}"}}', "the line is longer than 20000 characters"),
}


@pytest.mark.parametrize("what", BAD_LINES)
def test_a_line_that_is_no_row_is_told_and_kept_for_whoever_mends_it(what: str) -> None:
    """The others are read; null and empty text are no cells."""
    line, says = BAD_LINES[what]
    good = json.dumps(dict.fromkeys(COLUMNS, 1) | {"Angle": None, "Unit": "", "more": True})
    found = rows_of("log.jsonl", f"{good}\n\n{line}\n".encode() + json.dumps(dict.fromkeys(COLUMNS, "x")).encode())

    assert [(1, ""), (3, says), (4, "")] == [(row.line, row.fault) for row in found.rows]
    assert line[:20_000] == found.rows[1].cells["text of the line"]
    assert "true" == found.rows[0].cells["more"]
    assert not {"Angle", "Unit"} & found.rows[0].cells.keys()


def test_the_example_is_read_by_its_mapping() -> None:
    """The log that lies beside the documents: four rows say something, of one nobody knows which fastener it was."""
    mapping = read_mapping((EXAMPLE / "mapping.toml").read_text(encoding="utf-8"), UNITS)
    log = LogSource("front-wheel.csv", (EXAMPLE / "front-wheel.csv").read_bytes(), mapping.columns, ";")
    found = read_log(log)
    assert found
    *said, last = found.rows

    assert [("pinch-bolt-1", 2, "19.2 N·m", ""), ("front-caliper-bolt-1", 0, "30.1 N·m", "44.5")] == [
        (told.fastener, told.stage, told.shown, told.angle)
        for told in (read_pass(row, mapping, UNITS) for row in said[::2])
    ]
    first = read_pass(said[0], mapping, UNITS)
    assert ("10", "W-2", "101") == (first.job, first.wrench, first.number)
    with pytest.raises(ValueError, match=r'Place "5" is not in \[fastener\.names\]; known are 1, 2, 3, 4'):
        read_pass(last, mapping, UNITS)
