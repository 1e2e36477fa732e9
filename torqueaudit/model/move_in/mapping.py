"""What the columns of a workshop's own list mean, read from a TOML text (`format = 1`).

docs/moving-in.md has every key.

A list has rows of one kind: `of = "vehicles"` with their owners, or `of = "wrenches"`.
"""

from collections.abc import Iterable, Iterator
from datetime import date
from typing import NamedTuple

from torqueaudit.model.log.told import (
    DECIMALS,
    FileForm,
    Told,
    file_form,
    look_at_units,
    mapping_in,
    names_in,
    require_among,
    told_in,
    told_of,
)
from torqueaudit.model.log.when import Day, day_in
from torqueaudit.model.procedure.toml.values import Table
from torqueaudit.model.torque.units import UnitTable
from torqueaudit.model.vehicle.instrument import Instrument
from torqueaudit.model.wrench.classes import BAR, INDICATING, OTHER, SCREWDRIVER, SETTING

VEHICLES, WRENCHES = KINDS = ("vehicles", "wrenches")
YES, NO = "yes", "no"


class Joined(NamedTuple):
    """Where words are told that may stand in several columns, and are joined by commas then."""

    table: str
    columns: tuple[str, ...] = ()


class Consent(NamedTuple):
    """Where a row tells that the owner agreed to be reminded, who of the workshop heard it, and on which day."""

    told: Told
    by: Told
    on: Day


class VehicleColumns(NamedTuple):
    """What the columns of a list of vehicles mean; what the mapping leaves out is told nowhere."""

    tag: Joined
    model: Told
    year: Told
    instrument: Told
    key: Told  # what the list itself calls the row
    plate: Told
    frame_number: Told
    contact: Joined
    odometer: Told
    odometer_on: Day
    mail: Told
    mobile: Told
    consent: Consent


class WrenchColumns(NamedTuple):
    """What the columns of a list of wrenches mean; what the mapping leaves out is told nowhere."""

    tag: Joined
    key: Told
    kind: Told
    lowest: Told
    highest: Told
    unit: Told  # of lowest, highest and scale, where these have none of their own
    scale: Told
    lever: Told
    direction: Told
    construction: Told
    iso_class: Told
    owner: Told
    due: Day


class MoveMapping(NamedTuple):
    """What the columns of a list mean, and how its file is written.

    `decimal` is the sign before decimals in text, "" where it is not told: nobody knows then what stands before three
    digits, and it is asked back.
    """

    means: VehicleColumns | WrenchColumns
    decimal: str
    file: FileForm = FileForm()

    @property
    def columns(self) -> tuple[str, ...]:
        """Every column that is read, each once."""
        return tuple(dict.fromkeys(filter(None, _columns(self.means))))


def read_move_mapping(text: str, units: UnitTable) -> MoveMapping:
    """The mapping that a TOML text holds.

    Raises ValueError: the first error of TOML alone, else every mistake of meaning, each on a line of its own.
    """
    return mapping_in(text, lambda top: _mapping(top, units))


def _columns(means: Iterable[object]) -> Iterator[str]:
    for each in means:
        if isinstance(each, Told | Day):
            yield each.column
        elif isinstance(each, Joined):
            yield from each.columns
        elif isinstance(each, Consent):
            yield from _columns(each)


def _mapping(top: Table, units: UnitTable) -> MoveMapping:
    of = top.choice("of", KINDS, "")
    if not top.has("of"):
        top.wrong("of", f'is missing; write of = "{VEHICLES}" or of = "{WRENCHES}"')
    file = top.inner("file")
    decimal = file.choice("decimal", DECIMALS, "")
    means = _wrenches(top, units) if of == WRENCHES else _vehicles(top, needed=bool(of))
    return MoveMapping(means, decimal, file_form(file))


