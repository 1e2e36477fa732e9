"""The list of re-checks that are due: as the job itself judges them, late ones first, up to some days ahead."""

from torqueaudit.model.act import Say
from torqueaudit.testing import Clock, play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.night.due_list import rechecks_due
from torqueaudit.workshop.vehicles.visits import arrive

CARD = """
2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
2031-04-02 10:20 handed over at 12010 km with stops: fetched at once by P-1
2031-04-20 10:00 job 2 opened axle on V-2 at 12000 km by P-2
2031-04-20 10:05 rear-axle-nut 108 N·m with W-1 by P-2
2031-04-20 10:20 handed over at 12010 km with stops: fetched at once by P-1
"""


def on(workshop: Workshop, day: str) -> None:
    """Let the clock stand at noon of a day."""
    assert isinstance(workshop.clock, Clock)
    workshop.clock.set(f"{day} 12:00")


def test_what_is_late_comes_first_and_what_is_far_does_not_come_yet(workshop: Workshop) -> None:
    """By the day of the list, and by how far it looks ahead."""
    play(workshop, CARD)
    dues = [show_job(workshop, job).recheck for job in ("1", "2")]
    first, second = (each.due_on for each in dues if each and each.due_on)
    on(workshop, "2031-04-22")
    gap = (second - workshop.today()).days

    assert first < workshop.today() < second
    assert ["1"] == [each.job for each in rechecks_due(workshop, gap - 1)]
    assert ["1", "2"] == [each.job for each in rechecks_due(workshop, gap)]


def test_each_is_judged_as_its_job_says(workshop: Workshop) -> None:
    """Key for key, so that a list and a job never say two things."""
    play(workshop, CARD)
    on(workshop, "2031-05-20")

    for each in rechecks_due(workshop, 9):
        assert each.recheck == show_job(workshop, each.job).recheck
        assert "late" in each.says


def test_a_motorcycle_that_came_in_is_waited_for_no_more(workshop: Workshop) -> None:
    """Nobody calls whoever stands in the yard."""
    play(workshop, CARD)
    on(workshop, "2031-05-20")
    assert ["1", "2"] == [each.job for each in rechecks_due(workshop, 0)]
    arrive(workshop, "V-1", 12_100_000, Say("P-1"))

    assert ["2"] == [each.job for each in rechecks_due(workshop, 0)]
