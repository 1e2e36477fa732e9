"""What is agreed about a re-check on the telephone: behind a small link on the motorcycle's page."""

from typing import Any

import pytest

from .phone import LetIn


@pytest.fixture
def away(yard: Any, procedures: Any) -> Any:
    """The motorcycle left with its new wheel a week ago."""
    job = yard.open(procedures / "rear-wheel.toml")
    yard.work(job)
    yard.leave(job)
    yard.later(days=7)
    return yard


def test_a_foreman_puts_it_off(away: Any, let_in: LetIn) -> None:
    """To a day; the odometer is left as it is, and what was understood is said."""
    phone = let_in().sign_in("P-1").open(f"vehicle/{away.vehicle}")
    assert "Job 1: re-check due by 2031-04-17" in phone.text
    phone.follow("Put it off")
    assert "The re-check is due by 2031-04-17" in phone.text
    phone.tap("Put it off", until="2031-05-02", odometer="", why="the owner is abroad")

    assert "re-check: postponed until 2031-05-02; postponed, due by 2031-05-02 or at 12100 km" in phone.text
    assert "The re-check is postponed, due by 2031-05-02" in phone.text


@pytest.mark.usefixtures("away")
def test_what_puts_nothing_off_keeps_what_was_typed(let_in: LetIn) -> None:
    """With why it was not recorded."""
    phone = let_in().sign_in("P-1").open("job/1/postpone-recheck/job")
    phone.tap("Put it off", until="2031-04-12", odometer="", why="the owner is abroad")

    assert 422 == phone.status
    assert "2031-04-12: it is due by 2031-04-17 as it is" in phone.text
    assert 'value="the owner is abroad"' in phone.page


@pytest.mark.usefixtures("away")
def test_a_mechanic_puts_nothing_off(let_in: LetIn) -> None:
    """The screen says for whom it is."""
    phone = let_in().sign_in("P-2").open("job/1/postpone-recheck/job")

    assert "This is for a foreman: change the person." in phone.text


def test_the_owner_refuses_it(away: Any, let_in: LetIn) -> None:
    """In the owner's words."""
    phone = let_in().sign_in("P-2").open(f"vehicle/{away.vehicle}").follow("The owner does not want it")
    phone.tap("The owner does not want it", why="looks after it at home")

    assert "The re-check is refused by the owner on 2031-04-10." in phone.text


def test_another_workshop_does_it_and_finds_a_fault(away: Any, let_in: LetIn) -> None:
    """Which is a stop on the motorcycle's page."""
    phone = let_in().sign_in("P-2").open(f"vehicle/{away.vehicle}").follow("Another workshop does it")
    phone.tap("They do the re-check", whom="the next valley", why="it is nearer")
    phone.open(f"vehicle/{away.vehicle}").follow("What the other workshop found")
    assert "Handed to: the next valley." in phone.text
    phone.tap("Fault found", odometer="12050", remark="the axle nut turns")
    phone.open(f"vehicle/{away.vehicle}")

    assert "re-check: another workshop found a fault on 2031-04-10: “the axle nut turns”. Do not ride" in phone.text


def test_an_odometer_that_was_replaced_is_told_on_the_motorcycles_page(away: Any, let_in: LetIn) -> None:
    """With what both showed; what does not fit is asked back, with all that was typed."""
    phone = let_in().sign_in("P-2").open(f"vehicle/{away.vehicle}")
    phone.tap("It was replaced", was="11000", now="0", kind="km")
    assert 422 == phone.status
    assert "11000 km is less than the 12000 km" in phone.text
    assert 'name="was" value="11000"' in phone.page

    phone.open(f"vehicle/{away.vehicle}").tap("It was replaced", was="12060", now="25", kind="mi")
    assert "re-check due by 2031-04-17 or at 49 mi, whichever comes first" in phone.text
    assert "V-1 · Kestrel 500 · 25 mi" in phone.text

    phone.tap("It was replaced", was="26", now="", kind="none")
    assert "re-check due by 2031-04-17." in phone.text
