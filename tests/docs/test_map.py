"""The map's test: each question of a stranger has its answer where docs/map.md says."""

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
ROW = re.compile(
    r"^\| (?P<question>.+\?) \| \[(?P<shown>[^\]]+)\]\(\.\./(?P<file>[^)]+)\) \| `(?P<name>\w+)` \|$", re.MULTILINE
)
TEXT = (ROOT / "docs" / "map.md").read_text(encoding="utf-8")
ROWS = [(row["question"], row["file"], row["name"]) for row in ROW.finditer(TEXT)]


def names_in(file: Path) -> set[str]:
    """What a Python file defines itself at its top, imports left out; of any other file each word of it."""
    text = file.read_text(encoding="utf-8")
    if file.suffix != ".py":
        return set(re.findall(r"\w+", text))
    names: set[str] = set()
    for each in ast.parse(text).body:
        match each:
            case ast.FunctionDef(name=name) | ast.ClassDef(name=name) | ast.AnnAssign(target=ast.Name(id=name)):
                names.add(name)
            case ast.Assign(targets=targets):
                names |= {name.id for target in targets for name in ast.walk(target) if isinstance(name, ast.Name)}
    return names


@pytest.mark.parametrize(("question", "file", "name"), ROWS, ids=[name for _, _, name in ROWS])
def test_the_answer_is_where_the_map_says(question: str, file: str, name: str) -> None:
    """The file is there and defines the name itself."""
    assert (ROOT / file).is_file(), question
    assert name in names_in(ROOT / file), question


def test_every_line_of_the_map_is_tested() -> None:
    """At least 25 questions, each once; what is written otherwise than the rest would be left out."""
    lines = [line for line in TEXT.splitlines() if line.startswith("| ") and not line.startswith("| question")]

    assert len(ROWS) >= 25
    assert len(lines) == len(ROWS) == len({question for question, _, _ in ROWS})
    assert [] == [row["file"] for row in ROW.finditer(TEXT) if row["file"] != row["shown"]]
    assert re.findall(r"^\d+", TEXT, re.MULTILINE) == [str(len(ROWS))]


def test_the_developers_map_has_every_room_and_no_other() -> None:
    """What lies in torqueaudit/ stands in the map with a line of its own."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    rooms = re.findall(r"^      (\w+(?:/|\.py)) ", text, re.MULTILINE)
    there = [f"{each.name}/" if each.is_dir() else each.name for each in (ROOT / "torqueaudit").iterdir()]

    assert sorted(rooms) == sorted(name for name in there if name not in {"__init__.py", "__pycache__/", "py.typed"})


def test_every_path_of_the_developers_guide_is_there() -> None:
    """A path in `code` names a file or a folder, from the root or from torqueaudit/."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    found = re.findall(r"`([\w/]+(?:/|\.(?:py|toml|txt|sql)))`", text)
    paths = [each for each in found if "/" in each and not each.startswith("build/")]  # made when it is wanted
    lost = [each for each in paths if not (ROOT / each).exists() and not (ROOT / "torqueaudit" / each).exists()]

    assert len(paths) > 10
    assert [] == lost
