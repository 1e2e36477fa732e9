"""The page of a motorcycle's life, and two jobs side by side, for whoever works here."""

from pathlib import Path
from typing import Any

import pytest

from .phone import LetIn

DRIVE = Path(__file__).parents[3] / "examples" / "procedures" / "final-drive.toml"


@pytest.fixture
def desk(let_in: LetIn, yard: Any) -> Any:
    """A mechanic's, after two jobs on one motorcycle."""
    for _ in range(2):
        job = yard.open(DRIVE)
        yard.work(job)
        yard.leave(job)
        yard.later(days=30)
    return let_in().sign_in(yard.mechanic)


def test_the_motorcycles_page_leads_to_its_life(desk: Any, yard: Any) -> None:
    """What stands on it, what was measured, its parts, and each stretch of time."""
    page = desk.open(f"vehicle/{yard.vehicle}").follow("Its life: visits, values, parts")

    assert page.address.endswith(f"/vehicle/{yard.vehicle}/life")
    for says in ("Each fastener now", "Measured", "Parts fitted", "Line of time", "On the road", "In the workshop"):
        assert says in page.text, says
    assert "<svg viewBox=" in page.html


def test_each_act_leads_to_its_job_as_it_stood_then(desk: Any, yard: Any) -> None:
    """The oldest act of a job shows it as it was opened."""
    opened = yard.workshop.book.entries("job/1")[0].sequence
    page = desk.open(f"vehicle/{yard.vehicle}/life")

    assert f"job/1/as-of/{opened}" in page.html
    assert "not tightened" in desk.open(f"job/1/as-of/{opened}").text


def test_the_life_until_then_ends_there(desk: Any, yard: Any) -> None:
    """From the job of the past, and back to now; an entry that there is not is said."""
    opened = yard.workshop.book.entries("job/2")[0].sequence
    then = desk.open(f"job/2/as-of/{opened}").follow("Its life until then").text
    now = desk.follow("Its life now").text

    assert "As it stood on" in then
    assert "Each fastener then" in then
    assert "Each fastener now" in now
    assert then.count("left at") < now.count("left at")
    assert 404 == desk.asked_for(f"/vehicle/{yard.vehicle}/life?as_of=9999", "GET")


def test_two_jobs_are_chosen_on_it_and_stand_side_by_side(desk: Any, yard: Any) -> None:
    """The two newest are offered first; what nobody meant is said."""
    page = desk.open(f"vehicle/{yard.vehicle}/life")
    assert "Two jobs side by side" in page.text
    both = desk.open("compare?one=1&other=2")

    assert "Job 1 Job 2" in " ".join(both.text.split())
    assert "What differs" in both.text
    assert 422 == desk.asked_for("/compare?one=1&other=1", "GET")
    assert 422 == desk.asked_for("/compare?one=1&other=77", "GET")
    assert "Two jobs side by side" in desk.open("compare").text
    assert 'value="2"' in desk.open("job/2/as-of").follow("Beside another job").html


def test_what_is_recorded_shows_on_it_at_once(desk: Any, yard: Any) -> None:
    """A page that is kept is drawn anew once anything was told."""
    desk.open(f"vehicle/{yard.vehicle}/life")
    yard.loosen(yard.open(DRIVE), "rear-axle-nut")

    assert "rear axle nut: loosened" in desk.open(f"vehicle/{yard.vehicle}/life").text
