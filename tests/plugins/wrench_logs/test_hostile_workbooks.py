"""Workbooks made to harm, or that nobody can read as they stand: each ends in one sentence, within its limits."""

import io
import struct
import subprocess
import sys
import zipfile
from collections.abc import Callable, Mapping
from datetime import time
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.worksheet.worksheet import Worksheet

from torqueaudit.model.log.rows import LogRows, LogSource
from torqueaudit_plugins.wrench_logs import read_log

COLUMNS = ("Time", "Torque")
SHEET = "xl/worksheets/sheet1.xml"
CELL = '<c r="{0}" t="inlineStr"><is><t>{1}</t></is></c>'
LINUX = pytest.mark.skipif(sys.platform != "linux", reason="elsewhere the system keeps no limit of memory")


def book_of(*sheets: str) -> tuple[Any, Worksheet]:
    """A workbook of these sheets, the first with one row below its head."""
    book = Workbook()
    book.active.title = sheets[0] if sheets else "Log"
    for name in sheets[1:]:
        book.create_sheet(name)
    book.active.append(COLUMNS)
    book.active.append(["2031-04-02 10:05:00", 98.2])
    return book, book.active


def saved(book: Any) -> bytes:
    """Its file."""
    file = io.BytesIO()
    book.save(file)
    return file.getvalue()


def read(data: bytes, sheet: str = "") -> LogRows:
    """What is read of it."""
    found = read_log(LogSource("log.xlsx", data, COLUMNS, sheet=sheet))
    assert found is not None
    return found


def why_not(data: bytes, sheet: str = "") -> str:
    """The one sentence that says why nothing is."""
    with pytest.raises(ValueError, match=r".") as caught:
        read(data, sheet)
    assert "\n" not in str(caught.value)
    return str(caught.value)


def with_part(change: Callable[[bytes], bytes], part: str = SHEET) -> bytes:
    """A sound workbook of which one part is changed."""
    return with_parts({part: change})


def with_parts(changes: Mapping[str, Callable[[bytes], bytes]]) -> bytes:
    """A sound workbook of which some parts are changed, or added."""
    old, new = zipfile.ZipFile(io.BytesIO(saved(book_of()[0]))), io.BytesIO()
    names = old.namelist()
    with zipfile.ZipFile(new, "w", zipfile.ZIP_DEFLATED) as archive:
        for name in (*names, *(each for each in changes if each not in names)):
            text = old.read(name) if name in names else b""
            archive.writestr(name, changes[name](text) if name in changes else text)
    return new.getvalue()


def sheet_of(rows: str, before: str = "") -> bytes:
    """A workbook whose sheet is written by hand."""
    space = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    text = f'{before}<worksheet xmlns="{space}"><sheetData>{rows}</sheetData></worksheet>'
    return with_part(lambda _: text.encode())


def row_of(number: int, when: str, torque: str) -> str:
    """A row as a sheet holds it."""
    cells = CELL.format(f"A{number}", when) + CELL.format(f"B{number}", torque)
    return f'<row r="{number}">{cells}</row>'


HEAD = row_of(1, *COLUMNS)


def test_what_unpacks_to_more_than_any_log_is_refused_before_it_is_read() -> None:
    """A few hundred kB that become 200 MB: counted while they are unpacked, and no further than the limit."""
    data = with_part(lambda _: b" " * 200_000_000)

    assert len(data) < 1_000_000
    assert "unpacks to more than 64 MB, which no list does; save its rows alone" in why_not(data)


def test_sizes_that_are_told_wrong_are_not_believed() -> None:
    """The archive says that the part is one byte long, here and in its directory."""
    data = bytearray(with_part(lambda _: b" " * 200_000_000))
    for mark, place in ((b"PK\x03\x04", 22), (b"PK\x01\x02", 24)):
        start = 0
        while (start := data.find(mark, start)) != -1:
            if struct.unpack_from("<I", data, start + place)[0] == 200_000_000:
                struct.pack_into("<I", data, start + place, 1)
            start += 4

    assert "is damaged, or no .xlsx workbook" in why_not(bytes(data))


def test_an_archive_of_many_parts_is_refused() -> None:
    """Each of a thousand sheets would be opened."""
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as archive:
        for number in range(1500):
            archive.writestr(f"xl/worksheets/sheet{number}.xml", "<worksheet/>")

    assert "has 1500 parts, which no list has" in why_not(file.getvalue())


