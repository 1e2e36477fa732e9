"""The mapping of a wrench's log: every mistake is told with its line, its key and what was probably meant."""

import pytest

from torqueaudit.model.log.mapping import LogMapping, read_mapping
from torqueaudit.plugin.commands import unit_table

WHOLE = """format = 1
[torque]
column = "Torque"
decimal = ","
[unit]
column = "Unit"
names = { "Nm" = "N·m" }
[moment]
date = "Date"
time = "Clock"
written = "DD.MM.YYYY hh:mm"
zone = "Europe/Vienna"
[wrench]
always = "W-2"
[job]
column = "Order"
[fastener]
column = "Place"
[fastener.names]
"1" = "rear-axle-nut"
"""


def read(text: str) -> LogMapping:
    """A mapping, with the units of the bundled plugins."""
    return read_mapping(text, unit_table())


def test_a_mapping_says_which_columns_are_read_and_how() -> None:
    """Each column once; what is fixed needs none."""
    mapping = read(WHOLE)

    assert ("Torque", "Unit", "Order", "Place", "Date", "Clock") == mapping.columns
    assert "%d.%m.%Y %H:%M" == mapping.moment.form
    assert {"1": "rear-axle-nut"} == mapping.fastener.names


MISTAKES = {
    "a key that there is not": (
        'always = "W-2"',
        'allways = "W-2"',
        'line 14, wrench.allways: is not known here; did you mean "always"?',
    ),
    "a table that there is not": ("[job]", "[jobb]", 'line 15, jobb: is not known here; did you mean "job"?'),
    "nothing told": (
        '[wrench]\nalways = "W-2"\n',
        "",
        "line 1, wrench: does not say where it is told; write always = … or column = …",
    ),
    "told twice": (
        'always = "W-2"',
        'always = "W-2"\ncolumn = "Serial"',
        "line 14, wrench.always: and a column are told; leave one of them out",
    ),
    "a fixed torque": ('column = "Torque"', 'always = "98"', "line 3, torque.always: is not known here"),
    "names of nothing": (
        'always = "W-2"',
        'always = "W-2"\nnames = { a = "W-1" }',
        "line 15, wrench.names: are of what stands in a column",
    ),
    "a unit that is none": ('"Nm" = "N·m"', '"Nm" = "kg"', 'line 7, unit.names.Nm: "kg" says how heavy'),
    "a zone that is none": (
        "Europe/Vienna",
        "Europe/Viena",
        'line 12, moment.zone: Europe/Viena: no such time zone; did you mean "Europe/Vienna"?',
    ),
    "a zone that is a path": ("Europe/Vienna", "../etc", "line 12, moment.zone: ../etc: no such time zone"),
    "a form that is none": ("DD.MM.YYYY hh:mm", "%d.%m.%Y", "line 11, moment.written: has to be"),
    "a form without its hours": ("DD.MM.YYYY hh:mm", "DD.MM.YYYY", "line 11, moment.written: has to be"),
    "half a moment": ('time = "Clock"\n', "", "line 8, moment: has to say column = …, or date = … and time = …"),
    "a sign for decimals": (
        'decimal = ","',
        'decimal = "\'"',
        'line 4, torque.decimal: "\'" is not known; write . or ,',
    ),
    "a separator": ("[torque]", '[file]\nseparator = "::"\n[torque]', "line 3, file.separator: has to be one sign"),
    "an encoding": (
        "[torque]",
        '[file]\nencoding = "EBCDIC"\n[torque]',
        'line 3, file.encoding: "EBCDIC" is not known',
    ),
    "another format": ("format = 1", "format = 2", "line 1, format: is 2; this program reads format = 1"),
    "no format": ("format = 1\n", "", "line 1, format: is missing; write format = 1"),
    "no TOML": ("[job]", "[job", "line 15: this is not TOML"),
}


@pytest.mark.parametrize("what", MISTAKES)
def test_a_mistake_is_told_with_its_place(what: str) -> None:
    """The whole file is refused: a log that is half understood is worse than none."""
    right, wrong, says = MISTAKES[what]
    assert right in WHOLE
    with pytest.raises(ValueError, match="line") as caught:
        read(WHOLE.replace(right, wrong, 1))

    assert says in str(caught.value), str(caught.value)


def test_all_mistakes_are_told_at_once() -> None:
    """Each on a line of its own, in the order of the file."""
    with pytest.raises(ValueError, match="line") as caught:
        read(WHOLE.replace("Europe/Vienna", "nowhere").replace("[job]", "[jobb]"))

    assert ["line 1, job", "line 12, moment.zone", "line 15, jobb"] == [
        line.split(":")[0] for line in str(caught.value).split("\n")
    ]
