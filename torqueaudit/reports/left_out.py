"""The rows of a file that were left out, as a file that is mended and read again by the same mapping."""

import csv
import io
from collections.abc import Iterable, Sequence
from datetime import datetime
from decimal import Decimal
from typing import TYPE_CHECKING

from torqueaudit.model.torque.decimals import decimal_text
from torqueaudit.reports.data import table_file

if TYPE_CHECKING:
    from torqueaudit.model.log.rows import Cell, LogRow

LINE, WHY = "left out of line", "why"


def left_out_csv(columns: Sequence[str], left: "Iterable[tuple[LogRow, str]]", separator: str, decimal: str) -> bytes:
    """Every column of a file as it was, then the line and the reason.

    `left` are the rows, each with its reason; `separator` is "" where the mapping tells none, `decimal` the sign before
    decimals.
    """
    own = [name for name in columns if name not in {LINE, WHY}]
    text = io.StringIO(newline="")
    writer = csv.writer(text, delimiter=separator or ",", lineterminator="\r\n")
    writer.writerow([*own, LINE, WHY])
    for row, why in left:
        writer.writerow([*(_text(row.cells.get(name, ""), decimal) for name in own), row.line, why])
    return table_file(text.getvalue())


def _text(cell: "Cell", sign: str) -> str:
    """A cell as the mapping reads it back."""
    if isinstance(cell, Decimal):
        return decimal_text(cell).replace(".", sign)
    return cell.isoformat(sep=" ") if isinstance(cell, datetime) else cell
