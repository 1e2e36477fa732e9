"""What a page offers to take back, and what its tap takes back: one rule for both."""

from typing import Any

import pytest

from torqueaudit.model.act import Say
from torqueaudit.workshop.jobs.steps_and_parts import do_step
from torqueaudit.workshop.register.people import add_person

from .phone import LetIn


@pytest.fixture
def phone(let_in: LetIn, yard: Any, procedures: Any) -> Any:
    """Signed in, with a job begun."""
    yard.open(procedures / "final-drive.toml")
    return let_in().sign_in("P-2").open("job/1?read=1")


def test_undo_takes_back_what_its_page_showed_and_nothing_else(let_in: LetIn, phone: Any, yard: Any) -> None:
    """The same person recorded something else meanwhile, on another device."""
    phone.tap("Only this is done")
    other = let_in("desk").sign_in("P-2").open("job/1/step/front-nut-loosened").tap("Done")
    before = yard.workshop.book.head()
    phone.tap("Undo")

    assert (422, before) == (phone.status, yard.workshop.book.head())
    assert "your last act is not what the page showed" in phone.text
    form, button = other.form_of("Undo")
    other.send(form, button, {})
    once = yard.workshop.book.head()
    other.send(form, button, {})
    assert once == yard.workshop.book.head()


def test_what_a_colleague_records_keeps_nobody_from_their_own_undo(phone: Any, yard: Any) -> None:
    """On page, echo and act alike; of what the colleague told nothing is taken back."""
    phone.tap("Only this is done")
    own = phone.address
    colleague = add_person(yard.workshop, "Merle Ohm", ("mechanic",), "", Say(yard.foreman))
    do_step(yard.workshop, "1", "front-nut-loosened", "yes", "", Say(colleague))

    assert "front nut loosened" not in phone.open("job/1/undo/job").text.lower()
    assert "motorcycle secured" in phone.text.lower()
    phone.open(own.removeprefix(phone.base)).tap("Undo")
    assert "taken back" in phone.text
    record = yard.workshop.record("1")
    assert (None, "yes") == (record.steps("bike-secured"), record.steps("front-nut-loosened").answer)


def test_a_page_with_nothing_of_ones_own_to_take_back_says_so(let_in: LetIn, phone: Any, yard: Any) -> None:
    """A mechanic gets no button for what a foreman told; the foreman gets one for either."""
    do_step(yard.workshop, "1", "front-nut-loosened", "yes", "", Say(yard.foreman))
    phone.open("job/1/undo/job")

    assert "P-2 is mechanic; only a foreman may do this." in phone.text
    assert "Take it back" not in phone.page
    do_step(yard.workshop, "1", "bike-secured", "yes", "", Say(yard.mechanic))
    assert (
        "told by P-2): motorcycle secured"
        in let_in("desk").sign_in("P-1").open("job/1/undo/job").tap("Take it back").text
    )
