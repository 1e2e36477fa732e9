"""What the columns of a wrench's log mean, read from a TOML text (`format = 1`); docs/wrench-logs.md has every key."""

import re
from collections.abc import Iterator, Mapping
from typing import NamedTuple
from zoneinfo import ZoneInfo

from torqueaudit.model.nearest import did_you_mean
from torqueaudit.model.procedure.toml.values import Mistake, Table
from torqueaudit.model.register.zones import zone_of
from torqueaudit.model.torque.units import UnitTable

FORMAT = 1
ENCODINGS = ("UTF-8", "UTF-16", "windows-1252")
ISO = "ISO 8601"
# What stands for each part of a moment, and what Python calls it.
_PARTS = {"YYYY": "%Y", "MM": "%m", "DD": "%d", "hh": "%H", "mm": "%M", "ss": "%S", "AM": "%p"}
_DAY, _CLOCK = ("YYYY", "MM", "DD"), ("hh", "mm")
_LETTERS = re.compile("|".join(_PARTS))


class Told(NamedTuple):
    """Where one thing of a row is told: the same `always`, or in a column, there by its own name where `names` has any.

    `table` is its place in the mapping. Neither is told where the mapping leaves it out.
    """

    table: str
    always: str = ""
    column: str = ""
    names: Mapping[str, str] = {}


class Moment(NamedTuple):
    """Where a row tells when it was: in one column, or day and clock apart; `form` as Python reads it, "" for ISO 8601.

    `written` is the form as the mapping has it.
    """

    columns: tuple[str, ...]
    written: str
    form: str
    zone: ZoneInfo | None


class LogMapping(NamedTuple):
    """What the columns of a log mean."""

    torque: Told
    decimal: str  # the sign before decimals in text, "." or ","
    unit: Told
    moment: Moment
    wrench: Told
    job: Told
    fastener: Told
    angle: Told
    final: Told  # the torque at the end of the angle
    stage: Told
    adapter: Told
    number: Told  # that the wrench itself gave the row
    separator: str = ""
    encoding: str = ""
    sheet: str = ""

    @property
    def columns(self) -> tuple[str, ...]:
        """Every column that is read, each once."""
        told = (each.column for each in self if isinstance(each, Told))
        return tuple(dict.fromkeys(filter(None, (*told, *self.moment.columns))))


def read_mapping(text: str, units: UnitTable) -> LogMapping:
    """The mapping that a TOML text holds.

    Raises ValueError: the first error of TOML alone, else every mistake of meaning, each on a line of its own.
    """
    mistakes: list[Mistake] = []
    top = Table.of(text, mistakes)
    if mistakes:
        raise ValueError(_told(mistakes))
    _look_at_format(top)
    mapping = _mapping(top, units)
    top.finish()
    if mistakes:
        raise ValueError(_told(mistakes))
    return mapping


def _told(mistakes: list[Mistake]) -> str:
    return "\n".join(map(str, sorted(set(mistakes))))


def _look_at_format(top: Table) -> None:
    if not top.has("format"):
        top.wrong("format", f"is missing; write format = {FORMAT}")
    elif top.raw("format") is True or top.raw("format") != FORMAT:
        top.wrong("format", f"is {top.raw('format')}; this program reads format = {FORMAT}")


def _mapping(top: Table, units: UnitTable) -> LogMapping:
    file = top.inner("file")
    torque = top.inner("torque")
    mapping = LogMapping(
        torque=_told_in(torque, "torque", required=True, fixed=False),
        decimal=torque.choice("decimal", (".", ","), "."),
        unit=_of(top, "unit", required=True),
        moment=_moment(top.inner("moment")),
        wrench=_of(top, "wrench", required=True),
        job=_of(top, "job", required=True),
        fastener=_of(top, "fastener", required=True),
        angle=_of(top, "angle", fixed=False),
        final=_of(top, "final", fixed=False),
        stage=_of(top, "stage"),
        adapter=_of(top, "adapter"),
        number=_of(top, "number", fixed=False),
        separator=_separator(file),
        encoding=file.choice("encoding", ENCODINGS, ""),
        sheet=file.text("sheet"),
    )
    for table in (file, torque):
        table.finish()
    _look_at_units(top.inner("unit"), mapping.unit, units)
    return mapping


