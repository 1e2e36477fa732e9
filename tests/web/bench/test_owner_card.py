"""The page of an owner's card: what it shows, and each change of it by one tap and a yes."""

from typing import Any

import pytest

from torqueaudit.model.act import Say
from torqueaudit.model.vehicle.acts import VehicleChange
from torqueaudit.workshop.search.disclosures import disclosures_of
from torqueaudit.workshop.vehicles.contact import contact_of
from torqueaudit.workshop.vehicles.corrections import change_vehicle

from .phone import LetIn


@pytest.fixture
def phone(let_in: LetIn, yard: Any, procedures: Any) -> Any:
    """Signed in as a foreman; the owner of the motorcycle is known."""
    yard.open(procedures / "final-drive.toml")
    known = {"plate": "X-AB 12", "contact": "Ada Vorlage, 0660 123 45 67"}
    change_vehicle(yard.workshop, yard.vehicle, VehicleChange(personal=known), Say(yard.foreman))
    return let_in().sign_in("P-1")


def known(yard: Any) -> dict[str, str]:
    """What is known of the owner, without the token that ends reminders."""
    told = yard.workshop.book.personal_of(f"vehicle/{yard.vehicle}")
    return {field: value for field, value in told.items() if field != "stop"}


def test_the_card_is_one_tap_from_the_motorcycle(phone: Any, yard: Any) -> None:
    """With what is known, and a way back; who saw it is kept."""
    phone.open(f"vehicle/{yard.vehicle}").follow("Owner, contact and reminders")
    (seen,) = disclosures_of(yard.workshop, "", 9)

    assert (200, True) == (phone.status, "Contact Ada Vorlage, 0660 123 45 67" in phone.text)
    assert "Nobody has asked yet whether the owner wants reminders." in phone.text
    assert ("P-1", "page", ("contact", "frame number", "owner", "plate")) == (seen.by, seen.door, seen.shown)
    assert 1 == phone.page.count('role="search"')
    assert "data-act" not in phone.page  # nothing that is typed here is kept in a browser


def test_a_telephone_on_the_card_is_one_tap_from_a_call(phone: Any, yard: Any) -> None:
    """As it is written, and as a link has it; a plate with digits is none."""
    change_vehicle(yard.workshop, yard.vehicle, VehicleChange(personal={"plate": "0660 123 4"}), Say("P-1"))
    phone.open(f"vehicle/{yard.vehicle}/owner")

    assert '<a class="other" href="tel:06601234567">Call 0660 123 45 67</a>' in phone.page
    assert 1 == phone.page.count('href="tel:')


def test_a_plate_is_put_right(phone: Any, yard: Any) -> None:
    """What was not changed is told by nobody; the same again records nothing."""
    phone.open(f"vehicle/{yard.vehicle}/owner").tap("Put it right", plate="X-AB 21")
    assert (200, "X-AB 21") == (phone.status, known(yard)["plate"])
    phone.tap("Put it right")
    assert (422, True) == (phone.status, "nothing of this is new" in phone.text)


def test_reminders_are_agreed_to_and_ended(phone: Any, yard: Any) -> None:
    """Neither without a yes; a number that is none is said, and what was typed stays."""
    card = f"vehicle/{yard.vehicle}/owner"
    phone.open(card).tap("Remind by this", mobile="0660 1234567", yes="yes")
    assert (422, True) == (phone.status, 'value="0660 1234567"' in phone.page)
    phone.open(card).tap("Remind by this", mobile="+43 660 1234567", yes="no")
    assert (422, True) == (phone.status, "Ask the owner, then tick that they said yes." in phone.text)
    phone.tap("Remind by this", mobile="+43 660 1234567", yes="yes")
    assert "to reminders by short message (told by P-1)." in phone.text
    assert "+436601234567" == contact_of(yard.workshop, yard.vehicle).mobile
    phone.open(card).tap("End the reminders", yes="yes")
    assert "Nobody is reminded since" in phone.text
    assert "" == contact_of(yard.workshop, yard.vehicle).mobile


def test_it_is_handed_to_a_new_owner(phone: Any, yard: Any) -> None:
    """What reached the old one is gone."""
    phone.open(f"vehicle/{yard.vehicle}/owner").tap("Hand it to the new owner", contact="Bert Example", yes="yes")

    assert {"plate": "X-AB 12", "frame_number": "KS5000042", "contact": "Bert Example"} == known(yard)
    assert "Ada" not in phone.text.partition("Who was shown")[0]


def test_a_foreman_forgets_the_owner(phone: Any, yard: Any) -> None:
    """A mechanic is not asked, and may not; without the tick nothing is erased."""
    card = f"vehicle/{yard.vehicle}/owner"
    phone.open(card).tap("Erase it", yes="no")
    assert (422, True) == (phone.status, "plate" in known(yard))
    phone.tap("Erase it", yes="yes")
    assert (200, True, {}) == (phone.status, "All that was known of the owner is erased." in phone.text, known(yard))
    assert "Nothing is known of the owner." in phone.text
    phone.sign_in("P-2").open(card)
    assert (200, False) == (phone.status, "Erase it" in phone.page)


def test_a_form_of_no_kind_and_an_unknown_motorcycle_are_refused(phone: Any, yard: Any) -> None:
    """In a sentence."""
    phone.open(f"vehicle/{yard.vehicle}/owner").tap("Put it right", act="all-of-it")
    assert 422 == phone.status
    assert "no such vehicle" in phone.open("vehicle/V-77/owner").text
