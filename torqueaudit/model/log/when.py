"""Where a mapping says when something was: the form in which it is written, the columns, the zone of the clock."""

import re
from typing import NamedTuple
from zoneinfo import ZoneInfo

from torqueaudit.model.procedure.toml.values import Table
from torqueaudit.model.register.zones import zone_of

ISO = "ISO 8601"
# What stands for each part of a moment, and what Python calls it.
_PARTS = {"YYYY": "%Y", "MM": "%m", "DD": "%d", "hh": "%H", "mm": "%M", "ss": "%S", "AM": "%p"}
_DAY, _CLOCK = ("YYYY", "MM", "DD"), ("hh", "mm")
_LETTERS = re.compile("|".join(_PARTS))


class Moment(NamedTuple):
    """Where a row tells when it was: in one column, or day and clock apart; `form` as Python reads it, "" for ISO 8601.

    `written` is the form as the mapping has it.
    """

    columns: tuple[str, ...]
    written: str
    form: str
    zone: ZoneInfo | None


class Day(NamedTuple):
    """Where a row tells on which day it was: the same day `always`, or in a column; nowhere where both are empty."""

    always: str = ""
    column: str = ""
    written: str = ISO
    form: str = ""


def moment_in(table: Table) -> Moment:
    """What a table says of the moment of a row."""
    column, day, clock = (table.text(key) for key in ("column", "date", "time"))
    if bool(column) == bool(day or clock) or bool(day) != bool(clock):
        table.wrong("", "has to say column = …, or date = … and time = … where they stand in two columns")
    written = table.text("written") or ISO
    moment = Moment(
        columns=(column,) if column else (day, clock),
        written=written,
        form=_form(table, written, (*_DAY, *_CLOCK), "DD.MM.YYYY hh:mm:ss"),
        zone=table.read("zone", zone_of),  # of the wrench's clock; None where each moment tells its own
    )
    table.finish()
    return moment


def day_in(table: Table) -> Day:
    """What a table says of the day of something in a row."""
    always, column = table.text("always"), table.text("column")
    if bool(always) == bool(column):
        table.wrong("", "has to say column = …, or always = … where it is the same for every row")
    written = table.text("written") or ISO
    day = Day(always, column, written, _form(table, written, _DAY, "DD.MM.YYYY"))
    table.finish()
    return day


def _form(table: Table, written: str, needed: tuple[str, ...], example: str) -> str:
    """How Python reads what is written so: "DD.MM.YYYY hh:mm:ss" is "%d.%m.%Y %H:%M:%S"; "" for ISO 8601."""
    if written == ISO:
        return ""
    known = [part for part in _PARTS if needed != _DAY or part in _DAY]
    parts, between = _LETTERS.findall(written), _LETTERS.sub("", written)
    if len(set(parts)) < len(parts) or not set(needed) <= set(parts) <= set(known) or re.search(r"[\w%]", between):
        says = f'has to be "{ISO}", or made of {", ".join(known)} and signs, like "{example}"'
        table.wrong("written", says)
        return ""
    form = _LETTERS.sub(lambda part: _PARTS[part[0]], written)
    return form.replace("%H", "%I") if "AM" in parts else form  # an hour from 1 to 12 with its half of the day
