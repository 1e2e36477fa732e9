"""One row of a workshop's own list: a vehicle with its owner, or a wrench; every mistake is told with its column."""

import re
from datetime import date, datetime
from decimal import Decimal

import pytest

from torqueaudit.model.log.rows import Cell, LogRow
from torqueaudit.model.move_in.mapping import VehicleColumns, WrenchColumns, read_move_mapping
from torqueaudit.model.move_in.rows import ListedVehicle, ListedWrench
from torqueaudit.model.vehicle.instrument import Hours, Instrument
from torqueaudit.plugin.commands import unit_table
from torqueaudit.read.vehicle_row import read_vehicle_row
from torqueaudit.read.wrench_row import read_wrench_row

UNITS = unit_table()
VEHICLES = """format = 1
of = "vehicles"
tag = { columns = ["Model", "Colour"] }
model = { column = "Model" }
year = { column = "Year" }
key = { column = "No" }
plate = { column = "Plate" }
contact = { columns = ["Owner", "Phone"] }
instrument = { column = "Counts", names = { "miles" = "mi", "km" = "km", "h" = "hours", "-" = "none" } }
odometer = { column = "Read", on = { column = "On", written = "DD.MM.YYYY" } }
mail = { column = "Mail" }
mobile = { column = "Mobile" }
consent = { column = "OK", by = { column = "By", names = { "Karl" = "P-2" } }, on = { column = "Since" } }
"""
WRENCHES = """format = 1
of = "wrenches"
tag = { column = "Name" }
kind = { column = "Kind", names = { "clicks" = "setting", "dial" = "indicating" } }
lowest = { column = "From" }
highest = { column = "To" }
scale = { column = "Step" }
unit = { column = "Unit" }
lever = { column = "Lever" }
class = { column = "Class" }
due = { column = "Due" }
key = { column = "Serial" }
"""
AGREED = {"Mail": "w.sample@home.example", "OK": "yes", "By": "Karl", "Since": "2030-11-03"}


def vehicle(*signs: str, **cells: Cell) -> ListedVehicle:
    """A vehicle of a plate and whatever else is told; what is told as "" stands nowhere."""
    means = read_move_mapping(VEHICLES, UNITS).means
    assert isinstance(means, VehicleColumns)
    told = {"Model": "Kestrel 500", "Colour": "blue", "Plate": "YD 1 K", **cells}
    return read_vehicle_row(
        LogRow(2, {name: cell for name, cell in told.items() if cell != ""}), means, signs[0] if signs else "."
    )


def wrench(*signs: str, **cells: Cell) -> ListedWrench:
    """A wrench that clicks, and whatever else is told."""
    means = read_move_mapping(WRENCHES, UNITS).means
    assert isinstance(means, WrenchColumns)
    return read_wrench_row(
        LogRow(2, {"Name": "red stick", "Kind": "clicks", **cells}), means, sign=signs[0] if signs else ".", units=UNITS
    )


def test_a_row_says_what_it_says() -> None:
    """Words of several columns joined, those that are empty passed over; nothing made up."""
    told = vehicle(Year=Decimal(2029), No=Decimal(17), Owner="Wilhelmina Sample", Phone="")

    assert ("Kestrel 500, blue", "Kestrel 500", 2029, Instrument.KM) == told.new
    assert {"plate": "YD 1 K", "key_in_list": "17", "contact": "Wilhelmina Sample"} == told.personal
    assert (None, None, None) == (told.run, told.read_on, told.agreement)


@pytest.mark.parametrize(
    ("counts", "read", "sign", "run"),
    [
        ("km", "18450", ".", 18_450_000),
        ("km", Decimal(18450), ",", 18_450_000),
        ("km", "18.450", ",", 18_450_000),  # the mapping says that the comma stands before decimals
        ("km", "18,450", ".", 18_450_000),
        ("km", "1.118.450,5", ",", 1_118_450_500),
        ("km", "18 450 km", ".", 18_450_000),
        ("miles", "100", ".", 160_934),  # NIST SP 811:2008, B.8: 1 mile is 1609.344 m (from memory)
        ("h", "112,5", ",", Hours(6750)),
        ("h", "112.5 h", ".", Hours(6750)),
    ],
)
def test_what_was_read_off_is_in_the_unit_of_its_instrument(counts: str, read: Cell, sign: str, run: object) -> None:
    """On the day that the row tells."""
    told = vehicle(sign, Counts=counts, Read=read, On="03.11.2030")

    assert (run, date(2030, 11, 3)) == (told.run, told.read_on)


