"""The card of an owner tells what is known, agreed, due and said; what changes it is recorded by the acts there are."""

from collections.abc import Iterator

import pytest

from torqueaudit.model.act import Came, Refused, Say
from torqueaudit.model.shown.customer import CustomerView
from torqueaudit.model.shown.reminder import Contact
from torqueaudit.testing import play
from torqueaudit.workshop.customers.card import customer_card
from torqueaudit.workshop.customers.changes import forget_owner, hand_to_new_owner
from torqueaudit.workshop.door.ledger import ledger_entries
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.search.disclosures import disclosures_of
from torqueaudit.workshop.vehicles.contact import NEW_OWNER, TOLD_SO, agree_contact, end_contact
from torqueaudit.workshop.vehicles.vehicle import add_vehicle

FOREMAN, MECHANIC = Say("P-1"), Say("P-2", came=Came("page", "PIN", "D-1"))
CARD = """
2031-04-02 10:00 job 1 opened axle on V-4 at 12000 km by P-2
2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
2031-04-02 10:06 rear-axle-nut mark intact by P-2
2031-04-02 10:09 rear-axle-nut checked mark seen by P-3
2031-04-02 10:15 released by P-1
2031-04-02 10:20 handed over at 12010 km by P-1
2031-04-04 18:00 ridden to 12040 km: it pulls evenly by owner
2031-04-05 09:00 re-check refused: no time by P-2
2031-04-06 09:00 V-4 rear-axle-nut reported loosened: tyre changed elsewhere by owner
"""


@pytest.fixture
def yard(workshop: Workshop) -> Workshop:
    """An owner of two motorcycles, one of which came and left; and somebody else of the same last name."""
    known = {"plate": "X-AB 12", "frame_number": "KS5000417", "contact": "Ada Vorlage, Mill Lane 4, 0660 123 45 67"}
    add_vehicle(workshop, "Kestrel 500, black", "Kestrel 500", 2030, known, FOREMAN)
    add_vehicle(workshop, "Heron 300, red", "Heron 300", 2029, {"contact": "ada vorlage; ada@yard.example"}, FOREMAN)
    add_vehicle(workshop, "Heron 300, blue", "Heron 300", 2029, {"contact": "Bert Vorlage, 0660 765 43 21"}, FOREMAN)
    agree_contact(workshop, "V-4", Contact(mobile="+436601234567"), FOREMAN)
    play(workshop, CARD)
    return workshop


def card(workshop: Workshop, number: str = "V-4") -> CustomerView:
    """As a mechanic opens it on a tablet."""
    return customer_card(workshop, number, MECHANIC)


def told(view: CustomerView) -> Iterator[str]:
    """What was said, in a line each."""
    return (f"{each.on} {each.job} {each.says}" for each in view.said)


def test_the_card_tells_what_is_known_agreed_due_and_said(yard: Workshop) -> None:
    """The newest first; each field under its name."""
    view = card(yard)

    assert [
        ("plate", "X-AB 12"),
        ("frame number", "KS5000417"),
        ("contact", "Ada Vorlage, Mill Lane 4, 0660 123 45 67"),
        ("mobile", "+436601234567"),
    ] == [(each.field, each.value) for each in view.known]
    assert "Said yes on 2031-04-02 to reminders by short message (told by P-1)." == view.consent
    assert ("mobile",) == view.reminded_by
    assert ("Job 1: re-check refused by the owner on 2031-04-05",) == view.due
    assert [
        "2031-04-06  rear axle nut was undone: tyre changed elsewhere",
        "2031-04-05 1 does not want the re-check: no time",
        "2031-04-04 1 rode it to 12040 km: it pulls evenly",
    ] == list(told(view))
    assert ("Kestrel 500, black", "Kestrel 500", False) == (view.tag, view.model, view.demo)


def test_the_other_motorcycles_of_the_same_person_are_told(yard: Workshop) -> None:
    """By the whole name, a telephone however it is written, or a mail address; a last name alone is no person."""
    add_vehicle(yard, "Merlin 700, green", "Merlin 700", 2030, {"contact": "call 0043 660 1234567"}, FOREMAN)
    add_vehicle(yard, "Merlin 700, grey", "Merlin 700", 2030, {"contact": "Mill Lane 4"}, FOREMAN)

    assert ["V-5", "V-7"] == [each.number for each in card(yard).others]
    assert ["V-4"] == [each.number for each in card(yard, "V-5").others]
    assert () == card(yard, "V-6").others == card(yard, "V-1").others


