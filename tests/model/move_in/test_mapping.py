"""The mapping of a workshop's own list: every mistake is told with its line, its key and what to write."""

import pytest

from torqueaudit.model.move_in.mapping import MoveMapping, VehicleColumns, read_move_mapping
from torqueaudit.plugin.commands import unit_table

VEHICLES = """format = 1
of = "vehicles"
[file]
separator = ";"
decimal = ","
[tag]
columns = ["Model", "Colour"]
[model]
column = "Model"
[plate]
column = "Plate"
[instrument]
column = "Counts"
names = { "Miles" = "mi" }
[odometer]
column = "Read"
on = { column = "Read on", written = "DD.MM.YYYY" }
[mail]
column = "Mail"
[consent]
column = "Reminders"
names = { "ja" = "yes", "nein" = "no" }
by = { column = "Heard by", names = { "Karl" = "P-2" } }
on = { always = "2031-04-02" }
"""
WRENCHES = """format = 1
of = "wrenches"
[tag]
column = "Name"
[kind]
always = "setting"
[lowest]
column = "From"
[highest]
column = "To"
[unit]
always = "Nm"
[due]
column = "Due"
"""


def read(text: str) -> MoveMapping:
    """A mapping, with the units of the bundled plugins."""
    return read_move_mapping(text, unit_table())


def test_a_mapping_says_which_columns_are_read_and_how() -> None:
    """Each column once; what is the same for all rows needs none."""
    mapping = read(VEHICLES)

    assert isinstance(mapping.means, VehicleColumns)
    expected = ("Model", "Colour", "Counts", "Plate", "Read", "Read on", "Mail", "Reminders", "Heard by")
    assert set(expected) == set(mapping.columns)
    assert len(expected) == len(mapping.columns)
    assert ("Model", "Colour") == mapping.means.tag.columns
    assert "%d.%m.%Y" == mapping.means.odometer_on.form
    assert {"Name", "From", "To", "Due"} == set(read(WRENCHES).columns)


MISTAKES = {
    "no kind of rows": (VEHICLES, 'of = "vehicles"\n', "", 'of: is missing; write of = "vehicles" or of = "wrenches"'),
    "rows of another kind": (
        VEHICLES,
        '"vehicles"',
        '"people"',
        'line 2, of: "people" is not known; write vehicles or',
    ),
    "a table of the other kind": (WRENCHES, "[due]", "[plate]", "plate: is not known here"),
    "nothing to know it again by": (
        VEHICLES,
        '[plate]\ncolumn = "Plate"\n',
        "",
        "none of [frame_number], [plate] and [key] is told; a vehicle is known again by one of them",
    ),
    "no tag": (VEHICLES, 'columns = ["Model", "Colour"]', "", "tag: does not say where it is told; write column = …"),
    "a column where its table belongs": (
        VEHICLES,
        'of = "vehicles"\n',
        'of = "vehicles"\nyear = "Year"\n',
        "line 3, year: has to be a table, like year = { … }",
    ),
    "a tag told twice": (VEHICLES, "[tag]\n", '[tag]\ncolumn = "Name"\n', "tag.columns: and column are told"),
    "an instrument that is none": (
        VEHICLES,
        '= "mi"',
        '= "furlongs"',
        'instrument.names.Miles: "furlongs" is not known',
    ),
    "an odometer without its day": (
        VEHICLES,
        'on = { column = "Read on", written = "DD.MM.YYYY" }\n',
        "",
        "odometer: does not say on which day it was; write on = {",
    ),
    "a day whose form has an hour": (
        VEHICLES,
        '"DD.MM.YYYY" }\n[mail]',
        '"DD.MM.YYYY hh" }\n[mail]',
        'odometer.on.written: has to be "ISO 8601", or made of YYYY, MM, DD and signs, like "DD.MM.YYYY"',
    ),
    "a day that is none": (VEHICLES, '"2031-04-02"', '"2031-04-31"', "consent.on.always: 2031-04-31: write a date as"),
    "an address and no consent": (
        VEHICLES,
        VEHICLES[VEHICLES.index("[consent]") :],
        "",
        "mail: and [consent] is not told: nobody is reminded who has not agreed",
    ),
    "consent and no address": (VEHICLES, '[mail]\ncolumn = "Mail"\n', "", "consent: is told, and neither [mail] nor"),
    "consent of everybody": (
        VEHICLES,
        'column = "Reminders"',
        'always = "yes"',
        "consent: does not say which column says so; write column = …",
    ),
    "consent that is neither": (
        VEHICLES,
        '"ja" = "yes"',
        '"ja" = "P-2"',
        'consent.names.ja: "P-2" is not known; write yes or no',
    ),
    "consent that nobody heard": (
        VEHICLES,
        'by = { column = "Heard by", names = { "Karl" = "P-2" } }\n',
        "",
        "consent.by: does not say where it is told",
    ),
    "a key of who heard it": (
        VEHICLES,
        "by = { column",
        "by = { colum",
        "consent.by.colum: is not known here; did you",
    ),
    "consent without its day": (
        VEHICLES,
        'on = { always = "2031-04-02" }\n',
        "",
        "consent: does not say on which day it was",
    ),
    "a plate for everybody": (VEHICLES, 'column = "Plate"', 'always = "AB 12"', "plate.always: is not known here"),
    "a kind of wrench": (WRENCHES, '"setting"', '"clicking"', 'kind.always: "clicking" is not known; write setting or'),
    "a unit that is none": (WRENCHES, '"Nm"', '"kg"', 'unit.always: "kg" says how heavy'),
    "a sign for decimals": (VEHICLES, 'decimal = ","', 'decimal = ";"', 'file.decimal: ";" is not known'),
}


@pytest.mark.parametrize("mistake", MISTAKES)
def test_a_mistake_is_told_with_what_to_write(mistake: str) -> None:
    """With its line and its key, besides whatever else is wrong."""
    text, right, wrong, says = MISTAKES[mistake]
    assert right in text
    with pytest.raises(ValueError, match=r"^line [0-9]+") as told:
        read(text.replace(right, wrong, 1))

    assert says in str(told.value)
