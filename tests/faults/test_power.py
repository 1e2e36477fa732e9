"""The power fails: what was said to be recorded is there, in both ways in which a book is written.

The model of a disk is that of POSIX: what was flushed is there, of all else anything may be (fsync(2), and
https://www.sqlite.org/atomiccommit.html, sections 2 and 4, for what SQLite expects of a disk).
"""

from pathlib import Path

import pytest

from counted import PROOF, Count, in_both_journals

ACTS, STATES, SEEDS = (75, 2100, range(4)) if PROOF else (30, 50, range(1))


@pytest.mark.proof
@pytest.mark.parametrize("seed", SEEDS)
@in_both_journals
def test_nothing_that_was_said_is_lost(count: Count, begun: Path, own_sqlite: bool, seed: int) -> None:  # noqa: FBT001
    """Every act, its words, papers and plates, whole; the chain and lists are sound, and the book goes on.

    8,400 power cuts in each journal mode in `make proof`.
    """
    figures = count("power.py", begun, ACTS, STATES, seed, own_sqlite=own_sqlite)

    assert (0, "") == (figures["lost"], figures["first"])
    assert (ACTS, STATES) == (figures["acts"], figures["states"])


@pytest.mark.parametrize("control", ["off", "deaf"])
@in_both_journals
def test_without_flushing_much_is_lost(count: Count, begun: Path, own_sqlite: bool, control: str) -> None:  # noqa: FBT001
    """The same harness finds what weaker settings lose, and what a disk loses that does not keep its word."""
    figures = count("power.py", begun, 9, 12, 1, control, own_sqlite=own_sqlite)

    assert figures["lost"] > 3
