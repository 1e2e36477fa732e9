"""What somebody may send who means harm, or who sends twice: nothing is recorded that nobody said."""

from typing import Any

import pytest

from torqueaudit.workshop.judged.job_view import show_job

from .phone import LetIn

MARKUP = '"><script>alert(1)</script>'


@pytest.fixture
def phone(let_in: LetIn, yard: Any, procedures: Any) -> Any:
    """Signed in, at the first step of a job."""
    yard.open(procedures / "final-drive.toml")
    return let_in().sign_in("P-2").open("job/1?read=1")


def entries(yard: Any) -> int:
    """How many entries the job has."""
    return len(yard.workshop.book.entries("job/1"))


@pytest.mark.parametrize(
    ("fields", "headers"),
    [
        ({"form": ""}, {}),
        ({"form": "0" * 32}, {}),
        ({}, {"Sec-Fetch-Site": "cross-site"}),
        ({}, {"Sec-Fetch-Site": "same-site"}),
        ({}, {"Origin": "http://elsewhere.example"}),
        ({}, {"Origin": "null"}),
    ],
)
def test_a_form_of_another_page_records_nothing(
    phone: Any, yard: Any, fields: dict[str, str], headers: dict[str, str]
) -> None:
    """Neither without the token of the session nor with what a browser tells of where it comes from."""
    before = entries(yard)
    form, button = phone.form_of("Done")
    phone.send(form, button, fields, headers)

    assert (403, before) == (phone.status, entries(yard))


def test_a_form_sent_twice_records_once(phone: Any, yard: Any) -> None:
    """A double tap, and “back” with a second tap."""
    form, button = phone.form_of("Done")
    phone.send(form, button, {})
    once = entries(yard)
    phone.send(form, button, {})

    assert (200, once) == (phone.status, entries(yard))


def test_an_old_form_with_other_words_says_what_was_recorded(phone: Any, yard: Any) -> None:
    """The id that it carries was used for something else."""
    form, button = phone.form_of("Done")
    other, not_done = phone.form_of("Not done")
    phone.send(form, button, {})
    once = entries(yard)
    phone.address = phone.base + "/job/1"
    phone.send(other, not_done, {"remark": "no stand here"})

    assert (409, once) == (phone.status, entries(yard))
    assert "This form was sent before, with other words" in phone.text


def test_markup_in_a_field_stays_text(phone: Any) -> None:
    """In the echo, in the list of the job, and where it was refused."""
    phone.tap("Not done", remark=MARKUP)
    assert "<script>" not in phone.page
    assert MARKUP in phone.text or "&lt;script&gt;" in phone.page

    assert "<script>" not in phone.open("job/1/work").page


@pytest.mark.parametrize(
    "path", ["job/99", "job/1/steal/x", "job/1/step/nothing", "vehicle/V-99", "job/1/undo/job?done=x", "job/1?done=x"]
)
def test_an_address_that_leads_nowhere_says_so(phone: Any, path: str) -> None:
    """In a sentence, and never as a fault of the program."""
    phone.open(path)

    assert phone.status in (200, 404, 422)
    assert "fault of the program" not in phone.text


def test_what_is_refused_is_said_and_what_was_typed_stays(phone: Any, yard: Any) -> None:
    """The odometer that cannot be, beside a tick that says one is sure."""
    phone.open("job/1/hand-over/job").tap("It has left", odometer="12", why="towed away")

    assert 422 == phone.status
    assert 'value="12"' in phone.page
    assert "Not recorded" in phone.page
    assert not show_job(yard.workshop, "1").hand_over


def test_nothing_personal_is_kept_by_a_browser(phone: Any) -> None:
    """No page of the bench is cached, framed or indexed, and it runs no script but this server's own."""
    assert "no-store" == phone.headers["Cache-Control"]
    policy = phone.headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    cookies = {each.name: each for each in phone.cookies}
    assert {"device", "session"} == set(cookies)
    assert all(each.has_nonstandard_attr("HttpOnly") for each in cookies.values())
    assert {"Strict"} == {each.get_nonstandard_attr("SameSite") for each in cookies.values()}
