"""One row of a workshop's own list of torque wrenches."""

import re
from decimal import Decimal

from torqueaudit.model.log.rows import LogRow
from torqueaudit.model.log.told import Told
from torqueaudit.model.move_in.mapping import WrenchColumns
from torqueaudit.model.move_in.rows import ListedWrench
from torqueaudit.model.numbers import quoted, read_decimal
from torqueaudit.model.torque.units import UnitTable
from torqueaudit.model.wrench.acts import NewWrench
from torqueaudit.model.wrench.classes import BAR, INDICATING, OTHER, SCREWDRIVER, SETTING
from torqueaudit.read.cell import cell_of, is_told, torque_text, word_of
from torqueaudit.read.row import RowReader
from torqueaudit.read.words import read_word
from torqueaudit.read.wrench import read_class, read_lever


def read_wrench_row(row: LogRow, means: WrenchColumns, sign: str, units: UnitTable) -> ListedWrench:
    """What a row says; `sign` stands before decimals in text, a point where "" is told.

    Raises ValueError with every mistake and its column.
    """
    of = RowReader(row)

    def torque(told: Told) -> str:
        is_there = told.column in row.cells
        return of.read(told.column, lambda: _torque(of, told, means.unit, sign or ".", units), "") if is_there else ""

    lever = of.one_of(means.lever, read_lever, None)
    scale = torque(means.scale)
    new = NewWrench(
        kind=of.read(means.kind.column, lambda: read_word(word_of(row, means.kind), (SETTING, INDICATING)), ""),
        tag=of.joined(means.tag),
        lowest=torque(means.lowest),
        highest=torque(means.highest),
        lever_mm=lever.value if lever else None,
        lever_expanded_mm=lever.expanded if lever else None,
        due_on=of.day(means.due),
        construction=of.one_of(means.construction, lambda text: read_word(text, (BAR, SCREWDRIVER, OTHER)), OTHER),
        iso_class=of.one_of(means.iso_class, read_class, ""),
        direction=of.one_of(means.direction, lambda text: read_word(text, ("right", "left", "both")), ""),
        scales=(scale,) if scale else (),
        owner=of.word(means.owner),
    )
    if not new.tag:
        of.wrong.append(f"{means.tag.columns[0]} is empty, and a wrench has a tag, what people call it")
    read = ListedWrench(new, of.word(means.key))
    of.require_right()
    return read


def _torque(of: RowReader, told: Told, unit: Told, sign: str, units: UnitTable) -> str:
    """A torque with the unit that is written behind it, else with that of the mapping."""
    cell = cell_of(of.row, told.column)
    if isinstance(cell, Decimal):
        return torque_text(cell, units.unit(_unit(of, unit)), told.column)
    form = rf"([0-9]+(?:{re.escape(sign)}[0-9]+)?) ?([^\W\d_].*)?"
    written = re.fullmatch(form, cell) if isinstance(cell, str) else None
    if written is None:
        says = f"is no torque with {quoted(sign)} before its decimals, as the mapping says"
        raise ValueError(f"{told.column} {quoted(str(cell))} {says}")
    number = read_decimal(written[1].replace(",", "."), told.column, 0)
    return torque_text(number, units.unit(written[2] or _unit(of, unit)), told.column)


def _unit(of: RowReader, told: Told) -> str:
    if is_told(of.row, told):
        return word_of(of.row, told)
    raise ValueError("it has no unit, and the mapping has none; write [unit] always = … there")
