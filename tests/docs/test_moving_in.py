"""docs/moving-in.md and the reader of mappings know the same tables and keys."""

import re
from pathlib import Path

import pytest

from torqueaudit.model.move_in.mapping import KINDS, read_move_mapping
from torqueaudit.plugin.commands import unit_table

TEXT = (Path(__file__).parents[2] / "docs" / "moving-in.md").read_text(encoding="utf-8")
FIXED = frozenset({"column", "names", "always"})
DAY = frozenset({"column", "always", "written"})
JOINED = frozenset({"column", "columns"})
TABLES: dict[str, dict[str, frozenset[str] | set[str]]] = {
    "vehicles": {
        **dict.fromkeys(("tag", "contact"), JOINED),
        **dict.fromkeys(("model", "instrument", "consent.by"), FIXED),
        **dict.fromkeys(("year", "key", "plate", "frame_number", "mail", "mobile"), frozenset({"column"})),
        **dict.fromkeys(("odometer.on", "consent.on"), DAY),
        "odometer": {"column", "on"},
        "consent": {"column", "names", "by", "on"},
    },
    "wrenches": {
        "tag": JOINED,
        **dict.fromkeys(("kind", "unit", "class", "direction", "construction", "owner"), FIXED),
        **dict.fromkeys(("key", "lowest", "highest", "scale", "lever"), frozenset({"column"})),
        "due": DAY,
    },
}
EVERY = [(of, table) for of in KINDS for table in TABLES[of]]


def known(of: str, place: str) -> set[str]:
    """What the reader says it knows there."""
    with pytest.raises(ValueError, match="zzzzzz") as caught:
        read_move_mapping(f'format = 1\nof = "{of}"\n{f"[{place}]" if place else ""}\nzzzzzz = 1\n', unit_table())
    (listed,) = re.findall(r"zzzzzz: is not known here; known are (.*)", str(caught.value))
    return set(listed.split(", "))


def rows(heading: str) -> set[str]:
    """The keys in the table below a heading."""
    table = TEXT.split(f"### {heading}\n")[1].split("\n\n")[0]
    return set(re.findall(r"`([a-z_.]+)`", " ".join(line.split(" | ")[0] for line in table.splitlines())))


@pytest.mark.parametrize("of", KINDS)
def test_every_table_of_a_mapping_is_described_and_no_other(of: str) -> None:
    """Those of a row, by their kind, and those of every list."""
    tables = {table for table in TABLES[of] if "." not in table}

    assert {*tables, "format", "of", "file"} == known(of, "")
    assert tables == rows(of.capitalize())


@pytest.mark.parametrize(("of", "table"), EVERY)
def test_every_key_of_a_table_is_known_to_the_reader(of: str, table: str) -> None:
    """With the same name."""
    assert TABLES[of][table] == known(of, table)


def test_every_key_is_described() -> None:
    """Those of a table, of every mapping, and of the file."""
    keys = {key for of in KINDS for each in TABLES[of].values() for key in each} - {"on", "by"}
    of_file = {f"file.{key}" for key in known("vehicles", "file")}

    assert {*keys, *of_file, "format", "of"} == rows("Keys")
