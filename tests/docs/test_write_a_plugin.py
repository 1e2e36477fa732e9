"""The plugin that docs/write-a-plugin.md builds: its files are saved, installed and tested as the page tells."""

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

PAGE = Path(__file__).parents[2] / "docs" / "write-a-plugin.md"
FILE = re.compile(r"^Save this as `(?P<name>[^`]+)`:\n\n```\w+\n(?P<text>.*?)^```$", re.MULTILINE | re.DOTALL)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The files of the page, and beside them what pip installed of them."""
    folder = tmp_path_factory.mktemp("tyres")
    for file in FILE.finditer(PAGE.read_text(encoding="utf-8")):
        path = folder / file["name"]
        path.parent.mkdir(exist_ok=True)
        path.write_text(file["text"], encoding="utf-8")
    pip = [sys.executable, "-m", "pip", "install", "--quiet", "--no-deps", "--no-build-isolation"]
    subprocess.run([*pip, "--target", str(folder / "installed"), str(folder)], check=True, capture_output=True)
    return folder


def run(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """Python in a process that sees the installed plugin."""
    surroundings = {**os.environ, "PYTHONPATH": str(folder / "installed"), "PYTHONIOENCODING": "utf-8"}
    command = [sys.executable, "-m", *words]
    return subprocess.run(command, env=surroundings, cwd=folder, capture_output=True, text=True, check=False)


def test_its_own_tests_pass(folder: Path) -> None:
    """All three of them, with warnings as errors."""
    done = run(folder, "pytest", "-q", "-W", "error", "-p", "no:cacheprovider", "test_tyres.py")

    assert "3 passed" in done.stdout, done.stdout + done.stderr


def test_its_code_is_typed_and_tidy(folder: Path) -> None:
    """What the page shows is what a strict type checker takes."""
    done = run(folder, "mypy", "--strict", "--cache-dir", str(folder / "cache"), "torqueaudit_tyres")

    assert done.stdout.startswith("Success"), done.stdout + done.stderr


def test_it_imports_the_face_alone() -> None:
    """Nothing of torqueaudit but `torqueaudit.plugin`, its commands and `torqueaudit.testing`."""
    imported = set(re.findall(r"^from (torqueaudit[.\w]*) import", PAGE.read_text(encoding="utf-8"), re.MULTILINE))

    assert imported == {
        "torqueaudit.plugin",
        "torqueaudit.plugin.commands",
        "torqueaudit.testing",
        "torqueaudit_tyres.kinds",
        "torqueaudit_tyres.rules",
        "torqueaudit_tyres.table",
    }
