"""docs/wrench-logs.md and the reader of mappings know the same tables and keys."""

import re
from pathlib import Path

import pytest

from torqueaudit.model.log.mapping import read_mapping
from torqueaudit.plugin.commands import unit_table

TEXT = (Path(__file__).parents[2] / "docs" / "wrench-logs.md").read_text(encoding="utf-8")
FIXED = frozenset({"column", "names", "always"})
KEYS = {
    "torque": {"column", "decimal"},
    "moment": {"column", "date", "time", "written", "zone"},
    "file": {"separator", "encoding", "sheet"},
    **dict.fromkeys(("unit", "wrench", "job", "fastener", "stage", "adapter"), FIXED),
    **dict.fromkeys(("angle", "final", "number"), frozenset({"column"})),
}


def known(place: str) -> set[str]:
    """What the reader says it knows there."""
    with pytest.raises(ValueError, match="zzzzzz") as caught:
        read_mapping(f"format = 1\n{f'[{place}]' if place else ''}\nzzzzzz = 1\n", unit_table())
    (listed,) = re.findall(r"zzzzzz: is not known here; known are (.*)", str(caught.value))
    return set(listed.split(", "))


def rows(of: str) -> set[str]:
    """The keys in the first column of the table below some words."""
    table = TEXT.split(of)[1].split("\n\n")[0]
    return set(re.findall(r"`([a-z.]+)`", " ".join(line.split(" | ")[0] for line in table.splitlines())))


def test_every_table_of_a_mapping_is_described_and_no_other() -> None:
    """Those of a row, and those of the file."""
    assert known("") == {*KEYS, "format"}
    assert known("") == {*rows("| table | what it says of a row |\n"), "moment", "file", "format"}


@pytest.mark.parametrize("table", KEYS)
def test_every_key_of_a_table_is_described(table: str) -> None:
    """With the same name as the reader has it."""
    assert KEYS[table] == known(table)
    told = rows("### `format`, `torque`, `moment` and `file`\n\n") | {"moment.date", "moment.time", "torque.column"}
    described = {key.partition(".")[2] for key in told if key.startswith(f"{table}.")}
    assert KEYS[table] == (described or KEYS[table])
    assert rows("of which those that differ with each row know the first alone:\n\n") == FIXED
