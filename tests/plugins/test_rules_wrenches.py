"""Rules on the wrench that was used: each once where it speaks and once where it is silent."""

import pytest

from torqueaudit.testing import findings, play
from torqueaudit.workshop.acting import Say
from torqueaudit.workshop.keeping import withdraw_wrench
from torqueaudit.workshop.workshop import Workshop

OPENED = "2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2\n"
TIGHT = OPENED + "2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2\n"
GONE = (
    TIGHT
    + """2031-04-02 10:06 rear-axle-nut mark intact by P-2
    2031-04-02 10:09 rear-axle-nut checked mark seen by P-3
    2031-04-02 10:15 released by P-1
    2031-04-02 10:20 handed over at 12010 km by P-1
    """
)
WITHDRAWN = [
    (
        "rear axle nut: wrench W-1 was withdrawn since (dropped). Tighten with another one, or have the foreman judge "
        "what it did."
    )
]


def test_a_wrench_that_does_not_reach_that_far_stops(played: Workshop) -> None:
    """Its scale ends before.

    2031-04-02 10:00 job 1 opened axle on V-1 by P-2
    2031-04-02 10:05 rear-axle-nut 201 N·m with W-1 by P-2
    """
    expected = ["rear axle nut: 201 N·m on wrench W-1, which reaches 20 … 200 N·m. Take one that reaches it."]
    actual = findings(played, rule="wrench-out-of-range", weight="stop")

    assert expected == actual


def test_a_wrench_below_its_range_stops(played: Workshop) -> None:
    """Below its lowest mark a wrench is not calibrated.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:05 disc-bolt 19.9 N·m with W-1 by P-2
    """
    expected = ["disc bolt: 19.9 N·m on wrench W-1, which reaches 20 … 200 N·m. Take one that reaches it."]
    actual = findings(played, rule="wrench-out-of-range", weight="stop")

    assert expected == actual


@pytest.mark.parametrize(
    "line",
    [
        "disc-bolt 20 N·m with W-1 by P-2",
        "rear-axle-nut 200 N·m with W-1 by P-2",
        "sprocket-bolt stage 1 15 N·m with W-2 by P-2",
        "rear-axle-nut 190 N·m with W-1 adapter 50@0 by P-2",
    ],
    ids=["lowest", "highest", "stage", "adapter"],
)
def test_a_wrench_inside_its_range_is_silent(workshop: Workshop, line: str) -> None:
    """The ends belong to it, a stage proves nothing yet, and what counts is the setting and not what lies behind it."""
    play(workshop, f"2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2\n2031-04-02 10:05 {line}")

    assert findings(workshop, rule="wrench-out-of-range") == []


def test_a_wrench_withdrawn_since_stops_what_has_not_left(workshop: Workshop) -> None:
    """What it did is in doubt, and the motorcycle still stands here."""
    play(workshop, TIGHT)
    withdraw_wrench(workshop, "W-1", "dropped", Say("P-1"))

    assert WITHDRAWN == findings(workshop, rule="wrench-withdrawn", weight="stop")


def test_a_wrench_withdrawn_after_the_hand_over_is_a_note(workshop: Workshop) -> None:
    """The trace finds it; it calls nobody back by itself."""
    play(workshop, GONE)
    withdraw_wrench(workshop, "W-1", "dropped", Say("P-1"))

    assert WITHDRAWN == findings(workshop, rule="wrench-withdrawn", weight="note")
    assert findings(workshop, rule="wrench-withdrawn", weight="stop") == []


def test_another_wrench_withdrawn_is_silent(workshop: Workshop) -> None:
    """It did nothing here."""
    play(workshop, TIGHT)
    withdraw_wrench(workshop, "W-2", "dropped", Say("P-1"))

    assert findings(workshop, rule="wrench-withdrawn") == []


def test_tightened_again_with_another_wrench_answers_the_withdrawn_one(workshop: Workshop) -> None:
    """What the stop asks for takes it away."""
    play(workshop, TIGHT)
    withdraw_wrench(workshop, "W-1", "dropped", Say("P-1"))
    play(
        workshop,
        """2031-04-02 10:10 rear-axle-nut loosened: wrench dropped by P-2
        2031-04-02 10:11 rear-axle-nut 108 N·m with W-2 by P-2
        """,
    )

    assert findings(workshop, rule="wrench-withdrawn") == []


def test_a_wrench_out_of_calibration_stays_a_stop_on_the_road(workshop: Workshop) -> None:
    """It was so on the day, and the day does not change."""
    play(workshop, f"{OPENED}2031-04-02 10:05 rear-axle-nut 108 N·m with W-3 by P-2")
    before = findings(workshop, rule="wrench-overdue", weight="stop")
    play(workshop, "2031-04-02 10:20 handed over at 12010 km by P-1")

    assert before == findings(workshop, rule="wrench-overdue", weight="stop")
    assert len(before) == 1


def test_a_wrench_that_falls_due_later_was_in_on_the_day(workshop: Workshop) -> None:
    """W-1 is due at the end of March 2032; what it did before stands."""
    play(workshop, f"{TIGHT}2032-06-01 10:00 clock")

    assert findings(workshop, rule="wrench-overdue") == []