def _vehicles(top: Table, *, needed: bool) -> VehicleColumns:
    odometer, consent = top.inner("odometer"), top.inner("consent")
    columns = VehicleColumns(
        tag=_joined(top, "tag", required=needed),
        model=told_of(top, "model", required=needed),
        year=told_of(top, "year", fixed=False),
        instrument=_one_of(top, "instrument", tuple(Instrument)),
        key=told_of(top, "key", fixed=False),
        plate=told_of(top, "plate", fixed=False),
        frame_number=told_of(top, "frame_number", fixed=False),
        contact=_joined(top, "contact"),
        odometer=told_in(odometer, "odometer", fixed=False),
        odometer_on=_day(odometer, "on", needed=bool(odometer.values)),
        mail=told_of(top, "mail", fixed=False),
        mobile=told_of(top, "mobile", fixed=False),
        consent=_consent(consent),
    )
    for table in (odometer, consent):
        table.finish()
    own = [each.column for each in (columns.key, columns.plate, columns.frame_number)]
    if needed and not any(own):
        says = "a vehicle is known again by one of them, when the list is read again"
        top.wrong("", f"none of [frame_number], [plate] and [key] is told; {says}")
    _look_at_consent(top, columns)
    return columns


def _look_at_consent(top: Table, columns: VehicleColumns) -> None:
    """Note an address that nobody may write to, and a yes without one."""
    ways = [each for each in (columns.mail, columns.mobile) if each.column]
    if ways and not top.has("consent"):
        says = "and [consent] is not told: nobody is reminded who has not agreed. To keep it for calls, name its column"
        top.wrong(ways[0].table, f"{says} in [contact]")
    elif top.has("consent") and not ways:
        top.wrong("consent", "is told, and neither [mail] nor [mobile] is, by which the owner agreed to be reminded")


def _consent(table: Table) -> Consent:
    """A column has to say yes, and who heard it on which day: a yes for all rows is nobody's."""
    told = bool(table.values)
    heard_by = table.inner("by")
    by = told_in(heard_by, "consent.by", required=told)
    heard_by.finish()
    column = Told("consent", column=table.text("column"), names=names_in(table))
    require_among(table, (YES, NO))
    if told and not column.column:
        table.wrong("", "does not say which column says so; write column = …")
    return Consent(column, by, _day(table, "on", needed=told))


def _day(top: Table, key: str, *, needed: bool) -> Day:
    if not top.has(key):
        if needed:
            top.wrong("", f"does not say on which day it was; write {key} = {{ column = … }} or always = … in it")
        return Day()
    table = top.inner(key)
    day = day_in(table)
    if day.always:
        try:
            date.fromisoformat(day.always)
        except ValueError:
            table.wrong("always", f"{day.always}: write a date as 2031-04-02")
    return day


def _joined(top: Table, name: str, *, required: bool = False) -> Joined:
    table = top.inner(name)
    column, columns = table.text("column"), table.texts("columns")
    if column and columns:
        table.wrong("columns", "and column are told; leave one of them out")
    elif (required or table.values) and not (column or columns):
        table.wrong("", "does not say where it is told; write column = … or columns = [ … ]")
    table.finish()
    return Joined(name, (column,) if column else columns)


def _one_of(top: Table, name: str, words: tuple[str, ...], *, required: bool = False) -> Told:
    """Where one of a few words is told; what the mapping itself says of them is one of these."""
    table = top.inner(name)
    told = told_in(table, name, required=required)
    if told.always:
        table.choice("always", words, "")
    require_among(table, words)
    table.finish()
    return told


def _wrenches(top: Table, units: UnitTable) -> WrenchColumns:
    unit = top.inner("unit")
    columns = WrenchColumns(
        tag=_joined(top, "tag", required=True),
        key=told_of(top, "key", fixed=False),
        kind=_one_of(top, "kind", (SETTING, INDICATING), required=True),
        lowest=told_of(top, "lowest", fixed=False),
        highest=told_of(top, "highest", fixed=False),
        unit=told_in(unit, "unit"),
        scale=told_of(top, "scale", fixed=False),
        lever=told_of(top, "lever", fixed=False),
        direction=_one_of(top, "direction", ("right", "left", "both")),
        construction=_one_of(top, "construction", (BAR, SCREWDRIVER, OTHER)),
        iso_class=told_of(top, "class"),
        owner=told_of(top, "owner"),
        due=_day(top, "due", needed=False),
    )
    look_at_units(unit, columns.unit, units)
    unit.finish()
    return columns