def test_a_sheet_that_says_it_is_as_large_as_can_be_is_read_by_what_it_holds() -> None:
    """A dimension of all rows and columns costs nothing."""
    huge = with_part(lambda text: text.replace(b'ref="A1:B2"', b'ref="A1:XFD1048576"'))

    assert b'ref="A1:XFD1048576"' in zipfile.ZipFile(io.BytesIO(huge)).read(SHEET)
    assert 1 == len(read(huge).rows)


def test_a_row_at_the_very_end_is_read_by_its_number() -> None:
    """A million empty rows before it are no rows."""
    (row,) = read(sheet_of(HEAD + row_of(1048576, "2031-04-02 10:05", "98"))).rows

    assert 1048576 == row.line


@pytest.mark.parametrize(
    "declared",
    [
        '<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/passwd">]>',
        '<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>',
        "<!doctype x>",
    ],
)
def test_declarations_are_refused_before_anything_reads_them(declared: str) -> None:
    """No file of the machine is opened, and nothing is multiplied."""
    assert "holds declarations that no spreadsheet program writes" in why_not(sheet_of(HEAD, declared))


def test_a_part_in_another_encoding_hides_no_declaration() -> None:
    """In UTF-16 nobody would find it."""
    data = with_part(lambda text: "\ufeff<!DOCTYPE x>".encode("utf-16-le") + text)

    assert "holds declarations" in why_not(data)


LESS = """
import resource, sys
from torqueaudit.plugin import LogSource
from torqueaudit_plugins.wrench_logs import read_log
data = open(sys.argv[1], "rb").read()
for which, most in zip(sys.argv[2::2], map(int, sys.argv[3::2])):
    resource.setrlimit(getattr(resource, which), (most, most))
try: print(len(read_log(LogSource("log.xlsx", data, ("Time", "Torque"))).rows))
except ValueError as error: print(error)
"""


def read_with(file: Path, data: bytes, *limits: str) -> str:
    """What is said of a workbook where whoever starts the reading has no more than that to give."""
    file.write_bytes(data)
    done = subprocess.run([sys.executable, "-c", LESS, file, *limits], capture_output=True, text=True, check=False)
    assert "" == done.stderr
    return done.stdout.strip()


@LINUX
def test_a_workbook_that_takes_the_memory_is_ended(tmp_path: Path) -> None:
    """Here after 200 MB of addresses; one row of many cells is held whole, and with less it is read."""
    data = sheet_of(HEAD + f'<row r="2">{"<c><v>1</v></c>" * 400_000}</row>')

    assert "takes more memory than a list does" in read_with(tmp_path / "a.xlsx", data, "RLIMIT_AS", "200000000")
    assert "1" == read_with(tmp_path / "b.xlsx", saved(book_of()[0]), "RLIMIT_AS", "200000000")


@LINUX
def test_a_workbook_that_takes_too_much_of_the_processor_is_ended_by_the_system(tmp_path: Path) -> None:
    """Here after one second, of the two or so that it would take."""
    row = f"<row>{'<c><v>1</v></c>' * 40}</row>"

    assert "takes too long to read" in read_with(tmp_path / "a.xlsx", sheet_of(HEAD + row * 9_000), "RLIMIT_CPU", "1")


def test_more_rows_than_any_log_are_refused() -> None:
    """With what to do."""
    rows = "".join(row_of(n, "t", "1") for n in range(2, 10_300))

    assert "this sheet has more than 10100 lines" in why_not(sheet_of(HEAD + rows))


@pytest.mark.parametrize(
    "data", [b"PK\x05\x06" + b"\0" * 18, with_part(lambda _: b"<worksheet"), with_part(lambda _: b"")]
)
def test_what_is_no_workbook_is_refused(data: bytes) -> None:
    """Nothing of Python reaches anybody."""
    assert "save it anew as .xlsx" in why_not(data)


