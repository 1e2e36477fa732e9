"""The rows of a wrench's log that were left out, as a file that is mended and read again by the same mapping."""

import csv
import io
from codecs import BOM_UTF8
from datetime import datetime
from decimal import Decimal
from typing import TYPE_CHECKING

from torqueaudit.model.torque.decimals import decimal_text

if TYPE_CHECKING:
    from torqueaudit.model.log.mapping import LogMapping
    from torqueaudit.model.log.rows import Cell
    from torqueaudit.workshop.jobs.logs import LogLook

LINE, WHY = "left out of line", "why"


def left_out_csv(look: "LogLook", mapping: "LogMapping") -> bytes:
    """Every column as it was, then the line and the reason; the mark at its beginning says that it is UTF-8."""
    from torqueaudit.workshop.jobs.logs import Becomes

    own = [name for name in look.columns if name not in {LINE, WHY}]
    text = io.StringIO(newline="")
    writer = csv.writer(text, delimiter=mapping.separator or ",", lineterminator="\r\n")
    writer.writerow([*own, LINE, WHY])
    for each in look.those(Becomes.LEFT):
        cells = [_text(each.row.cells.get(name, ""), mapping.decimal) for name in own]
        writer.writerow([*cells, each.row.line, each.says])
    return BOM_UTF8 + text.getvalue().encode()


def _text(cell: "Cell", sign: str) -> str:
    """A cell as the mapping reads it back."""
    if isinstance(cell, Decimal):
        return decimal_text(cell).replace(".", sign)
    return cell.isoformat(sep=" ") if isinstance(cell, datetime) else cell
