"""What is held of the shape of the code itself, read from its text."""

import ast
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parent.parent
MOST_BY_POSITION = 4


def sources() -> Iterator[Path]:
    """Every Python file of the program, its plugins and its examples."""
    for folder in ("torqueaudit", "plugins", "labels", "examples", "benchmarks", "tests"):
        yield from sorted((ROOT / folder).rglob("*.py"))


def built_by_position(text: str, most: int) -> list[str]:
    """The calls of a class that give more than `most` values by position, as "line: Name"."""
    calls = [node for node in ast.walk(ast.parse(text)) if isinstance(node, ast.Call)]
    return [
        f"{call.lineno}: {call.func.id}"
        for call in calls
        if isinstance(call.func, ast.Name) and call.func.id.lstrip("_")[:1].isupper() and len(call.args) > most
    ]


def test_no_record_is_built_of_more_than_four_values_by_position() -> None:
    """A value that is put in the wrong place looks right to every reader, so each is named."""
    found = [
        f"{path.relative_to(ROOT)}:{call}"
        for path in sources()
        for call in built_by_position(path.read_text(encoding="utf-8"), MOST_BY_POSITION)
    ]

    assert [] == found


def test_a_call_of_five_values_by_position_is_found() -> None:
    """The check looks at calls of classes, whatever they are called with by name."""
    text = "Point(1, 2, 3, 4, z=5)\nPoint(1, 2, 3, 4, 5)\npoint(1, 2, 3, 4, 5)\n"

    assert ["2: Point"] == built_by_position(text, MOST_BY_POSITION)
