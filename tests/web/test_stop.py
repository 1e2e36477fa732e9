"""The link in a mail that ends all reminders: by a button, or by a reader's program, and never by being looked at."""

from collections.abc import Iterator
from pathlib import Path
from random import Random

import pytest

from torqueaudit.model.act import Say
from torqueaudit.model.shown.reminder import Contact
from torqueaudit.testing import Clock
from torqueaudit.web.app import RecordServer, create_app
from torqueaudit.workshop.vehicles.contact import agree_contact, contact_of, stop_token_of

OWNER = "owner@home.example"


@pytest.fixture
def app(ready_made_book: Path, tmp_path: Path) -> Iterator[RecordServer]:
    """The pages of a book in which one owner agreed to be reminded."""
    path = tmp_path / "yard.book"
    path.write_bytes(ready_made_book.read_bytes())
    with create_app(path, clock=Clock(), chance=Random(3)) as app:
        agree_contact(app.workshop, "V-1", Contact(mail=OWNER), Say("P-2"))
        yield app


def link(app: RecordServer) -> str:
    return f"/stop/{stop_token_of(app.workshop, 'V-1')}"


def test_looking_at_the_link_ends_nothing(app: RecordServer) -> None:
    """As a program does that looks through mails."""
    page = app.test_client().get(link(app))

    assert (200, Contact(mail=OWNER)) == (page.status_code, contact_of(app.workshop, "V-1"))
    assert "Stop all reminders" in page.text
    assert OWNER not in page.text
    assert "no-store" == page.headers["Cache-Control"]


@pytest.mark.parametrize("form", [{}, {"List-Unsubscribe": "One-Click"}], ids=["the button", "RFC 8058"])
@pytest.mark.parametrize("kind", ["application/x-www-form-urlencoded", "multipart/form-data"])
def test_a_button_ends_them_at_once_and_a_readers_program_does(
    app: RecordServer, form: dict[str, str], kind: str
) -> None:
    """An entry of the owner's own; the address is gone, and the link ends nothing more. RFC 8058, 3.1 and 3.2."""
    client, address = app.test_client(), link(app)
    page = client.post(address, data=form, content_type=kind)
    entry = app.workshop.book.entries("vehicle/V-1")[-1]

    assert 200 == page.status_code
    assert "You get no reminder any more" in page.text
    assert Contact() == contact_of(app.workshop, "V-1")
    assert ("contact_ended.1", "owner", "by the link") == (entry.kind, entry.who, entry.said["what"])
    assert ("page", "mail") == (entry.judged["door"], entry.judged["proof"])
    assert [404, 404] == [client.get(address).status_code, client.post(address).status_code]


@pytest.mark.parametrize("token", ["0" * 32, "a", "%20", "'"])
def test_a_link_that_nobody_has_ends_nothing(app: RecordServer, token: str) -> None:
    client = app.test_client()

    assert [404, 404] == [client.get(f"/stop/{token}").status_code, client.post(f"/stop/{token}").status_code]
    assert Contact(mail=OWNER) == contact_of(app.workshop, "V-1")


def test_another_sites_page_ends_nothing(app: RecordServer) -> None:
    """A form that another page sends."""
    page = app.test_client().post(link(app), headers={"Sec-Fetch-Site": "cross-site"})

    assert page.status_code in {400, 403}
    assert Contact(mail=OWNER) == contact_of(app.workshop, "V-1")


def test_a_new_yes_has_a_new_link(app: RecordServer) -> None:
    """Whoever has an old mail ends nothing of the new owner's."""
    before = link(app)
    agree_contact(app.workshop, "V-1", Contact(mail="new@home.example"), Say("P-2"))

    assert 404 == app.test_client().post(before).status_code
    assert before != link(app)
