"""One row of a wrench's log becomes a pass: what its cells say, by the mapping of the file."""

import re
from datetime import UTC, datetime
from decimal import Decimal
from typing import NamedTuple

from torqueaudit.model.days import require_year
from torqueaudit.model.log.mapping import LogMapping
from torqueaudit.model.log.rows import LogRow
from torqueaudit.model.log.told import Told
from torqueaudit.model.log.when import Moment
from torqueaudit.model.numbers import quoted
from torqueaudit.model.torque.correction import Fitted
from torqueaudit.model.torque.decimals import decimal_text
from torqueaudit.model.torque.units import UnitTable
from torqueaudit.read.adapter import read_adapter
from torqueaudit.read.cell import as_in_workbook, cell_of, is_told, number_of, torque_text, word_of
from torqueaudit.read.day import read_moment
from torqueaudit.read.number import read_wrench_number

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
    adapter = word_of(row, mapping.adapter) if is_told(row, mapping.adapter) else ""
    return LogPass(
        job=word_of(row, mapping.job),
        fastener=word_of(row, mapping.fastener),
        stage=_stage(row, mapping.stage),
        wrench=read_wrench_number(word_of(row, mapping.wrench)),
        shown=_torque(row, mapping, mapping.torque, units),
        angle=_angle(row, mapping),
        final_shown=_torque(row, mapping, mapping.final, units) if is_told(row, mapping.final) else "",
        fitted=(read_adapter(adapter),) if adapter not in {"", _NO_ADAPTER} else (),
        no_adapter=adapter == _NO_ADAPTER,
        at=_moment(row, mapping.moment),
        number=_own_number(row, mapping.number),
    )


def _torque(row: LogRow, mapping: LogMapping, told: Told, units: UnitTable) -> str:
    number = number_of(row, told, mapping.decimal)
    return torque_text(number, units.unit(word_of(row, mapping.unit)), told.column)


def _angle(row: LogRow, mapping: LogMapping) -> str:
    if not is_told(row, mapping.angle):
        return ""
    number = number_of(row, mapping.angle, mapping.decimal)
    return decimal_text(number) if number else ""  # 0 is what a wrench writes that counted no angle


def _stage(row: LogRow, told: Told) -> int:
    word = word_of(row, told) if is_told(row, told) else "0"
    if not re.fullmatch("[0-9]{1,2}", word):
        raise ValueError(f"{told.column or 'the stage'} {quoted(word)} is no number of a stage")
    return int(word)


def _own_number(row: LogRow, told: Told) -> str:
    """What the wrench called the row: nobody's name, for it stays in the ledger."""
    word = word_of(row, told) if is_told(row, told) else ""
    if word and not _OWN_NUMBER.fullmatch(word):
        raise ValueError(f"{told.column} {quoted(word)} is no number of a row; it has letters, digits and . _ / - only")
    return word


def _moment(row: LogRow, told: Moment) -> datetime:
    """When it was, in UTC to the second."""
    cells = [cell_of(row, column) for column in told.columns]
    if len(cells) > 1:
        cells = list(map(as_in_workbook, cells))
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
