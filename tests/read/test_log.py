"""One row of a wrench's log: its torque as entries hold it, and its moment by the wrench's own clock."""

from datetime import UTC, datetime
from decimal import Decimal

import pytest

from torqueaudit.model.log.mapping import LogMapping, read_mapping
from torqueaudit.model.log.rows import Cell, LogRow
from torqueaudit.plugin.commands import unit_table
from torqueaudit.read.log import LogPass, read_pass

UNITS = unit_table()
REST = """
wrench = { always = "w2" }
job = { always = "12" }
fastener = { always = "nut" }
"""


def mapping_of(moment: str = 'column = "t", zone = "Europe/Vienna"', decimal: str = ".") -> LogMapping:
    """A mapping whose moment is told so."""
    torque = f'torque = {{ column = "m", decimal = "{decimal}" }}\nunit = {{ column = "u" }}\n'
    return read_mapping(f"format = 1\nmoment = {{ {moment} }}\n{torque}{REST}", UNITS)


def row(**cells: Cell) -> LogRow:
    """A row of a torque and a moment, or of others."""
    return LogRow(2, {"t": "2031-04-02 10:05:00", "m": Decimal(98), "u": "N·m", **cells})


def read(mapping: LogMapping, **cells: Cell) -> LogPass:
    """A row, read."""
    return read_pass(row(**cells), mapping, UNITS)


@pytest.mark.parametrize(
    ("cell", "decimal", "shown"),
    [
        (Decimal("98.20"), ",", "98.2 N·m"),  # a number in a workbook has no sign of its own
        ("98.20", ".", "98.2 N·m"),
        ("98,20", ",", "98.2 N·m"),
        ("1.250", ".", "1.25 N·m"),  # the mapping says what the sign is, so nothing is asked back
        ("1,234", ",", "1.234 N·m"),
        ("+7", ".", "7 N·m"),
    ],
)
def test_a_torque_is_read_by_the_sign_that_the_mapping_names(cell: Cell, decimal: str, shown: str) -> None:
    """What is written alike in an entry is read back alike."""
    told = read(mapping_of(decimal=decimal), m=cell).shown

    assert shown == told
    assert UNITS.parse(told).value == Decimal(str(cell).replace(",", "."))


@pytest.mark.parametrize("cell", ["98,2", "9.820,5", "1e2", "98 ", "٩٨", "NaN", "--", "98.2.1", "9" * 21])
def test_what_is_no_number_by_that_sign_is_refused(cell: str) -> None:
    """Never read as another one; spaces around it are no matter."""
    if cell.strip() != cell:
        assert "98 N·m" == read(mapping_of(), m=cell).shown
        return
    with pytest.raises(ValueError, match=r"^m"):
        read(mapping_of(), m=cell)


def test_a_number_beyond_all_measure_is_refused() -> None:
    """One of a thousand million digits would take all memory to be written."""
    with pytest.raises(ValueError, match="m is larger or smaller than anything that is read"):
        read(mapping_of(), m=Decimal("1e999999999"))


# NIST SP 811:2008, appendix B.8, "moment of force or torque", as printed there (values from memory).
@pytest.mark.parametrize(
    ("unit", "newton_metres"),
    [("ft-lb", "1.355818"), ("in-lb", "0.1129848"), ("kgf-m", "9.80665"), ("N-m", "1")],
)
def test_a_unit_of_a_log_is_that_of_the_plugins(unit: str, newton_metres: str) -> None:
    """One of each unit, in N·m, to the digits that are printed."""
    nm = UNITS.parse(read(mapping_of(), m=Decimal(1), u=unit).shown).nm
    printed = Decimal(newton_metres)

    assert printed == nm.quantize(printed)


@pytest.mark.parametrize(
    ("moment", "cells", "utc"),
    [
        # Vienna is one hour ahead of UTC in winter and two in summer (the tz database).
        ('column = "t", zone = "Europe/Vienna"', {"t": "2031-04-02 10:05:00"}, "2031-04-02 08:05:00"),
        ('column = "t", zone = "Europe/Vienna"', {"t": "2031-01-02T10:05"}, "2031-01-02 09:05:00"),
        ('column = "t", zone = "Europe/Vienna"', {"t": "2031-04-02T10:05:00-05:00"}, "2031-04-02 15:05:00"),
        ('column = "t"', {"t": "2031-04-02T10:05:00Z"}, "2031-04-02 10:05:00"),
        ('column = "t", zone = "UTC"', {"t": datetime(2031, 4, 2, 10, 5)}, "2031-04-02 10:05:00"),  # noqa: DTZ001
        (
            'column = "t", zone = "UTC", written = "DD.MM.YYYY hh:mm:ss"',
            {"t": "02.04.2031 10:05:07"},
            "2031-04-02 10:05:07",
        ),
        (
            'column = "t", zone = "UTC", written = "MM/DD/YYYY hh:mm"',
            {"t": "04/02/2031 10:05"},
            "2031-04-02 10:05:00",
        ),
        (
            'column = "t", zone = "UTC", written = "MM/DD/YYYY hh:mm:ss AM"',
            {"t": "04/02/2031 12:05:07 am"},
            "2031-04-02 00:05:07",
        ),
        (
            'date = "d", time = "t", zone = "UTC", written = "DD.MM.YYYY hh:mm"',
            {"d": "02.04.2031", "t": "10:05"},
            "2031-04-02 10:05:00",
        ),
        (
            'date = "d", time = "t", zone = "UTC"',
            {"d": datetime(2031, 4, 2), "t": "10:05:00"},  # noqa: DTZ001
            "2031-04-02 10:05:00",
        ),
        (
            'date = "d", time = "t", zone = "UTC"',
            {"d": "2031-04-02 00:00:00", "t": "10:05:00"},  # as that row is listed where it is left out
            "2031-04-02 10:05:00",
        ),
        # Clocks are set back from 03:00 to 02:00 on 26 October 2031: with its offset the hour is one of the two.
        ('column = "t", zone = "Europe/Vienna"', {"t": "2031-10-26 02:30:00+01:00"}, "2031-10-26 01:30:00"),
    ],
)
def test_a_moment_is_that_of_the_wrench_s_clock(moment: str, cells: dict[str, Cell], utc: str) -> None:
    """An offset that is written goes before the zone of the mapping; a date cell has its own form."""
    assert datetime.fromisoformat(utc).replace(tzinfo=UTC) == read(mapping_of(moment), **cells).at


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("2031-10-26 02:30:00", "was twice, as clocks were set back; write 2031-10-26 02:30:00+02:00 or"),
        ("2031-03-30 02:30:00", "clocks were set forward over this time"),
        ("2031-13-01 10:00:00", "is no moment written as ISO 8601"),
        ("2031-04-02", "is no moment written as ISO 8601"),
        ("1999-04-02 10:00:00", "a year lies between 2000 and 2200"),
    ],
)
def test_a_moment_that_is_none_or_two_is_refused(text: str, says: str) -> None:
    """Nobody guesses which hour of the night it was."""
    with pytest.raises(ValueError, match=r"2031|1999") as caught:
        read(mapping_of(), t=text)

    assert says in str(caught.value)


def test_a_moment_without_any_zone_is_refused() -> None:
    """Where neither the row nor the mapping tells one."""
    with pytest.raises(ValueError, match="tells no time zone, and the mapping has none; write zone = … there"):
        read(mapping_of('column = "t"'))
