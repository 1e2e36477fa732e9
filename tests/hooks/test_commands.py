"""Commands of plugins: imported only when they run."""

import os
import subprocess
import sys
from pathlib import Path

import pytest


@pytest.fixture
def with_a_broken_command(tmp_path: Path) -> Path:
    """A distribution as pip would lay it down; its command's module cannot be imported."""
    information = tmp_path / "breaks-1.0.dist-info"
    information.mkdir()
    (information / "METADATA").write_text("Metadata-Version: 2.1\nName: breaks\nVersion: 1.0\n", encoding="utf-8")
    (information / "entry_points.txt").write_text("[torqueaudit.commands]\nbreaks = breaks:breaks\n", encoding="utf-8")
    module = '"""`torqueaudit breaks`: shows what a broken command does."""\n\nimport nothing_of_that_name\n'
    (tmp_path / "breaks.py").write_text(module, encoding="utf-8")
    return tmp_path


def command(path: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """`torqueaudit` in a process that sees what lies in a folder."""
    environment = {**os.environ, "PYTHONPATH": str(path), "PYTHONIOENCODING": "utf-8"}
    python = [sys.executable, "-c", "from torqueaudit.cli.main import main; main()", *words]
    return subprocess.run(python, env=environment, capture_output=True, text=True, encoding="utf-8", check=False)


def test_help_imports_no_command(with_a_broken_command: Path) -> None:
    """One that cannot be imported is listed all the same, with its sentence."""
    done = command(with_a_broken_command, "--help")

    assert (0, "") == (done.returncode, done.stderr)
    assert "Shows what a broken command does." in done.stdout


def test_a_command_that_cannot_be_imported_says_so_when_it_is_run(with_a_broken_command: Path) -> None:
    """One sentence, and the other commands go on."""
    done = command(with_a_broken_command, "breaks")

    assert done.returncode == 1
    assert "the command breaks of breaks:breaks cannot be loaded: No module named 'nothing_of_that_name'" in done.stderr
    assert command(with_a_broken_command, "convert", "80 lbf·ft", "N·m").returncode == 0


def test_help_loads_no_plugins_command_of_the_bundle(tmp_path: Path) -> None:
    """Read from the files, not run."""
    code = (
        "import sys\nfrom click.testing import CliRunner\nfrom torqueaudit.cli.main import cli\n"
        "CliRunner().invoke(cli, ['--help'])\n"
        "print([name for name in sys.modules if name.startswith('torqueaudit_plugins')])\n"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=tmp_path, capture_output=True, text=True, check=True)

    assert "[]\n" == done.stdout