def test_whoever_sees_the_card_is_noted_before_and_told_on_the_next_one(yard: Workshop) -> None:
    """A card on which nothing is known discloses nothing."""
    first, second = card(yard), card(yard)
    card(yard, "V-2")

    assert () == first.disclosed
    (line,) = second.disclosed
    assert "P-2, page: contact, frame number, mobile, plate" in line
    assert {"vehicle/V-4"} == {each.subject for each in disclosures_of(yard, "", 9)}
    for by in ("owner", "P-77"):
        with pytest.raises(Refused):
            customer_card(yard, "V-4", Say(by))
    with pytest.raises(Refused, match="V-77: no such vehicle"):
        customer_card(yard, "V-77", MECHANIC)


def test_consent_is_told_as_it_stands(yard: Workshop) -> None:
    """Never asked, given, ended by the owner's word, and by a new owner."""
    never = card(yard, "V-5").consent
    end_contact(yard, "V-4", TOLD_SO, FOREMAN)
    ended = card(yard)

    assert "Nobody has asked yet whether the owner wants reminders." == never
    assert "Nobody is reminded since 2031-04-06 (told so, P-1)." == ended.consent
    assert ((), "") == (ended.reminded_by, ended.value("mobile"))


def test_a_new_owner_takes_nothing_over_of_the_old_one(yard: Workshop) -> None:
    """One step, two acts; the frame number is the motorcycle's."""
    before = yard.book.head().sequence
    hand_to_new_owner(yard, "V-4", {"contact": "Bert Vorlage, 0660 765 43 21", "plate": ""}, FOREMAN)
    view = card(yard)

    assert [("plate", "X-AB 12"), ("frame number", "KS5000417"), ("contact", "Bert Vorlage, 0660 765 43 21")] == [
        (each.field, each.value) for each in view.known
    ]
    assert ["V-6"] == [each.number for each in view.others]
    assert f"Nobody is reminded since 2031-04-06 ({NEW_OWNER}, P-1)." == view.consent
    assert ["contact_ended.1", "changed.1"] == [each.kind for each in ledger_entries(yard, before + 1, None)]
    with pytest.raises(Refused):
        hand_to_new_owner(yard, "V-4", {}, Say("owner-of-nothing"))


def test_nothing_of_the_old_owner_is_taken_away_where_the_new_one_is_refused(yard: Workshop) -> None:
    """As where the new plate is that of another motorcycle: whoever was told “not recorded” looks at the same card."""
    add_vehicle(yard, "Heron 300, red", "Heron 300", 2029, {"plate": "X-AB 99"}, FOREMAN)
    agree_contact(yard, "V-4", Contact(mobile="+436601234567"), FOREMAN)
    before, last = yard.book.personal_of("vehicle/V-4"), yard.book.head().sequence
    with pytest.raises(Refused, match="has this plate already"):
        hand_to_new_owner(yard, "V-4", {"contact": "Bert Vorlage", "plate": "XAB 99"}, FOREMAN)

    assert (before, last) == (yard.book.personal_of("vehicle/V-4"), yard.book.head().sequence)


def test_what_both_owners_have_stays(yard: Workshop) -> None:
    """Within a family the telephone is the same one; a second tap on the same button records nothing."""
    agree_contact(yard, "V-4", Contact(mail="ada@yard.example"), FOREMAN)
    contact = yard.book.personal_of("vehicle/V-4")["contact"]
    for _ in range(2):
        hand_to_new_owner(yard, "V-4", {"contact": contact}, FOREMAN._replace(id="one-tap"))

    assert (contact, ()) == (card(yard).value("contact"), card(yard).reminded_by)
    assert "contact_ended.1" == yard.book.entry(yard.book.head().sequence).kind  # type: ignore[union-attr]
    assert [] == yard.book.verify()


def test_an_owner_is_forgotten_by_a_foreman_alone(yard: Workshop) -> None:
    """The jobs stay, and so do words that may name somebody: their entries are told."""
    with pytest.raises(Refused, match="P-2 is mechanic; only a foreman or setup may do this"):
        forget_owner(yard, "V-4", MECHANIC)
    agree_contact(yard, "V-4", Contact(mail="ada@yard.example"), FOREMAN)
    left = forget_owner(yard, "V-4", FOREMAN)
    view = card(yard)

    assert "What was agreed on 2031-04-06 is forgotten with its address: nobody is reminded." == view.consent
    assert ((), ()) == (view.known, view.others)
    assert ["loosened", "recheck_refused", "ridden"] == sorted(yard.book.entry(number).what for number in left)  # type: ignore[union-attr]
    assert "Job 1" in view.due[0]
    with pytest.raises(Refused, match="V-4: nothing is known of its owner, so there is nothing to forget"):
        forget_owner(yard, "V-4", FOREMAN)
