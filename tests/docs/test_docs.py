"""The documents cannot drift: what README tells to type runs, and each hook has its heading and its test."""

import inspect
import os
import re
import shlex
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from torqueaudit import hooks

ROOT = Path(__file__).parents[2]
SCRIPT = Path(sys.executable).with_name("torqueaudit")
HOOKS = [name for name, each in vars(hooks).items() if inspect.isfunction(each) and hasattr(each, "torqueaudit_spec")]


def commands_of(text: str) -> list[str]:
    """The commands in a document's indented blocks."""
    return re.findall(r"^    (torqueaudit .+)$", text, re.MULTILINE)


def test_every_command_of_the_readme_runs(tmp_path: Path) -> None:
    """From `new` to `ledger verify`, in their order; `serve` stays and is tried in the tests of the pages."""
    surroundings = {**os.environ, "TORQUEAUDIT_BOOK": str(tmp_path / "yard.book"), "TORQUEAUDIT_BY": "P-2"}
    (tmp_path / "examples").symlink_to(ROOT / "examples")
    commands = [each for each in commands_of((ROOT / "README.md").read_text(encoding="utf-8")) if " serve" not in each]
    codes = {}
    for command in commands:
        words = [str(SCRIPT), *shlex.split(command)[1:]]
        done = subprocess.run(words, env=surroundings, cwd=tmp_path, capture_output=True, text=True, check=False)
        codes[command] = (done.returncode, done.stderr)

    assert len(codes) > 10
    assert dict.fromkeys(commands, (0, "")) == codes


def test_the_frame_number_of_the_readme_is_one_that_the_examples_hold_for() -> None:
    """Whoever goes on with another of them meets no stop for it."""
    (frame,) = re.findall(r"--frame-number (\S+)", (ROOT / "README.md").read_text(encoding="utf-8"))
    sources = [
        source
        for path in (ROOT / "examples" / "procedures").glob("*.toml")
        for source in tomllib.loads(path.read_text(encoding="utf-8")).get("source", {}).values()
    ]
    ranges = [source["frames"] for source in sources if "frames" in source]

    assert ranges
    assert [] == [(first, last) for first, last in ranges if not first <= frame.replace("-", "") <= last]


@pytest.mark.parametrize("hook", HOOKS)
def test_every_hook_is_documented_with_its_arguments(hook: str) -> None:
    """DEVELOPERS.md has a heading "hook(arguments)" for each."""
    arguments = ", ".join(inspect.signature(getattr(hooks, hook)).parameters)

    assert f"\n### {hook}({arguments})\n" in (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def test_no_heading_tells_of_a_hook_that_is_not_there() -> None:
    """Every "### name(" in DEVELOPERS.md is a hook."""
    told = re.findall(r"^### (\w+)\(", (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8"), re.MULTILINE)

    assert sorted(HOOKS) == sorted(told)
