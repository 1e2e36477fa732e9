"""Tables as people paste them from a spreadsheet: with empty columns, line ends within a cell, and units above."""

import pytest

from torqueaudit.model.procedure.draft.pasted import rows_in


def told(text: str) -> list[tuple[int, dict[str, object]]]:
    """Each row by its line, without its short name and source."""
    return [
        (row.line, {k: v for k, v in row.work.items() if k not in ("tighten", "source")}) for row in rows_in(text, "")
    ]


@pytest.mark.parametrize(
    "text", ["Name\tPage\t\nlink bolt\t7-2\t\n", "Name\tPage\t\t\nlink bolt\t7-2", "\tName\tPage\n\tlink bolt\t7-2"]
)
def test_an_empty_column_takes_nothing_from_another_one(text: str) -> None:
    """At the end or the beginning, as a spreadsheet copies it with the rest."""
    assert [(2, {"name": "link bolt", "page": "7-2"})] == told(text)


def test_a_cell_may_have_line_ends_of_its_own() -> None:
    """The row below keeps the line that it stands on in what was pasted."""
    text = 'Name\tStages\nlink bolt\t"hand\n50 %\n100 %"\npinch bolt\thand, 50 %,100 %\n'

    assert [
        (2, {"name": "link bolt", "stages": ["hand", "50 %", "100 %"]}),
        (5, {"name": "pinch bolt", "stages": ["hand", "50 %", "100 %"]}),
    ] == told(text)


def test_a_quotation_mark_that_is_none_takes_no_rows_into_its_cell() -> None:
    """Such as that of an inch."""
    expected = [(2, {"name": '"big" bolt', "page": '"7'}), (3, {"name": "nut"})]

    assert expected == told('Name\tPage\n"big" bolt\t"7\nnut\t')


def test_a_unit_above_a_column_belongs_to_each_bare_number_below_it() -> None:
    """A decimal comma parts nothing; what has its unit keeps it."""
    text = "Name\tTorque (N·m)\tTolerance [%]\tAlso printed\nlink bolt\t28,5\t5\t21,0 lbf·ft\nnut\t9 lbf·ft\tworkshop\t"

    assert [
        {"name": "link bolt", "torque": "28,5 N·m", "tolerance": "5 %", "also": ["21,0 lbf·ft"]},
        {"name": "nut", "torque": "9 lbf·ft", "tolerance": "workshop"},
    ] == [work for _, work in told(text)]


@pytest.mark.parametrize(
    ("cell", "kept"), [("yes", True), ("✓", True), ("none", None), ("n", None), ("later", "later")]
)
def test_a_tick_is_told_in_a_word_and_any_other_word_is_none(cell: str, kept: object) -> None:
    """What is neither yes nor no is kept as it stands, for the reader to say so."""
    assert [kept] == [row.work.get("mark") for row in rows_in(f"Name\tWitness mark\nlink bolt\t{cell}\n", "")]
