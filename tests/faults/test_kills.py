"""Programs that record are killed: what they said is recorded stands, and of the act in hand all or nothing."""

from pathlib import Path

import pytest

from counted import PROOF, Count, in_both_journals

KILLS = 240 if PROOF else 20


@pytest.mark.proof
@in_both_journals
def test_two_killed_programs_lose_nothing(count: Count, begun: Path, own_sqlite: bool) -> None:  # noqa: FBT001
    """Every act that either said, its words, papers and plates; 240 kills in each journal mode in `make proof`."""
    figures = count("kills.py", begun, KILLS, 1, own_sqlite=own_sqlite)

    assert (KILLS, 0, "") == (figures["kills"], figures["lost"], figures["first"])
    assert figures["acts"] > KILLS / 2


def test_an_act_that_is_said_too_early_is_missed(count: Count, begun: Path) -> None:
    """The same harness finds it."""
    assert count("kills.py", begun, 20, 1, "early")["lost"] > 5
