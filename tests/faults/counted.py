"""What the tests of this folder have in common: how much they try, and the figures that a program prints."""

import json
import os
import subprocess
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, TypeAlias

import pytest

HERE = Path(__file__).parent
PROOF = "TORQUEAUDIT_PROOF" in os.environ
Figures: TypeAlias = dict[str, Any]
Count: TypeAlias = Callable[..., Figures]
in_both_journals = pytest.mark.parametrize("own_sqlite", [False, True], ids=["wal", "truncate"])


def figures_of(program: str, *words: object, around: Mapping[str, str] | None = None) -> Figures:
    """The figures of a program of this folder, in these surroundings or in those of the test."""
    command = [sys.executable, str(HERE / program), *map(str, words)]
    done = subprocess.run(command, env=around, capture_output=True, text=True, check=False)
    assert (0, "") == (done.returncode, done.stderr), done.stderr
    figures: Figures = json.loads(done.stdout)
    return figures
