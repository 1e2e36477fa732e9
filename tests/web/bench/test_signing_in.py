"""A device is let in once, a person signs in on it, and nobody records under somebody else."""

import re
import sys
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from types import FrameType
from typing import Any
from urllib.parse import urlsplit

import pytest

from torqueaudit.model.act import Came, Say
from torqueaudit.model.register.devices import fold_device
from torqueaudit.web.app import create_app
from torqueaudit.workshop.register.people import end_person
from torqueaudit.workshop.signing.devices import invite, withdraw_device
from torqueaudit_plugins.qr_labels.kinds import persons_tag

from .phone import LetIn

PhotoOf = Callable[..., bytes]


def test_a_code_lets_in_one_device_once(let_in: LetIn, yard: Any) -> None:
    """Looking at it takes nothing; the second one to send it is told so."""
    given = invite(yard.workshop, Say(yard.foreman, came=Came("terminal")), "phone")
    address = f"admit/{given.code.lower()}"
    first, second = let_in(), let_in()
    first.open(address)
    second.open(address).tap("Yes, this one")
    late = first.tap("Yes, this one")

    assert (404, True) == (late.status, "ask a foreman for a new one" in late.text)


def test_a_code_ends_after_ten_minutes(let_in: LetIn, yard: Any) -> None:
    """As it says."""
    phone = let_in()
    given = invite(yard.workshop, Say(yard.foreman, came=Came("terminal")), "phone")
    yard.later(minutes=11)

    assert 404 == phone.open(f"admit/{given.code.lower()}").status


def test_whoever_was_not_let_in_sees_records_alone(bench: str, let_in: LetIn, yard: Any) -> None:
    """A stranger is told who lets devices in; nothing of the bench stands on that page."""
    stranger = let_in()
    stranger.cookies.clear()
    page = stranger.open("bench")

    assert (403, True) == (page.status, "A foreman lets in a phone or tablet once" in page.text)
    assert yard.vehicle not in page.page
    assert bench.startswith("http://")


def test_number_and_pin_lead_to_the_page_that_was_asked_for(let_in: LetIn, yard: Any) -> None:
    """Whoever scans a label before signing in comes to its motorcycle after it."""
    phone = let_in().open(f"vehicle/{yard.vehicle}")
    assert "Sign in" in phone.text

    phone.tap("Sign in", person="p2", pin="314159")
    assert phone.address.endswith(f"/vehicle/{yard.vehicle.lower()}")
    assert "P-2 on D-1" in phone.text


def test_a_foreman_who_signs_in_sees_what_is_to_be_decided(let_in: LetIn) -> None:
    """A mechanic sees the motorcycles; each came to sign in, and asked for no page."""
    phone = let_in()
    first = {person: urlsplit(phone.sign_in(person).address).path for person in ("P-1", "P-2")}

    assert {"P-1": "/today", "P-2": "/bench"} == first


@pytest.mark.parametrize("wanted", ["//elsewhere.example/", "https://elsewhere.example/", "../../x", "bench//x"])
def test_signing_in_leads_to_pages_of_this_server_alone(let_in: LetIn, wanted: str) -> None:
    """Whatever the address says that led there."""
    phone = let_in().open(f"sign?next={wanted}").tap("Sign in", person="P-2", pin="314159")

    assert phone.address.endswith("/bench")


def test_signing_in_leads_back_to_the_whole_of_an_address(let_in: LetIn) -> None:
    """What stands behind a “&”, and a word with a colon or a stroke in it, are of the page that was asked for."""
    phone = let_in().open("job/1/concede/job?rule=some_rule&subject=job%2F1%3Aaxle")
    phone.tap("Sign in", person="P-2", pin="314159")

    assert phone.address.endswith("/job/1/concede/job?rule=some_rule&subject=job%2F1%3Aaxle")


def test_a_wrong_pin_says_no_more_than_that(let_in: LetIn) -> None:
    """The same of a number that nobody has."""
    phone = let_in().open("sign")
    wrong = phone.tap("Sign in", person="P-2", pin="000001").text
    nobody = phone.tap("Sign in", person="P-77", pin="000001").text

    assert "This number and this PIN do not belong together" in wrong
    assert wrong == nobody


