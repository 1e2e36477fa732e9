"""What help and a shown job may load: both are waited for at the bench, and what draws pages and labels is slow."""

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

Run = Callable[..., subprocess.CompletedProcess[str]]

SLOW = {
    "weasyprint",
    "flask",
    "jinja2",
    "waitress",
    "PIL",
    "qrcode",
    "zxingcpp",
    "pypdfium2",
    "sqlite_utils",
    "openpyxl",
}
# What `import_module` loads, as the command line and the entry points do, `-X importtime` would not tell.
TELLING = """
import sys
from torqueaudit.cli.start import main
try:
    main()
finally:
    print(*sys.modules, sep="\\n", file=sys.stderr)
"""


def imported(book: Path, *words: str) -> set[str]:
    """Every module that a command has imported when it ends, by its full name."""
    done = subprocess.run(
        [sys.executable, "-c", TELLING, "--book", str(book), *words],
        env={**os.environ, "PYTHONIOENCODING": "utf-8"},
        capture_output=True,
        encoding="utf-8",
        check=True,
    )
    return set(done.stderr.split())


@pytest.mark.parametrize(("words", "needs"), [(("--help",), "click"), (("job", "show", "1"), "torqueaudit.cli.job")])
def test_nothing_slow_is_imported(run: Run, book_file: Path, words: tuple[str, ...], needs: str) -> None:
    """Neither by the command nor by a plugin that it loads."""
    run("job", "open", "--vehicle", "V-1", "--procedure", "final-drive", "--odometer", "12 000 km").check_returncode()
    names = imported(book_file, *words)

    assert needs in names
    assert set() == {name.partition(".")[0] for name in names} & SLOW


def test_help_imports_no_command_and_no_plugin(book_file: Path) -> None:
    """The lines of plugins' commands are read from their files."""
    names = imported(book_file, "--help")

    assert "click" in names
    assert {"torqueaudit.cli.main", "torqueaudit.cli.place", "torqueaudit.cli.start", "torqueaudit.cli.strict"} == {
        n for n in names if n.startswith("torqueaudit.cli.")
    }
    assert [] == [name for name in names if name.startswith(("torqueaudit_plugins", "pluggy"))]
