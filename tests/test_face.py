"""The face for authors of plugins: what type checkers see is what runs, it costs little, and nobody goes past it."""

import ast
import subprocess
import sys
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from types import ModuleType

import pytest

from torqueaudit import plugin
from torqueaudit.plugin import commands

ROOT = Path(__file__).parent.parent
ALLOWED = ("torqueaudit.plugin", "torqueaudit.plugin.commands", "torqueaudit.testing")
OWN = {"TYPE_CHECKING", "Any", "all_names", "asked_of", "commands", "late", "unit_table"}


def promised(face: ModuleType) -> dict[str, str]:
    """The names that type checkers see in the face, and where each comes from."""
    nodes = ast.walk(ast.parse(Path(str(face.__file__)).read_text(encoding="utf-8")))
    handed_on = [(node, alias) for node in nodes if isinstance(node, ast.ImportFrom) for alias in node.names]
    return {alias.name: str(node.module) for node, alias in handed_on if alias.asname == alias.name}


def foreign(text: str) -> Iterator[str]:
    """The modules of torqueaudit that a source imports and ought not to."""
    for node in ast.walk(ast.parse(text)):
        names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
        if isinstance(node, ast.ImportFrom) and not node.level:
            names = [str(node.module)]
        yield from (name for name in names if name.split(".")[0] == "torqueaudit" and name not in ALLOWED)


@pytest.mark.parametrize("face", [plugin, commands])
def test_what_a_type_checker_sees_is_what_a_plugin_gets(face: ModuleType) -> None:
    """Every name leads to the same thing as in its home."""
    names = promised(face)

    assert names
    assert {name: getattr(import_module(home), name) for name, home in names.items()} == {
        name: getattr(face, name) for name in names
    }


@pytest.mark.parametrize("face", [plugin, commands])
def test_a_plugin_gets_no_name_that_a_type_checker_does_not_see(face: ModuleType) -> None:
    """What `dir` lists is what is promised."""
    listed = {name for name in dir(face) if not name.startswith("_")}

    assert set(promised(face)) == listed - OWN


def test_a_name_that_is_not_there_is_said_to_be_missing() -> None:
    """As of every module."""
    with pytest.raises(AttributeError, match=r"torqueaudit\.plugin has no Opinion"):
        plugin.Opinion  # type: ignore[attr-defined]  # noqa: B018  # that is what is asked


def test_the_face_alone_imports_nothing_of_the_model() -> None:
    """Every command loads every plugin, so a plugin that only marks its hooks costs next to nothing."""
    ask = "import sys; from torqueaudit.plugin import hookimpl; import torqueaudit.plugin.commands"
    tell = "print([name for name in sys.modules if name.startswith(('torqueaudit.model', 'torqueaudit.workshop'))])"
    done = subprocess.run([sys.executable, "-c", f"{ask}; {tell}"], capture_output=True, text=True, check=True)

    assert "[]\n" == done.stdout


@pytest.mark.parametrize("folder", ["plugins", "examples"])
def test_plugins_import_the_face_and_nothing_else_of_torqueaudit(folder: str) -> None:
    """Bundled ones and the examples alike, also inside functions and for types."""
    sources = sorted((ROOT / folder).rglob("*.py"))
    found = [
        f"{path.relative_to(ROOT)}: {name}" for path in sources for name in foreign(path.read_text(encoding="utf-8"))
    ]

    assert sources
    assert [] == found


def test_an_import_past_the_face_is_found() -> None:
    """The check looks into functions and at both ways to import."""
    text = "import torqueaudit.model.act\ndef late():\n    from torqueaudit.workshop.door import lists\n"

    assert ["torqueaudit.model.act", "torqueaudit.workshop.door"] == list(foreign(text))