def test_five_wrong_ones_lock_until_a_foreman_unlocks(let_in: LetIn, yard: Any) -> None:
    """The foreman sees it on their own page, and it is an entry."""
    phone, desk = let_in(), let_in("desk")
    phone.open("sign")
    for _ in range(5):
        phone.tap("Sign in", person="P-2", pin="000001")
    assert "is locked after 5 wrong PINs" in phone.tap("Sign in", person="P-2", pin="314159").text

    desk.sign_in("P-1").open("devices").tap("Unlock D-1").tap("Unlock P-2")
    phone.open("sign").tap("Sign in", person="P-2", pin="314159")
    assert "P-2 on D-1" in phone.text
    kinds = [each.kind for each in yard.workshop.book.entries("person/P-2")]
    assert ["entered.1", "pin_set.1", "unlocked.1"] == kinds


def test_what_is_refused_on_the_page_of_devices_is_said_at_its_field(let_in: LetIn) -> None:
    """What was typed stays, but a PIN, which no page shows again."""
    desk = let_in("desk").sign_in("P-1").open("devices").tap("Show its code", name="Basto Quill's phone")
    assert (422, True) == (desk.status, 'value="Basto Quill&#39;s phone"' in desk.page)
    assert 'id="name-wrong">' in desk.page
    desk.tap("Set the PIN of P-2", pin="123456")
    assert (422, True) == (desk.status, 'id="pinP-2-wrong">Anybody would guess this PIN' in desk.page)
    assert "123456" not in desk.page


def test_a_form_of_the_page_of_devices_that_is_sent_twice_records_once(let_in: LetIn, yard: Any) -> None:
    """The answer was lost; with other words it is not taken for the first one. A PIN stays as it was typed last."""
    phone, desk = let_in(), let_in("desk").sign_in("P-1").open("devices")
    form, button = desk.form_of("Withdraw D-1")
    for why, status in (("left on a train", 200), ("left on a train", 200), ("found again", 409)):
        desk.open("devices").send(form, button, {"why": why})
        assert status == desk.status, desk.text
    assert "This form was sent before, with other words" in desk.text
    form, button = desk.open("devices").form_of("Set the PIN of P-2")
    for pin in ("271801", "141421"):
        desk.open("devices").send(form, button, {"pin": pin})
    entries = [each.kind for number in ("device/D-1", "person/P-2") for each in yard.workshop.book.entries(number)]

    assert ["device_admitted.1", "device_withdrawn.1"] == entries[:2]
    assert 403 == phone.open("bench").status
    desk.open("leave").tap("Sign out: change the person")
    assert "P-2 on D-2" in desk.tap("Sign in", person="P-2", pin="141421").text


def test_after_ten_idle_minutes_the_pin_is_asked_again(let_in: LetIn, yard: Any) -> None:
    """Before anything is shown; somebody else can take the tablet."""
    phone = let_in().sign_in("P-2")
    yard.later(minutes=10)
    phone.open("bench")
    assert "Tell the PIN of P-2 again" in phone.text

    phone.tap("Sign in", pin="314159")
    assert (200, True) == (phone.status, phone.address.endswith("/bench"))
    yard.later(minutes=10)
    phone.open("bench").tap("Somebody else").tap("Sign in", person="P-1", pin="271828")
    assert "P-1 on D-1" in phone.text


def test_a_withdrawn_device_opens_nothing_more(let_in: LetIn, yard: Any) -> None:
    """At once, also in the middle of a job."""
    phone = let_in().sign_in("P-2")
    withdraw_device(yard.workshop, Say(yard.foreman), "D-1", "left on a train")

    assert 403 == phone.open("bench").status


def test_a_page_reads_once_whether_its_device_was_let_in(let_in: LetIn, book: Path, clock: list[datetime]) -> None:
    """For every page that somebody opens who is signed in."""
    phone, read = let_in().sign_in("P-2"), []

    def counted(frame: FrameType, event: str, _: object) -> None:
        if event == "call" and frame.f_code is fold_device.__code__:
            read.append(frame.f_code)

    with create_app(book, lambda: clock[0]) as app:
        asked = app.test_client()
        for each in phone.cookies:
            asked.set_cookie(each.name, each.value or "")
        sys.setprofile(counted)
        try:
            answer = asked.get("/token")
        finally:
            sys.setprofile(None)

    assert ("P-2", 1) == (answer.json and answer.json["person"], len(read))


def test_who_has_left_is_signed_out(let_in: LetIn, yard: Any) -> None:
    """And cannot come back in."""
    phone = let_in().sign_in("P-2")
    end_person(yard.workshop, "P-2", None, "", Say(yard.foreman))

    phone.open("bench")
    assert "do not belong together" in phone.tap("Sign in", person="P-2", pin="314159").text


