"""A log as text with columns (RFC 4180, with any of a few separators).

Time;Position;Torque
2031-04-02 09:15:00;rear-axle-nut;98,2
"""

import csv
import io
from codecs import BOM_UTF8, BOM_UTF16_BE, BOM_UTF16_LE
from collections.abc import Iterator

from torqueaudit.plugin import LogRows, LogSource
from torqueaudit_plugins.wrench_logs.head import Line, rows_below

USUAL, WESTERN = "UTF-8", "windows-1252"
_MARKS = {BOM_UTF8: "utf-8-sig", BOM_UTF16_LE: "utf-16", BOM_UTF16_BE: "utf-16"}


def read_columns(source: LogSource) -> LogRows:
    """The rows of a text. Raises ValueError for one that is not written so."""
    text = text_of(source)
    return rows_below(_lines(text, source.separator or ","), source.columns)


def text_of(source: LogSource) -> str:
    """A file's text: a mark at its beginning says how it is written, else the mapping does. Raises ValueError."""
    marked = next((name for mark, name in _MARKS.items() if source.data.startswith(mark)), "")
    encoding = marked or source.encoding or USUAL
    try:
        text = source.data.decode(encoding)
    except UnicodeError:
        how = 'say in the mapping how it is written, such as [file] encoding = "windows-1252"'
        raise ValueError(f"it is no {encoding} text; {how}") from None
    if encoding == WESTERN and _is_usual(source.data):  # else “Müßig” were entered as “MÃ¼ÃŸig”
        raise ValueError(
            f"it is {USUAL} text, and the mapping says {WESTERN}; save it as that, or put the mapping right"
        )
    return text


def _is_usual(data: bytes) -> bool:
    """Whether a text has letters beyond ASCII, each as UTF-8 writes it: no other text does so by chance."""
    try:
        return len(data.decode(USUAL)) < len(data)
    except UnicodeError:
        return False


def _lines(text: str, separator: str) -> Iterator[Line]:
    """Each record by the line that it begins on. Raises ValueError where quotation marks do not match."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    begins = 1
    try:
        for cells in reader:
            yield Line(begins, [cell.strip() for cell in cells])
            begins = reader.line_num + 1
    except csv.Error as error:
        raise ValueError(f"the record that begins on line {begins} cannot be read: {error}") from None
