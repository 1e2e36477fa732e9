"""The disk fills up: what was said to be recorded is there, and an act that finds no room is refused in words.

`test_calls.py` has every machine's part of it: each write that fails with ENOSPC, once or for ever.
"""

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from counted import PROOF, Count, in_both_journals

TRIES = 50 if PROOF else 3


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of 48 MiB, where this machine lets us have one: root on Linux."""
    disk = tmp_path / "disk"
    disk.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=48m", "none", str(disk)]
    if sys.platform != "linux" or subprocess.run(mount, capture_output=True, check=False).returncode:
        pytest.skip("nobody may mount a disk here")
    yield disk
    subprocess.run(["umount", disk], check=True)


@pytest.mark.proof
@in_both_journals
def test_a_full_disk_loses_nothing(count: Count, begun: Path, small_disk: Path, own_sqlite: bool) -> None:  # noqa: FBT001
    """No program is ended by the system, the full disk can be read, and the book goes on; 50 disks in `make proof`."""
    figures = count("full.py", begun, small_disk, TRIES, 1, own_sqlite=own_sqlite)

    assert (0, []) == (figures["lost"], figures["first"])
    assert TRIES == figures["refused"]
    assert figures["acts"] > 0