def test_a_foreman_lets_in_a_device_from_the_page(let_in: LetIn) -> None:
    """The code stands there once, as a symbol and as an address."""
    desk = let_in("desk").sign_in("P-1").open("devices").tap("Show its code", name="tablet at lift 3")
    code = re.search("/admit/([a-z2-7]{26})", desk.page)
    phone = let_in("another")
    phone.cookies.clear()
    phone.open(f"admit/{code[1] if code else ''}")

    assert "<svg" in desk.page
    assert "P-1 invites a device called tablet at lift 3" in phone.text
    assert "D-3" in phone.tap("Yes, this one").text


def test_ones_own_tag_spares_the_number(let_in: LetIn, yard: Any) -> None:
    """The address that is printed on it, in whatever case; the PIN is typed, and nothing else."""
    address = urlsplit(persons_tag("P-2", yard.workshop.settings).address).path
    phone = let_in().open(address.upper()).tap("Sign in", pin="314159")

    assert ("/bench", True) == (urlsplit(phone.address).path, "P-2 on D-1" in phone.text)


def test_a_photo_of_ones_tag_opens_signing_in_with_its_number(let_in: LetIn, yard: Any, photo_of: PhotoOf) -> None:
    """From the page for signing in, and from the bench of whoever holds the tablet; the PIN is asked in any case."""
    tag = photo_of(persons_tag("P-2", yard.workshop.settings).address)
    phone = let_in().open("sign").send_photo("Read the tag", tag).tap("Sign in", pin="314159")
    assert "P-2 on D-1" in phone.text
    phone.sign_in("P-1").open("bench").send_photo("Read the label", tag)

    assert "P-1 is signed in here. Whoever signs in now takes over." in phone.text
    assert "P-2 on D-1" in phone.tap("Sign in", pin="314159").text


def test_a_photo_of_a_tag_opens_nothing_to_strangers_and_none_of_another_workshop(
    let_in: LetIn, photo_of: PhotoOf
) -> None:
    """A stranger does not learn either who works here: any number is answered alike."""
    stranger = let_in("lost")
    stranger.cookies.clear()
    for number in ("p-2", "p-99"):
        stranger.open("").send_photo("Read the photo", photo_of(f"http://bench.example/sign/{number}"))
        assert (403, True) == (stranger.status, "This device was not let in" in stranger.text)
    phone = let_in().open("sign").send_photo("Read the tag", photo_of("http://other.example/sign/p-2"))

    assert (422, True) == (phone.status, "in another workshop is somebody else" in phone.text)


def test_a_tag_changes_the_person_in_one_step(let_in: LetIn) -> None:
    """Nobody is signed in by a number alone; with the PIN they take the tablet over from whoever had it."""
    phone = let_in().sign_in("P-1").open("sign/p-2")
    assert "P-1 is signed in here. Whoever signs in now takes over." in phone.text
    assert "P-1 on D-1" in phone.open("bench").text

    phone.open("sign/p-2").tap("Sign in", pin="271828")
    assert "do not belong together" in phone.text
    phone.tap("Sign in", pin="314159")
    assert "P-2 on D-1" in phone.text


def test_whoever_is_at_work_goes_on_where_their_own_tag_is_scanned(let_in: LetIn, yard: Any) -> None:
    """And tells the PIN again where the session sleeps."""
    phone = let_in().sign_in("P-2").open("sign/p-2")
    assert phone.address.endswith("/bench")
    yard.later(minutes=10)
    phone.open("sign/p-2")
    assert "Tell the PIN of P-2 again" in phone.text

    assert phone.tap("Sign in", pin="314159").address.endswith("/bench")


def test_a_pin_is_changed_by_whoever_knows_the_old_one(let_in: LetIn) -> None:
    """And everybody is signed out who used it."""
    phone = let_in().sign_in("P-2").open("leave")
    phone.tap("Change the PIN", pin="314159", new="835219", again="835210")
    assert "The two new PINs differ" in phone.text
    phone.tap("Change the PIN", pin="314159", new="835219", again="835219")
    phone.tap("Sign in", person="P-2", pin="314159")
    assert "do not belong together" in phone.text
    assert "P-2 on D-1" in phone.tap("Sign in", person="P-2", pin="835219").text