def _separator(file: Table) -> str:
    """One sign between the columns of a text file, such as a tab."""
    sign = file.raw("separator")
    if sign is None or (isinstance(sign, str) and sign in {",", ";", "\t", "|"}):
        return sign or ""
    file.wrong("separator", 'has to be one sign in quotation marks: ",", ";", "|" or "\\t" for a tab')
    return ""


def _of(top: Table, name: str, *, required: bool = False, fixed: bool = True) -> Told:
    table = top.inner(name)
    told = _told_in(table, name, required=required, fixed=fixed)
    table.finish()
    return told


def _told_in(table: Table, name: str, *, required: bool, fixed: bool) -> Told:
    """What a table says of where something is told; a thing that differs with each row is never `fixed`."""
    always = table.text("always") if fixed else ""
    column = table.text("column")
    names = dict(_names(table.inner("names"))) if fixed else {}
    ways = "always = … or column = …" if fixed else "column = …"
    if always and column:
        table.wrong("always", "and a column are told; leave one of them out")
    elif (required or table.values) and not (always or column):
        table.wrong("", f"does not say where it is told; write {ways}")
    elif names and not column:
        table.wrong("names", "are of what stands in a column, and none is told")
    return Told(name, always, column, names)


def _names(table: Table) -> Iterator[tuple[str, str]]:
    """What each word of a column stands for."""
    for key in table.written():
        yield " ".join(key.split()), table.text(key)


def _moment(table: Table) -> Moment:
    column, day, clock = (table.text(key) for key in ("column", "date", "time"))
    if bool(column) == bool(day or clock) or bool(day) != bool(clock):
        table.wrong("", "has to say column = …, or date = … and time = … where they stand in two columns")
    written = table.text("written") or ISO
    moment = Moment(
        columns=(column,) if column else (day, clock),
        written=written,
        form="" if written == ISO else _form(table, written),
        zone=_zone(table),
    )
    table.finish()
    return moment


def _form(table: Table, written: str) -> str:
    """How Python reads a moment that is written so: "DD.MM.YYYY hh:mm:ss" is "%d.%m.%Y %H:%M:%S"."""
    parts, between = _LETTERS.findall(written), _LETTERS.sub("", written)
    if len(set(parts)) < len(parts) or not {*_DAY, *_CLOCK} <= set(parts) or re.search(r"[\w%]", between):
        says = f'has to be "{ISO}", or made of {", ".join(_PARTS)} and signs, like "DD.MM.YYYY hh:mm:ss"'
        table.wrong("written", says)
        return ""
    form = _LETTERS.sub(lambda part: _PARTS[part[0]], written)
    return form.replace("%H", "%I") if "AM" in parts else form  # an hour from 1 to 12 with its half of the day


def _zone(table: Table) -> ZoneInfo | None:
    """The zone of the wrench's clock; None where each moment tells its own."""
    return table.read("zone", zone_of)


def _look_at_units(table: Table, unit: Told, units: UnitTable) -> None:
    """Note every unit of the mapping that no torque is written in."""
    for key, spelling in [("always", unit.always)] if unit.always else []:
        _look_at_unit(table, key, spelling, units)
    for word, spelling in unit.names.items():
        if spelling:
            _look_at_unit(table.inner("names"), word, spelling, units)


def _look_at_unit(table: Table, key: str, spelling: str, units: UnitTable) -> None:
    try:
        units.unit(spelling)
    except ValueError as error:
        table.wrong(key, str(error))


def name_in(told: Told, word: str) -> str:
    """What a word of a column stands for. Raises ValueError where the table of names has others only."""
    if not told.names or word in told.names:
        return told.names.get(word, word)
    raise ValueError(f'{told.column} "{word}" is not in [{told.table}.names]; {did_you_mean(word, told.names)}')
