"""People on the pages of the office: entered, changed, given a PIN, unlocked, and gone."""

from typing import Any

import pytest

from torqueaudit.model.act import Refused, Say
from torqueaudit.model.register.acts import PersonChange
from torqueaudit.workshop.register.people import add_person, change_person
from torqueaudit.workshop.signing.pins import is_locked, require_pin

PIN = "271829"


def entries(yard: Any, number: str) -> list[Any]:
    """What was recorded of a person."""
    return list(yard.workshop.book.entries(f"person/{number}"))


def test_somebody_is_entered_once_and_named_outside_the_record(desk: Any, yard: Any) -> None:
    """A trainee with who answers for the work; the same form sent again makes no second one."""
    desk.open("office").follow("People")
    (form, button), page = desk.form_of("Enter them"), desk.address
    typed = {"name": "Ottilie Muster", "role": "trainee", "supervisor": "P-2"}
    before = len(people_of(desk))
    for _ in range(2):
        desk.address = page
        desk.send(form, button, typed)
        assert (200, True) == (desk.status, "Ottilie Muster" in desk.text)
    number = desk.address.rpartition("/")[2]
    (entered,) = entries(yard, number)

    assert {"roles": ["trainee"], "supervisor": "P-2"} == entered.said
    assert "P-2 answers for the work. Has no PIN yet" in desk.text
    assert before + 1 == len(people_of(desk))


def people_of(desk: Any) -> list[str]:
    """The people whom the page of all lists."""
    from .phone import Forms

    return [name for name in Forms(desk.open("office/people").page).links if name.startswith("P-")]


def test_what_is_refused_stays_typed(desk: Any) -> None:
    """A trainee for whom nobody answers, and a name that somebody bears already."""
    desk.open("office/people").tap("Enter them", name="Ottilie Muster", role="trainee")
    assert (422, True) == (desk.status, "A trainee has a supervisor who answers for the work" in desk.text)
    assert 'value="Ottilie Muster"' in desk.page
    assert 'value="trainee" checked' in desk.page
    desk.tap("Enter them", name="Basto Quill", role="mechanic")
    assert (422, True) == (desk.status, 'id="enter-name-wrong">Basto Quill: somebody of that name' in desk.page)


def test_roles_supervisor_and_name_are_changed(desk: Any, yard: Any) -> None:
    """What stands already is not told anew; a page that is out of date changes nothing."""
    desk.open("office/person/P-2").tap("Change it", name="Basto Quill-Mauer")
    assert (200, {"renamed": True}) == (desk.status, entries(yard, "P-2")[-1].said)
    assert "Basto Quill-Mauer" in desk.text
    change_person(yard.workshop, "P-2", PersonChange(roles=("mechanic", "foreman")), Say("P-1"))
    before = len(entries(yard, "P-2"))
    desk.tap("Change it")
    assert (422, before, True) == (desk.status, len(entries(yard, "P-2")), "out of date" in desk.text)


@pytest.mark.parametrize(
    ("page", "says", "typed", "subject"),
    [
        ("office/person/P-2", "Change it", {"name": "Basto Quill-Mauer"}, "person/P-2"),
        ("office/wrench/W-1", "Put it right", {"tag": "green tape", "lever": "480"}, "wrench/W-1"),
        ("office/motorcycle/V-1", "Put it right", {"tag": "Kestrel, green", "instrument": "mi"}, "vehicle/V-1"),
        ("vehicle/V-1/owner", "Put it right", {"plate": "X-AB 21"}, "vehicle/V-1"),
    ],
)
def test_a_change_that_is_sent_twice_is_told_once(
    desk: Any, yard: Any, page: str, says: str, typed: dict[str, str], subject: str
) -> None:
    """Though what it would change is so by then."""
    before = len(yard.workshop.book.entries(subject))
    (form, button), address = desk.open(page).form_of(says), desk.address
    for _ in range(2):
        desk.address = address
        desk.send(form, button, typed)
        assert 200 == desk.status, desk.text
    assert before + 1 == len(yard.workshop.book.entries(subject))


def test_a_pin_is_set_and_never_shown_again(desk: Any, yard: Any) -> None:
    """Typed twice alike; one that anybody would guess is refused at its field, and not repeated."""
    desk.open("office/person/P-2").tap("Set the PIN of P-2", new=PIN, again="271828")
    assert (422, True) == (desk.status, 'id="pin-again-wrong">The two PINs differ' in desk.page)
    assert PIN not in desk.page
    desk.tap("Set the PIN of P-2", new="123456", again="123456")
    assert (422, True) == (desk.status, 'id="pin-new-wrong">Anybody would guess this PIN' in desk.page)
    desk.tap("Set the PIN of P-2", new=PIN, again=PIN)
    assert (200, True) == (desk.status, "The PIN is set." in desk.text)
    require_pin(yard.workshop, "", "P-2", PIN)


def test_who_is_locked_is_seen_and_unlocked(desk: Any, yard: Any) -> None:
    """In the list and on the page."""
    for _ in range(5):
        with pytest.raises(Refused):
            require_pin(yard.workshop, "", "P-2", "000007")
    assert "locked after wrong PINs" in desk.open("office/people").text
    desk.open("office/person/P-2").tap("Unlock P-2")
    assert (200, False) == (desk.status, is_locked(yard.workshop, "P-2"))


def test_who_has_left_signs_nothing_and_what_follows_is_said(desk: Any, yard: Any) -> None:
    """A trainee is without an answer; the last foreman stays; a new first day brings somebody back."""
    trainee = add_person(yard.workshop, "Ottilie Muster", ("trainee",), "P-2", Say("P-1"))
    desk.open("office/person/P-2").tap("Record that P-2 has left", on="2031-04-02", why="moved away")
    assert (200, True) == (desk.status, f"Nobody answers for the work of {trainee} now" in desk.text)
    assert "Left on 2031-04-02" in desk.text
    assert "P-2, who answered for the work, has left" in desk.open("office/people").text
    desk.open("office/person/P-1").tap("Record that P-1 has left", on="2031-04-02")
    assert (422, True) == (desk.status, "P-1 is the only foreman" in desk.text)
    desk.open("office/person/P-2").tap("Bring them back", start="2031-04-02")
    assert (200, False) == (desk.status, "Left on" in desk.text)


def test_a_name_is_erased_for_good(desk: Any, yard: Any) -> None:
    """Asked back; the number stays, and has left."""
    desk.open("office/person/P-2").tap("Erase the name", yes="no")
    assert (422, True) == (desk.status, "Basto Quill" in desk.text)
    desk.tap("Erase the name", yes="yes")
    assert (200, False) == (desk.status, "Basto Quill" in desk.text)
    assert {} == yard.workshop.book.personal_of("person/P-2")


def test_an_unknown_person_is_said(desk: Any) -> None:
    """In a sentence; a mechanic opens none of it."""
    assert (404, True) == (desk.open("office/person/P-77").status, "nobody of that number" in desk.text)
    assert 403 == desk.sign_in("P-2").open("office/people").status
