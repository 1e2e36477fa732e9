"""The nightly report as CSV that a spreadsheet opens without running anything."""

import csv
import re
from codecs import BOM_UTF8
from io import StringIO

from torqueaudit.model.shown.night import Line, Night
from torqueaudit.model.shown.section import ExtraSection
from torqueaudit.signs import seen

OF_LINE = ("job", "vehicle", "tag", "title", "holds", "says", "days_late", "metres_late", "minutes_late", "call")
COLUMNS = ("date", "section", *OF_LINE)
# Where a spreadsheet may begin a formula: at the beginning of a cell, and behind what it may take for the end of one;
# also behind spaces, and by the wide signs of East Asian keyboards.
_RUNS = re.compile("""^(?=[\t\r\n])|(?<![^,;|"\t\r\n])(?=\\s*[=+@\uff1d\uff0b\uff0d\uff20-])""")


def nightly_csv(night: Night) -> str:
    """One row for each line, then what plugins added, then the head; cells a spreadsheet would run are made text."""
    target = StringIO()
    writer = csv.writer(target)
    writer.writerow(COLUMNS)
    day = night.date.isoformat()
    for section in night.sections:
        writer.writerows(_row(day, section.key, line) for line in section.lines)
    for added in night.extra:
        writer.writerows(_row(day, added.title, Line(says)) for says in _sentences(added))
    writer.writerow(_row(day, "head", Line(night.head)))
    return target.getvalue()


def _row(day: str, section: str, line: Line) -> list[str]:
    told = {**line._asdict(), "says": line.in_words}
    cells = (day, section, *(told[name] for name in OF_LINE))
    # A number of ours stays one.
    return [str(cell) if isinstance(cell, int) else harmless("" if cell is None else str(cell)) for cell in cells]


def _sentences(added: ExtraSection) -> list[str]:
    """A plugin's table has columns of its own, so each of its rows becomes one sentence."""
    named = [zip(added.columns, row, strict=True) for row in added.rows]
    return [*added.in_words, *("; ".join(f"{name}: {cell}" for name, cell in row) for row in named)]


def table_file(table: str) -> bytes:
    """A table as a file. A mark at its beginning says that it is UTF-8: a spreadsheet shows an umlaut as one sign."""
    return BOM_UTF8 + table.encode()


def harmless(cell: str) -> str:
    """A cell that no spreadsheet takes for a formula, whatever it takes for a separator (OWASP, CSV injection)."""
    return _RUNS.sub("'", seen(cell, lines=True))
