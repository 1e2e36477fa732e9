"""The rule on photos that a procedure asks for."""

from collections.abc import Callable

import pytest

from torqueaudit.model.act import Say
from torqueaudit.photo import Harmless
from torqueaudit.testing import findings, play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.photos import erase_photo, photograph
from torqueaudit.workshop.judged.job_view import show_job

TABLES = """
[[work]]
tighten = "caliper-bolt"
name = "caliper bolt"
count = 2
torque = "36 … 44 N·m"
source = "manual"
page = "1-1"
mark = true
photo = true

[[work]]
tighten = "axle-nut"
name = "axle nut"
torque = "97 … 119 N·m"
source = "manual"
page = "1-1"
mark = true
"""
OPENED = "2031-04-02 10:00 job 1 opened drive on V-1 by P-2"
TIGHT = """
2031-04-02 10:01 caliper-bolt 40 N·m with W-1 by P-2
2031-04-02 10:02 caliper-bolt mark intact by P-2
2031-04-02 10:03 axle-nut 108 N·m with W-1 by P-2
2031-04-02 10:04 axle-nut mark intact by P-2
"""
SAYS = "caliper bolt {}: no photo of it as it stands now. Photograph it before it is covered."
PICTURE = Harmless(b"a JPEG", b"a small one")


@pytest.fixture
def yard(workshop: Workshop, enter: Callable[..., None]) -> Workshop:
    """A job by a procedure that asks for a photo of two bolts."""
    enter(TABLES)
    play(workshop, OPENED)
    return workshop


def missing(yard: Workshop) -> list[str]:
    """What the rule says, always as a caution that forbids nothing."""
    found = findings(yard, rule="workshop_rules/not-photographed")
    assert found == findings(yard, rule="workshop_rules/not-photographed", weight="caution")
    return found


def take(yard: Workshop, key: str) -> str:
    """Photograph a bolt; the photo's digest."""
    (entry,) = photograph(yard, "1", [key], PICTURE, "", Say("P-2"))
    return str(entry.said["digest"])


def test_a_photo_that_is_wanted_and_missing_is_a_caution(yard: Workshop) -> None:
    """Of each bolt once it is tight, and of no fastener that asks for none."""
    assert [] == missing(yard)
    play(yard, TIGHT)
    assert [SAYS.format(1), SAYS.format(2)] == missing(yard)


def test_one_photo_for_a_group_is_enough(yard: Workshop) -> None:
    """By its key; one of a single bolt is of that bolt alone."""
    play(yard, TIGHT)
    take(yard, "caliper-bolt-1")
    assert [SAYS.format(2)] == missing(yard)
    take(yard, "caliper-bolt")
    assert [] == missing(yard)


def test_a_photo_of_before_shows_nothing_of_what_stands_now(yard: Workshop) -> None:
    """Tightened anew it is wanted again, and so it is once it was erased."""
    play(yard, TIGHT)
    digest = take(yard, "caliper-bolt")
    erase_photo(yard, "1", digest, "a face was to be seen", Say("P-1"))
    assert [SAYS.format(1), SAYS.format(2)] == missing(yard)
    take(yard, "caliper-bolt")
    assert [] == missing(yard)
    play(yard, "2031-04-02 11:03 job 1 caliper-bolt-2 loosened: wheel out again by P-2")
    play(yard, "2031-04-02 11:04 job 1 caliper-bolt-2 40 N·m with W-1 by P-2")
    assert [SAYS.format(2)] == missing(yard)


def test_it_comes_next_behind_the_mark(yard: Workshop) -> None:
    """And before whatever covers it."""
    play(yard, TIGHT)
    assert "photograph caliper bolt" == show_job(yard, "1").next[0]
    take(yard, "caliper-bolt")
    assert "photograph caliper bolt" not in show_job(yard, "1").next
