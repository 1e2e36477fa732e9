"""One row of a wrench's log becomes a pass: what its cells say, by the mapping of the file."""

import re
from datetime import UTC, datetime
from decimal import Decimal
from typing import NamedTuple

from torqueaudit.model.days import require_year
from torqueaudit.model.log.mapping import LogMapping, Moment, Told, name_in
from torqueaudit.model.log.rows import LogRow
from torqueaudit.model.numbers import MOST_DIGITS, quoted, read_decimal
from torqueaudit.model.torque.correction import Fitted
from torqueaudit.model.torque.decimals import decimal_text
from torqueaudit.model.torque.units import Torque, UnitTable
from torqueaudit.read.adapter import read_adapter
from torqueaudit.read.day import read_moment
from torqueaudit.read.number import read_wrench_number
from torqueaudit.signs import require_seen

LONGEST_CELL = 200  # characters of a cell that is read
FURTHEST = 20  # digits before or behind the point
_OWN_NUMBER = re.compile(r"[A-Za-z0-9][A-Za-z0-9._/-]{0,39}")
_NO_ADAPTER = "none"


class LogPass(NamedTuple):
    """One pass as a log tells it. Torques are as they stand in entries, "98.2 N·m"; the moment is aware, to the second.

    `fastener` is a key or a position of the job's procedure, `stage` 0 for the last one, `final_shown` the torque at
    the end of the angle. `number` is what the wrench itself called the row, "" where it called it nothing.
    """

    job: str
    fastener: str
    stage: int
    wrench: str
    shown: str
    angle: str
    final_shown: str
    fitted: tuple[Fitted, ...]
    no_adapter: bool
    at: datetime
    number: str


def read_pass(row: LogRow, mapping: LogMapping, units: UnitTable) -> LogPass:
    """What a row says. Raises ValueError with one sentence that says why nothing can be made of it."""
    if row.fault:
        raise ValueError(row.fault)
    adapter = _word(row, mapping.adapter) if _is_told(row, mapping.adapter) else ""
    return LogPass(
        job=_word(row, mapping.job),
        fastener=_word(row, mapping.fastener),
        stage=_stage(row, mapping.stage),
        wrench=read_wrench_number(_word(row, mapping.wrench)),
        shown=_torque(row, mapping, mapping.torque, units),
        angle=_angle(row, mapping),
        final_shown=_torque(row, mapping, mapping.final, units) if _is_told(row, mapping.final) else "",
        fitted=(read_adapter(adapter),) if adapter not in {"", _NO_ADAPTER} else (),
        no_adapter=adapter == _NO_ADAPTER,
        at=_moment(row, mapping.moment),
        number=_own_number(row, mapping.number),
    )


def _is_told(row: LogRow, told: Told) -> bool:
    """Whether something that a row need not tell is told of it."""
    return bool(told.always) or (bool(told.column) and told.column in row.cells)


def _word(row: LogRow, told: Told) -> str:
    """A word that is told of a row, by what it stands for; "" for what the mapping leaves out."""
    if not told.column:
        return told.always
    cell = _cell(row, told.column)
    if isinstance(cell, datetime):
        raise ValueError(f"{told.column} is a date, and no word or number")  # noqa: TRY004  # what stands in a file
    return name_in(told, decimal_text(cell) if isinstance(cell, Decimal) else cell)


def _cell(row: LogRow, column: str) -> str | Decimal | datetime:
    """What stands in a column, words with single spaces. Raises ValueError for an empty one."""
    cell = row.cells.get(column, "")
    if isinstance(cell, Decimal) and not -FURTHEST < cell.adjusted() < FURTHEST:
        raise ValueError(f"{column} is larger or smaller than anything that is read")
    if not isinstance(cell, str):
        return cell
    if len(cell) > LONGEST_CELL:
        raise ValueError(f"{column} has more than {LONGEST_CELL} characters")
    require_seen(cell, column)
    words = " ".join(cell.split())
    if not words:
        raise ValueError(f"{column} is empty")
    return words


def _torque(row: LogRow, mapping: LogMapping, told: Told, units: UnitTable) -> str:
    """A torque as entries hold it: without zeros at its end, and never as what may be thousands."""
    number = _number(row, told, mapping.decimal)
    torque = Torque(number, units.unit(_word(row, mapping.unit)))
    if number <= 0:
        raise ValueError(f"{told.column} is {decimal_text(number)}, and a torque is above zero")
    return f"{torque.number(MOST_DIGITS)} {torque.unit.symbol}"