@pytest.mark.parametrize(
    ("value", "says"),
    [
        ("=A2*2", "cell B2 holds a formula, and no value; put its value there"),
        ("#DIV/0!", "cell B2 holds an error (#DIV/0!)"),
    ],
)
def test_a_cell_without_a_value_of_its_own_leaves_its_row_out(value: str, says: str) -> None:
    """The others are read; where nothing is wanted of a column, a formula in it is nobody's concern."""
    book, sheet = book_of()
    sheet["B2"] = value
    sheet["C1"], sheet["C3"] = "Note", "=1+1"
    sheet["A3"], sheet["B3"] = "2031-04-02 10:06:00", 99
    found = read(saved(book)).rows

    assert [(2, says), (3, "")] == [(row.line, row.fault) for row in found]


def test_merged_cells_leave_their_rows_out() -> None:
    """All but the first of them are empty, though the eye sees a value; a title above the head may be merged."""
    book, sheet = book_of()
    sheet.insert_rows(1)
    sheet["A1"] = "A log"
    sheet.merge_cells("A1:B1")
    for row in (4, 5):
        sheet[f"A{row}"], sheet[f"B{row}"] = f"2031-04-02 10:0{row}:00", 98
    sheet.merge_cells("A4:A5")
    found = read(saved(book)).rows

    says = "cells of rows 4 to 5 are merged, so each has no value of its own; split them"
    assert [(3, ""), (4, says), (5, says)] == [(row.line, row.fault) for row in found]


def test_which_sheet_is_meant_is_asked_where_several_are_seen() -> None:
    """One that is hidden is no choice, and is not read by its name either."""
    book, _ = book_of("Log", "Old", "Notes")
    book["Old"].sheet_state = "hidden"
    data = saved(book)

    assert 'it has 2 sheets that are seen ("Log", "Notes"); say [file] sheet = … in the mapping' == why_not(data)
    assert 1 == len(read(data, "Log").rows)
    assert 'its sheet "Old" is hidden; show it first' in why_not(data, "Old")
    assert 'it has no sheet "Lg"; there are "Log", "Notes"' == why_not(data, "Lg")


def test_texts_that_cells_share_are_read_where_they_stand() -> None:
    """As spreadsheet programs write them, in a part of their own (ISO/IEC 29500-1, 18.4)."""
    space = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    kind = "application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"
    texts = "".join(f"<si><t>{each}</t></si>" for each in (*COLUMNS, "2031-04-02 10:05:00"))
    cells = [("A1", 0), ("B1", 1), ("A2", 2)]
    shared = {cell: f'<c r="{cell}" t="s"><v>{index}</v></c>' for cell, index in cells}
    rows = f'<row r="1">{shared["A1"]}{shared["B1"]}</row><row r="2">{shared["A2"]}<c r="B2"><v>98.2</v></c></row>'
    sheet = f'<worksheet xmlns="{space}"><sheetData>{rows}</sheetData></worksheet>'
    override = f'<Override PartName="/xl/sharedStrings.xml" ContentType="{kind}"/></Types>'
    data = with_parts(
        {
            SHEET: lambda _: sheet.encode(),
            "xl/sharedStrings.xml": lambda _: f'<sst xmlns="{space}">{texts}</sst>'.encode(),
            "[Content_Types].xml": lambda text: text.replace(b"</Types>", override.encode()),
        }
    )
    (row,) = read(data).rows

    assert {"Time": "2031-04-02 10:05:00", "Torque": "98.2"} == {name: str(cell) for name, cell in row.cells.items()}


def test_a_clock_in_a_column_of_its_own_and_a_number_with_noise_are_read_as_they_are_seen() -> None:
    """A spreadsheet keeps fifteen digits of a number."""
    book, sheet = book_of()
    sheet["A2"], sheet["B2"] = time(10, 5, 7), 1.1 * 3
    (row,) = read(saved(book)).rows

    assert ("10:05:07", "3.3") == (row.cells["Time"], str(row.cells["Torque"]))


def test_a_workbook_of_the_size_of_a_year_is_read_within_the_limits(tmp_path: Path) -> None:
    """Ten thousand rows; what is left of the limits is for slower machines."""
    book, sheet = book_of()
    for number in range(9_900):
        sheet.append([f"2031-04-02 10:05:{number % 60:02}", number / 10])
    book.save(tmp_path / "year.xlsx")
    assert 9_902 == load_workbook(tmp_path / "year.xlsx").active.max_row

    assert 9_901 == len(read((tmp_path / "year.xlsx").read_bytes()).rows)
