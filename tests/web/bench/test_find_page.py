"""The field on every page of whoever works here, and what it leads to."""

from collections.abc import Callable
from typing import Any

import pytest

from torqueaudit.model.act import Say
from torqueaudit.model.register.programs import ProgramRole
from torqueaudit.model.vehicle.acts import VehicleChange
from torqueaudit.workshop.search.disclosures import disclosures_of
from torqueaudit.workshop.signing.programs import let_in as let_program_in
from torqueaudit.workshop.vehicles.corrections import change_vehicle
from torqueaudit.workshop.vehicles.vehicle import add_vehicle

from .phone import LetIn


@pytest.fixture
def phone(let_in: LetIn, yard: Any, procedures: Any) -> Any:
    """Signed in, with a job begun on a motorcycle that has a plate, and another one in the book."""
    yard.open(procedures / "final-drive.toml")
    change_vehicle(yard.workshop, yard.vehicle, VehicleChange(personal={"plate": "X-AB 12"}), Say(yard.foreman))
    add_vehicle(yard.workshop, "Heron 300, red", "Heron 300", 2029, {"plate": "X-AB 34"}, Say(yard.foreman))
    return let_in().sign_in("P-2").open("job/1?read=1")


def test_three_letters_of_a_plate_lead_to_those_that_have_them(phone: Any, yard: Any) -> None:
    """Each with its reason; what is shown is kept with who saw it, by which door."""
    phone.open("bench").tap("Find", find="x ab")
    shown = disclosures_of(yard.workshop, "", 9)

    assert (200, True, True) == (phone.status, "Plate: X-AB 12" in phone.text, "Plate: X-AB 34" in phone.text)
    assert "Heron 300, red" in phone.text
    assert [("P-2", "page", ("plate",))] * 2 == [(each.by, each.door, each.shown) for each in shown]
    assert phone.follow("V-2: Heron 300, red").address.endswith("/vehicle/V-2")


def test_one_motorcycle_is_opened_at_once(phone: Any, yard: Any) -> None:
    """Whoever was told the whole plate goes on without another tap."""
    for wanted in ("xab12", "X AB-12", "V-1", f"{yard.token('1')[:7]}"):
        phone.open("today").tap("Find", find=wanted)
        assert phone.address.endswith(f"/vehicle/{yard.vehicle}"), wanted


@pytest.mark.parametrize(("typed", "reason"), [("ab12", "Plate: X-AB 12"), ("heron", "Heron 300, red")])
def test_a_motorcycle_that_was_not_named_whole_is_shown_with_its_reason(phone: Any, typed: str, reason: str) -> None:
    """It is the only one that was found; whether it is the one that was meant, whoever typed it says."""
    phone.open("bench").tap("Find", find=typed)

    assert ("/find" in phone.address, reason in phone.text) == (True, True)


def test_a_word_that_was_written_shows_where(phone: Any, yard: Any) -> None:
    """A job is not opened before its reason is read; one that is named by its number is."""
    phone.open("job/1/step/bearings-look").tap("Fault found", remark="rough on the left")
    phone.open("bench").tap("Find", find="rough")
    assert "/find" in phone.address
    assert "rough on the left" in phone.text
    title = yard.workshop.job("1").procedure.title
    assert phone.follow(f"Job 1: {title}, {yard.workshop.vehicle(yard.vehicle).tag}").address.endswith("/job/1")
    phone.open("bench").tap("Find", find="job 1")
    assert phone.address.endswith("/job/1")


def test_what_cannot_be_looked_for_and_what_is_not_there_is_said(phone: Any) -> None:
    """In one sentence, and what was typed stays in the field."""
    phone.open("find").tap("Find", find="x")
    assert (422, True) == (phone.status, "“x”: write at least three letters or digits of it." in phone.text)
    phone.tap("Find", find="qwxyz")
    assert (200, True) == (phone.status, "Nothing is found by “qwxyz”" in phone.text)
    assert 'value="qwxyz"' in phone.page


@pytest.mark.parametrize("path", ["bench", "today", "find", "vehicle/V-1", "job/1", "job/1/work", "job/1/labels"])
def test_the_field_stands_once_on_every_page_of_staff(phone: Any, path: str) -> None:
    """Whatever else is done on it."""
    phone.open(path)

    assert 1 == phone.page.count('role="search"')


@pytest.mark.usefixtures("phone")
def test_who_is_not_signed_in_finds_nothing(bench: str, get: Callable[..., Any], yard: Any) -> None:
    """Neither a stranger, nor anything of it on a page that strangers open."""
    answer = get(f"{bench}find?find=xab")
    record = get(f"{bench}r/{yard.token('1')}/record").text

    assert 403 == answer.status
    assert "search" not in record
    assert [] == disclosures_of(yard.workshop, "", 9)


def test_a_person_who_is_found_has_a_page_for_a_foreman_alone(let_in: LetIn, yard: Any) -> None:
    """A mechanic is shown the name and the reason, as before."""
    del yard
    phone = let_in().sign_in("P-1").open("find?find=quill")
    assert "office/person/P-2" in phone.page
    phone.sign_in("P-2").open("find?find=quill")
    assert (True, False) == ("Basto Quill" in phone.text, "office/person" in phone.page)


def test_a_program_that_is_found_leads_a_foreman_to_where_it_is_withdrawn(let_in: LetIn, yard: Any) -> None:
    """A mechanic is shown its name alone."""
    let_program_in(yard.workshop, Say("P-1"), "accounts of the hall", ProgramRole.READS, yard.workshop.today())
    phone = let_in().sign_in("P-1").open("find?find=accounts")
    assert phone.follow("A-1: accounts of the hall").address.endswith("/programs")
    phone.sign_in("P-2").open("find?find=accounts")
    assert (True, False) == ("A-1: accounts of the hall" in phone.text, "/programs" in phone.page)