def _angle(row: LogRow, mapping: LogMapping) -> str:
    if not _is_told(row, mapping.angle):
        return ""
    number = _number(row, mapping.angle, mapping.decimal)
    return decimal_text(number) if number else ""  # 0 is what a wrench writes that counted no angle


def _number(row: LogRow, told: Told, sign: str) -> Decimal:
    """The number in a column; text has the mapping's sign before its decimals, and none between thousands."""
    cell = _cell(row, told.column)
    if isinstance(cell, Decimal):
        return cell
    if isinstance(cell, datetime):
        raise ValueError(f"{told.column} is a date, and no number")  # noqa: TRY004  # what stands in a file
    if not re.fullmatch(rf"[+-]?[0-9]+(?:{re.escape(sign)}[0-9]+)?", cell):
        says = f"is no number with {quoted(sign)} before its decimals, as the mapping says"
        raise ValueError(f"{told.column} {quoted(cell)} {says}")
    # Which sign is meant is told, so nothing is asked back: no number of ours is as small as that.
    return read_decimal(cell.replace(",", "."), told.column, 0)


def _stage(row: LogRow, told: Told) -> int:
    word = _word(row, told) if _is_told(row, told) else "0"
    if not re.fullmatch("[0-9]{1,2}", word):
        raise ValueError(f"{told.column or 'the stage'} {quoted(word)} is no number of a stage")
    return int(word)


def _own_number(row: LogRow, told: Told) -> str:
    """What the wrench called the row: nobody's name, for it stays in the ledger."""
    word = _word(row, told) if _is_told(row, told) else ""
    if word and not _OWN_NUMBER.fullmatch(word):
        raise ValueError(f"{told.column} {quoted(word)} is no number of a row; it has letters, digits and . _ / - only")
    return word


def _moment(row: LogRow, told: Moment) -> datetime:
    """When it was, in UTC to the second."""
    cells = [_cell(row, column) for column in told.columns]
    written = " ".join(_moment_text(cell, day=index == 0) for index, cell in enumerate(cells))
    local = next((cell for cell in cells if isinstance(cell, datetime)), None) if len(cells) == 1 else None
    moment = local or _as_written(written, told)
    if moment.tzinfo is None:
        moment = _in_zone(moment, written, told)
    require_year(moment)
    return moment.astimezone(UTC).replace(microsecond=0)


def _moment_text(cell: str | Decimal | datetime, *, day: bool) -> str:
    """A cell as text: of a moment the day, or the clock where that stands in a column of its own."""
    if isinstance(cell, datetime):
        return f"{cell:%Y-%m-%d}" if day else f"{cell:%H:%M:%S}"
    return decimal_text(cell) if isinstance(cell, Decimal) else cell


def _as_written(text: str, told: Moment) -> datetime:
    """A moment in the mapping's form, or in that of ISO 8601, which can be taken for no other."""
    try:
        if "T" in text or " " in text:  # a day alone would be read as its midnight
            return datetime.fromisoformat(text)
    except ValueError:
        pass
    try:
        if told.form:
            return datetime.strptime(text, told.form)  # noqa: DTZ007  # its zone is told by the mapping
    except ValueError:
        pass
    raise ValueError(f"{' and '.join(told.columns)} {quoted(text)} is no moment written as {told.written}")


def _in_zone(moment: datetime, written: str, told: Moment) -> datetime:
    """A moment of the wrench's clock. Raises ValueError for an hour that there was twice, or never."""
    if told.zone is None:
        raise ValueError(f"{quoted(written)} tells no time zone, and the mapping has none; write zone = … there")
    local = moment.replace(tzinfo=told.zone)
    if local.utcoffset() != local.replace(fold=1).utcoffset():
        first, second = (each.isoformat(sep=" ", timespec="seconds") for each in (local, local.replace(fold=1)))
        read_moment(f"{moment:%Y-%m-%d %H:%M:%S}", told.zone)  # an hour that there was never is refused in its words
        raise ValueError(f"{quoted(written)} was twice, as clocks were set back; write {first} or {second}")
    return local
