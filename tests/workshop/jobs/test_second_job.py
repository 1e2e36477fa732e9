"""A second open job of the same procedure on one vehicle is mostly a slip: half of the work would stand on each."""

from collections.abc import Callable

import pytest

from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.acts import Opening
from torqueaudit.testing import play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.job import open_job
from torqueaudit.workshop.jobs.strikes import strike

BY = Say("P-2")
OPENED = "2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2\n"
DONE = (
    OPENED
    + """
2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
2031-04-02 10:06 rear-axle-nut mark intact by P-2
2031-04-02 10:09 rear-axle-nut checked mark seen by P-3
2031-04-02 10:15 released by P-1
"""
)


@pytest.mark.parametrize(("card", "state"), [(OPENED, "open"), (DONE, "released")])
def test_a_second_open_job_by_one_procedure_is_asked_back(workshop: Workshop, card: str, state: str) -> None:
    """It names the open one, and is taken for one word."""
    play(workshop, card)
    with pytest.raises(Refused) as caught:
        open_job(workshop, Opening("V-1", "axle"), BY)

    says = f"job 1 by axle is {state} on V-1, since 2031-04-02; go on with that one; if this is another one, say so"
    assert says == str(caught.value)
    assert "2" == open_job(workshop, Opening("V-1", "axle", second=True), BY)


def test_another_edition_is_the_same_procedure(workshop: Workshop, enter: Callable[..., str]) -> None:
    """Its name says what is done."""
    step = '[[work]]\nstep = "look"\nname = "look"\nsays = "Look."\n'
    first, second = (enter("fork", step.replace("Look.", says)) for says in ("Look.", "Look twice."))
    open_job(workshop, Opening("V-1", first), BY)
    with pytest.raises(Refused, match="job 1 by fork is open on V-1"):
        open_job(workshop, Opening("V-1", second), BY)


@pytest.mark.parametrize(("vehicle", "procedure"), [("V-2", "axle"), ("V-1", "final-drive")])
def test_another_vehicle_or_procedure_asks_nothing(workshop: Workshop, vehicle: str, procedure: str) -> None:
    """Two works in one visit are two jobs."""
    play(workshop, OPENED)

    assert "2" == open_job(workshop, Opening(vehicle, procedure), BY)


def test_a_job_that_left_or_was_withdrawn_is_not_open(workshop: Workshop) -> None:
    """The motorcycle comes back, and the same work is done anew."""
    play(workshop, DONE + "2031-04-02 10:20 handed over at 12010 km by P-1")
    assert "2" == open_job(workshop, Opening("V-1", "axle"), BY)
    strike(workshop, "2", workshop.book.head().sequence, "wrong vehicle", BY)

    assert "3" == open_job(workshop, Opening("V-1", "axle"), BY)
