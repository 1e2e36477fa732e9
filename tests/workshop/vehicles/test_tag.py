"""A vehicle's tag: model, colour and number, and nothing of its owner, nor of anybody whom the book knows."""

import pytest

from torqueaudit.model.act import Refused, Say
from torqueaudit.model.register.acts import PersonChange
from torqueaudit.model.vehicle.acts import VehicleChange
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.register.people import change_person
from torqueaudit.workshop.vehicles.corrections import change_vehicle
from torqueaudit.workshop.vehicles.vehicle import add_vehicle

FOREMAN = Say("P-1")
CONTACT = "Anna Example, Mill Lane 4, +43 660 123 4567"
OWNERS = {"plate": "X-AB 123", "frame_number": "PL4000077", "contact": CONTACT}


def add(workshop: Workshop, tag: str, model: str = "Plover 400", personal: dict[str, str] | None = None) -> str:
    """Enter a vehicle of an owner."""
    return add_vehicle(workshop, tag, model, 2030, OWNERS if personal is None else personal, FOREMAN)


def refusal(workshop: Workshop, tag: str, model: str = "Plover 400", personal: dict[str, str] | None = None) -> str:
    """Why a vehicle is not entered so; nothing is recorded, in the ledger or beside it."""
    before = workshop.book.head()
    with pytest.raises(Refused) as caught:
        add(workshop, tag, model, personal)
    assert before == workshop.book.head()
    assert {} == workshop.book.personal_of("vehicle/V-4")
    return str(caught.value)


@pytest.mark.parametrize(
    "tag",
    [
        "Plover 400, green",
        "Plover 400",
        "plover 400 (dark blue, 2)",
        "Plover 400, green, number 17",
        "PLOVER-400 white",
    ],
)
def test_model_colour_and_number_are_a_tag(workshop: Workshop, tag: str) -> None:
    """Whoever owns it."""
    assert "V-4" == add(workshop, tag)


@pytest.mark.parametrize(
    ("tag", "what"),
    [
        ("Plover 400, green, Anna", "contact"),
        ("anna's Plover 400", "contact"),
        ("Plover 400, Example", "contact"),
        ("Plover 400 of AnnaExample", "contact"),
        ("Plover 400 of Mill Lane", "contact"),
        ("Plover 400, Mill Lane 4", "contact"),
        ("Plover 400, 0660 123 4567", "contact"),
        ("Plover 400, 0660/1234567", "contact"),
        ("Plover 400, 00436601234567", "contact"),
        ("Plover 400, tel. 1234567", "contact"),
        ("Plover 400, XAB123", "plate"),
        ("Plover 400, x ab 123", "plate"),
        ("Plover 400, AB 123", "plate"),
        ("Plover 400, PL 4000077", "frame number"),
    ],
)
def test_a_part_of_what_is_told_of_the_owner_is_refused(workshop: Workshop, tag: str, what: str) -> None:
    """It is told in the same act, so the book does not know it yet."""
    says = f"“{tag}” holds a part of the {what}, and the ledger never forgets"

    assert f"{says}; call it by model, colour and number instead" == refusal(workshop, tag)


@pytest.mark.parametrize("owner", ["Jo Plover", "Jo Green", "Ada Plover-Green"])
def test_an_owner_may_be_called_like_the_model_or_a_colour(workshop: Workshop, owner: str) -> None:
    """The words of the model and colours are nobody's name in a tag; the whole name still is one."""
    personal = {"contact": f"{owner}, 0660 1234567"}

    assert "holds a part of the contact" in refusal(workshop, f"Plover 400 of {owner}", personal=personal)
    assert "V-4" == add(workshop, "Plover 400, green", personal=personal)


@pytest.mark.parametrize(
    ("tag", "number"),
    [
        ("Plover 400, Barnaby's", "P-2"),
        ("Plover 400 of Ottoline Sample", "P-1"),
        ("Plover 400, beside Y-ARD 101", "V-1"),
        ("Plover 400, beside ard101", "V-1"),
    ],
)
def test_whoever_the_book_knows_is_named_by_number(workshop: Workshop, tag: str, number: str) -> None:
    """Also the owner of another motorcycle."""
    says = f"“{tag}” holds a name or number of {number}, and the ledger never forgets; write {number} instead"

    assert says == refusal(workshop, tag)
    assert "V-4" == add(workshop, f"Plover 400, {number}")


def test_a_model_is_looked_at_too(workshop: Workshop) -> None:
    """A whole name or a number is none; a single word of it may be somebody's."""
    expected = "“Barnaby Sample” holds a name or number of P-2, and the ledger never forgets; write P-2 instead"

    assert expected == refusal(workshop, "green", "Barnaby Sample")
    assert "V-4" == add(workshop, "Sample 400, green", "Sample 400")


def test_a_contact_told_later_is_held_against_the_tag(workshop: Workshop) -> None:
    """And a tag told later against the contact."""
    number = add(workshop, "Plover 400, called Rosalind", personal={})
    with pytest.raises(Refused, match="“Plover 400, called Rosalind” holds a part of the contact"):
        change_vehicle(workshop, number, VehicleChange(personal={"contact": "Rosalind Nowhere"}), FOREMAN)
    change_vehicle(workshop, number, VehicleChange(tag="Plover 400", personal={"contact": "Rosalind Nowhere"}), FOREMAN)
    with pytest.raises(Refused, match="“Rosalind's Plover 400” holds a name or number of V-4"):
        change_vehicle(workshop, number, VehicleChange(tag="Rosalind's Plover 400"), FOREMAN)


def test_an_old_tag_does_not_keep_the_year_from_being_put_right(workshop: Workshop) -> None:
    """It named nobody when it was entered, and somebody came since."""
    number = add(workshop, "Plover 400, called Rosalind", personal={})
    change_person(workshop, "P-3", PersonChange(name="Rosalind Sample"), FOREMAN)

    assert 2029 == change_vehicle(workshop, number, VehicleChange(year=2029), FOREMAN).vehicle.year


def test_the_same_vehicle_sent_again_is_known(workshop: Workshop) -> None:
    """Although the book knows by now what it was told with it."""
    say = Say("P-1", id="V-again")
    added = add_vehicle(workshop, "Plover 400, green", "Plover 400", 2030, OWNERS, say)

    assert added == add_vehicle(workshop, "Plover 400, green", "Plover 400", 2030, OWNERS, say)
