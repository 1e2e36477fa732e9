"""One row of a workshop's own list of vehicles: the motorcycle, its owner, and what was read off it on which day."""

import re
from decimal import Decimal

from torqueaudit.model.log.rows import LogRow
from torqueaudit.model.move_in.mapping import NO, YES, VehicleColumns
from torqueaudit.model.move_in.rows import KEY, Agreement, ListedVehicle
from torqueaudit.model.numbers import quoted
from torqueaudit.model.shown.reminder import Contact
from torqueaudit.model.torque.decimals import decimal_text
from torqueaudit.model.vehicle.acts import NewVehicle
from torqueaudit.model.vehicle.instrument import Hours, Instrument, Run
from torqueaudit.read.cell import cell_of, is_told
from torqueaudit.read.mail import read_mail_address
from torqueaudit.read.mobile import read_mobile
from torqueaudit.read.number import read_person_number
from torqueaudit.read.odometer import read_run
from torqueaudit.read.row import RowReader
from torqueaudit.read.words import read_word

OLDEST, NEWEST = 1900, 2200
_WITHOUT_UNIT = "[0-9.,]+"
_OTHER = {".": ",", ",": "."}


def read_vehicle_row(row: LogRow, means: VehicleColumns, sign: str) -> ListedVehicle:
    """What a row says; `sign` stands before decimals in text, "" where that is not told.

    Raises ValueError with every mistake and its column.
    """
    of = RowReader(row)
    new = NewVehicle(
        tag=of.joined(means.tag),
        model=of.needed(means.model),
        year=of.one_of(means.year, _year, None),
        instrument=of.one_of(means.instrument, lambda text: read_word(text, Instrument), Instrument.KM),
    )
    if not new.tag and means.model.column not in means.tag.columns:  # of which it is told already
        of.wrong.append(f"{means.tag.columns[0]} is empty, and a vehicle has a tag, what people call it")
    run = of.read(means.odometer.column, lambda: _run(row, means, new.instrument, sign), None)
    agreement, left_out = _agreement(of, means)
    read = ListedVehicle(
        new=new,
        personal=_personal(of, means),
        run=run,
        read_on=of.day(means.odometer_on, "say on which day it was read") if run is not None else None,
        agreement=agreement,
        left_out=left_out,
    )
    of.require_right()
    return read


def _year(text: str) -> int:
    if not re.fullmatch("[0-9]{4}", text) or not OLDEST <= int(text) <= NEWEST:
        raise ValueError(f"{text}: a year lies between {OLDEST} and {NEWEST}")
    return int(text)


def _personal(of: RowReader, means: VehicleColumns) -> dict[str, str]:
    """What is known of it outside the ledger. One of what it is known again by has to be there."""
    own = {"frame_number": means.frame_number, "plate": means.plate, KEY: means.key}
    known = {field: word for field, told in own.items() if (word := of.word(told))}
    if not known:
        columns = " and ".join(told.column for told in own.values() if told.column)
        is_empty = f"{columns} {'are' if ' and ' in columns else 'is'} empty"
        of.wrong.append(f"{is_empty}, so nobody could know this vehicle again; give it one")
    contact = of.joined(means.contact)
    return {**known, "contact": contact} if contact else known


def _run(row: LogRow, means: VehicleColumns, instrument: Instrument, sign: str) -> Run | None:
    """What was read off it, in the unit of its instrument where none is written; nothing where the cell is empty."""
    if means.odometer.column not in row.cells:
        return None
    cell = cell_of(row, means.odometer.column)
    if not isinstance(cell, str | Decimal):
        raise ValueError("this is a date, and no distance")  # noqa: TRY004  # what stands in a file
    text = decimal_text(cell) if isinstance(cell, Decimal) else _plain(cell, sign)
    if instrument is Instrument.NONE:
        raise ValueError(f"{text}: this vehicle has neither odometer nor hour meter; leave it empty")
    try:
        run = read_run(f"{text} {instrument.unit}" if re.fullmatch(_WITHOUT_UNIT, text) else text)
    except ValueError as error:
        raise ValueError(f"{error}{_for_all_rows(text)}") from None
    if isinstance(run, Hours) is instrument.counts_distance:
        raise ValueError(f"{text}: this vehicle has an {instrument.called} in {instrument.unit}")
    return run


def _plain(text: str, sign: str) -> str:
    """A figure without thousands apart: where a sign before decimals is told, the other one stands between them."""
    other = _OTHER.get(sign, "")
    if other and re.fullmatch(rf"[1-9][0-9]{{0,2}}({re.escape(other)}[0-9]{{3}})+(\D.*)?", text):
        return text.replace(other, "")
    return text


def _for_all_rows(text: str) -> str:
    """How a mapping says once what a figure with a sign before three digits leaves open."""
    grouped = re.match(r"[1-9][0-9]{0,2}([.,])[0-9]{3}(?![0-9])", text)
    if not grouped:
        return ""
    says = f"or, where {quoted(grouped[1])} stands between thousands in all rows, say so in the mapping"
    return f'; {says}: [file] decimal = "{_OTHER[grouped[1]]}"'


def _agreement(of: RowReader, means: VehicleColumns) -> tuple[Agreement | None, tuple[str, ...]]:
    """The owner's yes where its column says so, else what is not kept for want of it."""
    there = [told.column for told in (means.mail, means.mobile) if told.column in of.row.cells]
    if of.one_of(means.consent.told, lambda text: read_word(text, (YES, NO)), NO) != YES:
        return None, tuple(f"{column} is not kept, for nobody agreed to be reminded" for column in there)
    contact = Contact(
        mail=of.one_of(means.mail, read_mail_address, ""), mobile=of.one_of(means.mobile, read_mobile, "")
    )
    if not there:
        of.wrong.append(f"{means.consent.told.column}: the owner agreed to be reminded, and no address is told")
    heard_by = of.one_of(means.consent.by, read_person_number, "")
    on = of.day(means.consent.on, "say on which day the owner agreed")
    if not is_told(of.row, means.consent.by):
        of.wrong.append(f"{means.consent.by.column} is empty; say who heard that the owner agreed, such as P-2")
    return (Agreement(contact, heard_by, on), ()) if on else (None, ())
