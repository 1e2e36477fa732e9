"""What is written from the code says what the code says."""

import inspect
import re
import subprocess
import sys
from pathlib import Path

from torqueaudit import hooks

ROOT = Path(__file__).parents[2]
HOOKS = [name for name, each in vars(hooks).items() if inspect.isfunction(each) and hasattr(each, "torqueaudit_spec")]


def test_commands_and_hooks_are_as_the_code_has_them() -> None:
    """`make docs` writes them; who changes a command or a hook runs it and looks at what changed."""
    check = [sys.executable, str(ROOT / "scripts" / "documents.py"), "--check"]
    done = subprocess.run(check, check=False, capture_output=True, text=True)

    assert (0, "", "") == (done.returncode, done.stdout, done.stderr)


def test_what_lies_inside_of_a_job_as_it_is_shown_is_described() -> None:
    """Nobody imports these records, and whoever writes a label reads their fields."""
    _, inside = (ROOT / "docs" / "plugin-names.md").read_text(encoding="utf-8").split("# What lies inside of these")

    assert "- `said: str`\n" in inside.split("\n## ItemView\n")[1].split("\n## ")[0]
    assert "- `demo: bool`\n" in inside.split("\n## BookView\n")[1].split("\n## ")[0]


def test_every_hook_has_its_heading_with_its_arguments_and_no_other_has() -> None:
    """Each "## name(arguments)" is a hook."""
    expected = [f"{hook}({', '.join(inspect.signature(getattr(hooks, hook)).parameters)})" for hook in HOOKS]
    text = (ROOT / "docs" / "hooks.md").read_text(encoding="utf-8")

    assert len(expected) > 5
    assert expected == re.findall(r"^## (\w+\(.*\))$", text, re.MULTILINE)