@pytest.mark.parametrize(
    "on",
    [
        "2030-11-03",
        "03.11.2030",
        datetime(2030, 11, 3),  # noqa: DTZ001  # of a workbook
        "2030-11-03 00:00:00",  # the same, as its row is listed where it is left out
    ],
)
def test_a_day_is_read_in_the_form_of_the_mapping_and_in_that_of_iso_8601(on: Cell) -> None:
    """Also as a date of a workbook."""
    assert date(2030, 11, 3) == vehicle(Read="100", On=on).read_on


def test_an_address_is_kept_only_where_a_column_says_that_the_owner_agreed() -> None:
    """With who heard it and when; without, it is told that it is not kept."""
    yes, no, nothing = vehicle(**AGREED), vehicle(**AGREED | {"OK": "no"}), vehicle(Mail="w.sample@home.example")

    assert yes.agreement
    assert ("w.sample@home.example", "") == yes.agreement.contact
    assert ("P-2", date(2030, 11, 3)) == (yes.agreement.heard_by, yes.agreement.on)
    for each in (no, nothing):
        assert each.agreement is None
        assert ("Mail is not kept, for nobody agreed to be reminded",) == each.left_out
    assert () == vehicle().left_out


def test_a_figure_that_may_be_thousands_is_asked_back_where_no_sign_is_told() -> None:
    """As wherever somebody types one (decision 0080)."""
    for read in ("18,450", "18.450"):
        with pytest.raises(ValueError, match=r"Read: 18[.,]450 km: this may be thousands or decimals; write 18450 km"):
            vehicle("", Read=read, On="03.11.2030")


@pytest.mark.parametrize(
    ("told", "read", "decimal"),
    [("", "18.450", ","), ("", "18,450", "."), ("", "50.529,5", ","), ("", "1.118.450", ","), (".", "18.450", ",")],
)
def test_what_all_rows_leave_open_is_said_once_in_the_mapping(told: str, read: str, decimal: str) -> None:
    """Nobody mends a thousand rows for one line; with that line the same row is read."""
    says = f'in all rows, say so in the mapping: [file] decimal = "{decimal}"'
    with pytest.raises(ValueError, match=re.escape(says)):
        vehicle(told, Read=read, On="03.11.2030")

    assert vehicle(decimal, Read=read, On="03.11.2030").run


def test_a_figure_that_is_asked_back_is_told_as_it_stands_in_the_row() -> None:
    """With its own sign, for it is looked for there."""
    with pytest.raises(ValueError, match=r"^Read: 18,450 km: this may be thousands or decimals"):
        vehicle(",", Read="18,450", On="03.11.2030")


