"""What a form says of mistakes: in words of the form, never in those of the text that comes of it."""

from decimal import Decimal

import pytest

from torqueaudit.model.procedure.draft.pieces import pieces_in
from torqueaudit.model.procedure.toml.file import read_procedure
from torqueaudit.model.procedure.toml.values import ProcedureMistakes
from torqueaudit.model.torque.units import NEWTON_METRE, UnitTable

UNITS = UnitTable([NEWTON_METRE])
HEAD = """
format = 1
name = "chain"
title = "Chain"
edition = "1"
[source.manual]
document = "Kestrel 500 manual"
edition = "3"
model = "Kestrel 500"
years = [2028, 2031]
"""
NUT = """
[[work]]
tighten = "a-nut"
name = "A nut"
source = "manual"
page = "8-1"
torque = "50 N·m"
tolerance = "5 %"
"""


def wrong(text: str) -> list[tuple[str, str]]:
    """What a form says, with the field that it stands at."""
    with pytest.raises(ProcedureMistakes) as told:
        read_procedure(text, UNITS, Decimal(10))
    return [(each.field, each.says) for piece in pieces_in(text, told.value.mistakes) for each in piece.wrong]


@pytest.mark.parametrize(
    ("line", "field", "says"),
    [
        ('count = 6\npattern = "criss"', "pattern", "is “cross”, or each number from 1 to 6 once"),
        (
            "count = 3\ncross = true",
            "pattern",
            "is known for a count of 4, 5, 6 or 8, not 3",
        ),
        ('condition = "threadlocker"', "condition", "write how many hours it cures, at “hours until it holds”"),
        ('angle = "50°"', "angle", "needs “torque and angle” as the method"),
        ('method = "torque and angle"', "method", "no angle is given; see “angle”"),
        ('mark = "perhaps"', "mark", "has to be yes or no"),
        ('count = "six"', "count", "has to be a whole number from 2 to 20"),
        ('after = ["b-nut"]\n' + NUT.replace("a-nut", "b-nut").replace("A nut", "B nut"), "after", "is done later"),
        (NUT, "key", "“a-nut” is the short name of “A nut” too; take one out, or"),
    ],
)
def test_a_mistake_is_told_in_words_of_the_form(line: str, field: str, says: str) -> None:
    """At the field where it is put right."""
    told = wrong(f"{HEAD}{NUT}{line}\n")

    assert [(field, True)] == [(at, says in each) for at, each in told], told
    assert not any(sign in each for _, each in told for sign in ("[", " = ", "_"))


def test_a_draft_without_work_says_what_to_add() -> None:
    """It begins so."""
    assert [("", "nothing is to be done yet; add a fastener, a measurement, a step or a part")] == wrong(HEAD)
