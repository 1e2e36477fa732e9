"""Whatever is typed is looked through for names, plates, addresses and numbers that the book knows."""

import pytest

from torqueaudit.model.act import Refused, Say
from torqueaudit.model.register.acts import PersonChange
from torqueaudit.model.wrench.acts import NewWrench
from torqueaudit.testing import play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.register.people import add_person, change_person
from torqueaudit.workshop.register.settings import settle
from torqueaudit.workshop.vehicles.vehicle import add_vehicle
from torqueaudit.workshop.wrenches.wrench import add_wrench

CARD = """
2031-04-02 10:00 job 1 opened axle on V-4 at 12000 km by P-2
2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
"""
CONTACT = "Anna Example, Mill Lane 4, +43 660 123 4567"


@pytest.fixture
def known(workshop: Workshop) -> Workshop:
    """The workshop with a motorcycle of a customer, worked on."""
    add_vehicle(workshop, "Kestrel 500, green", "Kestrel 500", 2030, {"contact": CONTACT}, Say("P-1"))
    play(workshop, CARD)
    return workshop


def loosened(workshop: Workshop, why: str) -> str:
    """Loosen the nut and say why: what is refused, "" where nothing is."""
    before = workshop.book.head()
    try:
        play(workshop, f"2031-04-02 10:06 job 1 rear-axle-nut loosened: {why} by P-2")
    except Refused as refused:
        assert before == workshop.book.head()
        return str(refused)
    return ""


@pytest.mark.parametrize(
    ("why", "number"),
    [
        ("Anna wanted to see it", "V-4"),
        ("mr example wanted to see it", "V-4"),
        ("fetched to mill lane", "V-4"),
        ("she called from 0660/1234567", "V-4"),
        ("call 0043 660 123 45 67", "V-4"),
        ("as Cressida said", "P-3"),
        ("as cressida sample said", "P-3"),
    ],
)
def test_a_remark_that_names_somebody_is_refused(known: Workshop, why: str, number: str) -> None:
    """It repeats what was typed and nothing more, and says what to write instead."""
    assert f"“{why}” holds a name or number of {number}; write {number} instead" == loosened(known, why)


@pytest.mark.parametrize(
    "why",
    [
        "the annual service",
        "an example is in the manual",
        "the owner had the nut open",
        "lane 4 was free",
        "not applicable, the mechanic was away",
        "108 N·m, 4 turns, 123 km",
    ],
)
def test_a_remark_that_names_nobody_is_recorded(known: Workshop, why: str) -> None:
    """Parts of words, and words that are anybody's."""
    refused = loosened(known, why)

    assert ("" if "example" not in why else refused) == refused


def test_a_name_that_several_bear_is_told_with_all_of_them(known: Workshop) -> None:
    """Whoever writes knows who is meant."""
    says = "“as Sample said” holds a name or number of P-1 or P-2 or P-3 or P-4; write the right number instead"

    assert says == loosened(known, "as Sample said")


@pytest.mark.parametrize("name", ["Mechanic", "Foreman Mechanic", "Trainee's name", "Axle Nut", "The One", "Rear Axle"])
def test_somebody_called_like_the_programs_words_is_in_nobodys_way(known: Workshop, name: str) -> None:
    """Roles, keys, answers and states are chosen, not typed; and a common word is not sought singly."""
    add_person(known, name, ("mechanic",), "", Say("P-1"))
    added = add_person(known, "Hortense Beispiel", ("mechanic", "foreman"), "", Say("P-1"))
    play(
        known,
        """
        2031-04-02 10:10 job 1 rear-axle-nut mark not seen: the mechanic and the one at the axle were away by P-2
        2031-04-02 10:11 job 1 rear-axle-nut loosened: not applicable by P-2
        """,
    )

    assert "P-6" == added


def test_a_key_or_a_number_is_nobodys_name(known: Workshop) -> None:
    """What a procedure calls its fasteners is chosen, also where a customer is called so."""
    add_vehicle(
        known, "Kestrel 500, red", "Kestrel 500", 2030, {"contact": "Rear Axlewright, 108 92 74 11"}, Say("P-1")
    )
    change_person(known, "P-3", PersonChange(name="Axle"), Say("P-1"))
    play(known, "2031-04-02 10:10 job 1 rear-axle-nut 107 N·m with W-1 by P-2")


def test_a_tag_of_a_wrench_and_its_owner_are_looked_at(known: Workshop) -> None:
    """They stand on its sheet and its label."""
    for wrench in (NewWrench("setting", "Anna's long one"), NewWrench("setting", "long one", owner="Anna Example")):
        with pytest.raises(Refused, match="holds a name or number of V-4, and the ledger never forgets; write V-4"):
            add_wrench(known, wrench, Say("P-1"))


def test_the_workshops_own_telephone_may_be_that_of_a_customer(known: Workshop) -> None:
    """It is printed on purpose."""
    settle(known, {"telephone": "0660 123 4567"}, Say("P-1"))

    assert "0660 123 4567" == known.settings.telephone
