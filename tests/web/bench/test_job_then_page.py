"""A job's page as it stood behind any of its acts, for whoever works here."""

from pathlib import Path
from typing import Any

import pytest

from torqueaudit.model.act import Say
from torqueaudit.workshop.jobs.strikes import strike

from .phone import LetIn

AXLE = Path(__file__).parents[3] / "torqueaudit" / "testing" / "axle.toml"


@pytest.fixture
def desk(let_in: LetIn, yard: Any) -> Any:
    """A mechanic's, after one job that was released, has left, and of which the release was struck a day later."""
    job = yard.open(AXLE)
    yard.work(job)
    yard.leave(job)
    yard.later(days=1)
    release = next(each.sequence for each in yard.workshop.book.entries(f"job/{job}") if each.what == "released")
    strike(yard.workshop, job, release, "on the wrong job", Say(yard.foreman))
    return let_in().sign_in(yard.mechanic)


def test_the_way_leads_from_the_job_to_its_newest_act_and_back_act_by_act(desk: Any) -> None:
    """Behind the strike nobody has released it; behind the leaving before it somebody had."""
    page = desk.open("job/1/work").follow("How it stood before")
    newest = page.text
    before = page.follow("The act before").text

    assert "Handed over, never released" in newest
    assert "As it stood on " in before
    assert "Released by P-1" in before
    assert "Not what holds today" in before


def test_what_was_struck_since_says_so_beside_it(desk: Any) -> None:
    """The release stands in the course of the past, with who struck it and why; nothing is offered to be recorded."""
    page = desk.open("job/1/as-of").follow("The act before")

    assert "by P-1: on the wrong job" in page.text
    assert "Not what holds today" in page.text
    assert 'method="post"' not in page.html


def test_an_entry_that_is_typed_is_shown(desk: Any, yard: Any) -> None:
    """With or without its sign; one that is none says what there is."""
    opened = yard.workshop.book.entries("job/1")[0].sequence
    page = desk.open(f"job/1/as-of?entry=%23{opened}")

    assert page.address.endswith(f"/job/1/as-of/{opened}")
    assert "The act before" not in page.text
    assert 404 == desk.asked_for("/job/1/as-of/9999", "GET")
    assert 404 == desk.asked_for("/job/1/as-of/x", "GET")
