"""Programs that remind owners are killed, and the mail server fails now and then: none is lost, none is read twice."""

from pathlib import Path

import pytest

from counted import PROOF, figures_of

REMINDERS, KILLS = (2000, 25) if PROOF else (12, 4)


@pytest.mark.proof
def test_a_killed_program_loses_no_reminder_and_doubles_none(tmp_path: Path) -> None:
    """Each owner whose mail box is there reads it once, and it is recorded once; 25 kills of 2,000 in `make proof`."""
    figures = figures_of("reminders.py", tmp_path, REMINDERS, KILLS, 1)

    assert (0, 0, "", True) == (figures["lost"], figures["twice"], figures["first"], figures["sound"]), figures
    assert KILLS <= figures["kills"], figures


def test_a_reminder_without_an_id_of_its_own_is_read_twice(tmp_path: Path) -> None:
    """The same harness finds it: it is handed over anew where nobody knows whether it was taken."""
    figures = figures_of("reminders.py", tmp_path, 40, 6, 3, "forget")

    assert figures["handed_over"] > 40 - figures["refused"], figures
    assert figures["twice"], figures