MISTAKES: dict[str, tuple[dict[str, Cell], str]] = {
    "no tag": ({"Colour": "", "Model": ""}, "Model is empty"),
    "nothing to know it again by": ({"Plate": ""}, "Plate and No are empty, so nobody could know this vehicle again"),
    "a year": ({"Year": "29"}, "Year: 29: a year lies between 1900 and 2200"),
    "an instrument": ({"Counts": "mls"}, 'Counts "mls" is not in [instrument.names]; did you mean "miles"?'),
    "a figure without a day": ({"Read": "100"}, "On is empty; say on which day it was read"),
    "a day": ({"Read": "100", "On": "31.11.2030"}, 'On "31.11.2030" is no day written as DD.MM.YYYY'),
    "a year of a day": ({"Read": "100", "On": "03.11.0030"}, "On: 0030-11-03: a year lies between 2000 and 2200"),
    "a figure that may be thousands": (
        {"Read": "18.450", "On": "03.11.2030"},
        "Read: 18.450 km: this may be thousands",
    ),
    "no figure": ({"Read": "many", "On": "03.11.2030"}, "Read: "),
    "hours of one that counts km": (
        {"Read": "12 h", "On": "03.11.2030"},
        "Read: 12 h: this vehicle has an odometer in",
    ),
    "a figure of none": (
        {"Counts": "-", "Read": "100", "On": "03.11.2030"},
        "Read: 100: this vehicle has neither odometer nor hour meter; leave it empty",
    ),
    "a mail address": ({**AGREED, "Mail": "sample at home"}, "Mail: this is no mail address"),
    "a mobile number": ({**AGREED, "Mobile": "0660 1"}, "Mobile: this is no number that takes short messages"),
    "a yes that is none": ({**AGREED, "OK": "perhaps"}, "OK: perhaps: write “yes” or “no”"),
    "a yes without an address": ({**AGREED, "Mail": ""}, "OK: the owner agreed to be reminded, and no address is told"),
    "a yes that nobody heard": ({**AGREED, "By": ""}, "By is empty; say who heard that the owner agreed, such as P-2"),
    "a yes that a stranger heard": ({**AGREED, "By": "Carl"}, 'By "Carl" is not in [consent.by.names]; did you mean'),
    "a yes without a day": ({**AGREED, "Since": ""}, "Since is empty; say on which day the owner agreed"),
    "a sign that nobody sees": ({"Colour": "bl\u202eue"}, "Colour: sign 3 is U+202E (right-to-left override)"),
    "too long": ({"Colour": "b" * 201}, "Colour has more than 200 characters"),
    "two mistakes": ({"Year": "29", "Counts": "mls"}, 'lies between 1900 and 2200; Counts "mls"'),
}


@pytest.mark.parametrize("mistake", MISTAKES)
def test_what_is_wrong_with_a_vehicle_is_told_with_its_column(mistake: str) -> None:
    """In one sentence each, all of them."""
    cells, says = MISTAKES[mistake]
    with pytest.raises(ValueError, match=r".") as told:
        vehicle(**cells)

    assert says in str(told.value)


def test_a_wrench_is_read_with_its_range_in_the_unit_of_the_list() -> None:
    """A unit behind the figure goes before; a number of a workbook has no sign of its own."""
    told = wrench(",", From=Decimal(20), To="100,5", Unit="Nm", Step="0,5 lbf-ft", Serial="D-7", Due="2031-09-30")

    assert ("20 N·m", "100.5 N·m", ("0.5 lbf·ft",)) == (told.new.lowest, told.new.highest, told.new.scales)
    assert ("setting", date(2031, 9, 30), "D-7") == (told.new.kind, told.new.due_on, told.key)
    assert "II A" == wrench(Class="type II class A").new.iso_class
    assert Decimal(2) == wrench(Lever="500±2").new.lever_expanded_mm


WRENCH_MISTAKES: dict[str, tuple[dict[str, Cell], str]] = {
    "a kind": ({"Kind": "clunks"}, 'Kind "clunks" is not in [kind.names]'),
    "no tag": ({"Name": ""}, "Name is empty, and a wrench has a tag, what people call it"),
    "a torque without a unit": ({"From": "20"}, "From: it has no unit, and the mapping has none"),
    "a torque by the wrong sign": ({"From": "20,5 Nm"}, 'From "20,5 Nm" is no torque with "." before its decimals'),
    "a unit that is none": ({"From": "20 kg"}, 'From: "kg" says how heavy'),
    "nothing": ({"From": "0 Nm"}, "From is 0, and a torque is above zero"),
    "a lever": ({"Lever": "5"}, "Lever: 5: a lever is given in mm"),
    "a class": ({"Class": "III Z"}, "Class: III Z: type and class of ISO 6789 are"),
    "a day": ({"Due": "30.9.2031"}, 'Due "30.9.2031" is no day written as ISO 8601'),
}


@pytest.mark.parametrize("mistake", WRENCH_MISTAKES)
def test_what_is_wrong_with_a_wrench_is_told_with_its_column(mistake: str) -> None:
    """In one sentence each."""
    cells, says = WRENCH_MISTAKES[mistake]
    with pytest.raises(ValueError, match=r".") as told:
        wrench(**cells)

    assert says in str(told.value)
