"""The look after the first ride: marks one by one, and a turned one stops the motorcycle."""

import re
from typing import Any

import pytest

from torqueaudit.model.vehicle.instrument import Instrument
from torqueaudit.workshop.judged.job_view import show_job

from .phone import LetIn

TICKS = ("here", "again", "second", "sure")
READ = {"read.chain slack.1": "36", "read.slack.1": "36", "read.left.1": "412.5", "read.right.1": "412.0"}


@pytest.fixture
def away(let_in: LetIn, yard: Any, procedures: Any) -> Any:
    """Signed in; the motorcycle is on its first ride, as far as anybody has said."""
    job = yard.open(procedures / "rear-wheel.toml")
    yard.work(job)
    yard.leave(job)
    yard.later(days=7)
    return let_in().sign_in("P-2").open(f"vehicle/{yard.vehicle}")


@pytest.fixture
def back(away: Any) -> Any:
    """Signed in; the motorcycle came back after its first ride."""
    assert "re-check due by" in away.text
    return away.tap("It is here", odometer="12090")


def test_marks_are_looked_at_and_the_re_check_concluded(back: Any, yard: Any) -> None:
    """Each line whole, the torque confirmed, the odometer read."""
    back.open("job/1")
    for _ in range(20):
        yard.later(minutes=1)
        if "<h2>Look at the mark</h2>" in back.page:
            back.tap("Whole")
        elif "<h2>Measure</h2>" in back.page:
            back.tap("Measured", **{name: told for name, told in READ.items() if name in back.page})
        elif "Choose a wrench" in back.page:
            back.tap("W-1")
        elif "<h2>Tighten" in back.page:
            back.tap("Clicked without turning")
        elif "<h2>Re-check</h2>" in back.page:
            back.tap("Re-check is done", odometer="12095")
            break

    view = show_job(yard.workshop, "1")
    assert "re-checked" == view.state, (back.address, back.text)


def test_a_turned_mark_says_do_not_ride_and_opens_the_job_that_follows(back: Any, yard: Any) -> None:
    """Of just that nut."""
    back.open("job/1/mark/rear-axle-nut?look=1").tap("Turned: the line is broken", why="4 mm apart")
    assert "rear axle nut: the witness mark is disturbed" in back.text
    back.open("job/1/open/rear-axle-nut")
    assert "Do not ride" in back.text

    back.tap("Open the job that follows")
    following = show_job(yard.workshop, "2")
    assert ("1", ("rear-axle-nut",)) == (following.follows.job if following.follows else "", following.procedure.only)
    assert "/job/2" in back.address
    back.tap("Read: begin")
    assert "<h2>Loosen</h2>" in back.page, back.text


def test_what_was_ticked_before_stays_ticked_beside_what_is_asked_next(away: Any) -> None:
    """Else a re-check whose odometer is asked back asks again whether the motorcycle is here, and so on without end."""
    away.open("job/1/recheck/job").tap("Re-check is done", odometer="900000")
    assert (422, 1) == (away.status, away.page.count('type="checkbox"'))
    away.tap("Re-check is done", here="yes")
    assert (422, True) == (away.status, 'name="here" value="yes" checked' in away.page)
    away.tap("Re-check is done", sure="yes")

    assert "Not recorded Job 1: not looked" in away.text
    assert ["here", "sure"] == [name for name in TICKS if f'name="{name}" value="yes" checked' in away.page]


def test_a_refused_odometer_keeps_the_unit_that_it_was_told_in(back: Any) -> None:
    """Else the tick beside it would confirm the same figure in another unit.

    A tap that waited for a connection means what its screen showed, whatever the motorcycle is read off since.
    """
    back.open("job/1/recheck/job").tap("Re-check is done", odometer="900000", odometer_unit="mi")

    assert 422 == back.status
    assert 'name="odometer_unit" value="mi"' in back.page
    assert "1448410 km is ten times the 12090 km" in back.text


@pytest.mark.parametrize(
    ("instrument", "asked", "unit", "odometer"),
    [("mi", "Odometer", "mi", "7500"), ("hours", "Hour meter", "h", "118.5"), ("none", "", "", "")],
)
def test_every_screen_asks_by_the_motorcycles_own_instrument(
    yard: Any, procedures: Any, let_in: LetIn, instrument: str, asked: str, unit: str, odometer: str
) -> None:
    """In its own unit, or not at all."""
    yard.work(yard.open(procedures / "rear-wheel.toml", by=Instrument(instrument)))
    phone = let_in().sign_in("P-1").open("job/1/hand-over/job")
    assert (bool(asked), unit) == ("odometer" in phone.page, unit_in(phone.page))
    assert asked in phone.text

    phone.tap("It has left", **({"odometer": odometer} if odometer else {}))
    phone.open(f"vehicle/{yard.vehicle}")
    assert unit == unit_in(phone.page)
    assert ("It is here again: " in phone.text) == bool(asked)

    phone.tap("It is here", **({"odometer": odometer} if odometer else {}))
    assert f"{odometer} {unit}".strip() in phone.text
    assert unit == unit_in(phone.page)


def unit_in(page: str) -> str:
    """The unit in which a page asks for what is read off, "" where it asks for nothing."""
    found = re.search('name="odometer_unit" value="([a-z]*)"', page)
    return found[1] if found else ""
