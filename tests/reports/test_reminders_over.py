"""What an owner reads who is waited for no more: what the label's page says, and "settled" of what was done alone."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from email.message import EmailMessage
from typing import Any

import pytest

from torqueaudit.model.act import Say
from torqueaudit.model.shown.reminder import Contact, Post
from torqueaudit.workshop.recheck.arranging import refuse_recheck
from torqueaudit.workshop.recheck.owner import owner_view
from torqueaudit.workshop.recheck.road import recheck
from torqueaudit.workshop.recheck.sending import remind
from torqueaudit.workshop.vehicles.contact import agree_contact
from torqueaudit.workshop.vehicles.gone import gone

FIRST = datetime(2031, 4, 1, 10, tzinfo=UTC)


def send(yard: Any, day: int) -> list[EmailMessage]:
    """The mails of one run so many days after the first."""
    taken: list[EmailMessage] = []
    yard.clock.now = FIRST + timedelta(days=day)
    remind(yard.workshop, Post("yard@yard.example", taken.append))
    return taken


def text_of(mail: EmailMessage) -> str:
    """All that a reader finds, in one line."""
    parts = [part.get_content() for part in mail.walk() if part.get_content_maintype() == "text"]
    told = "".join(each.replace("\r\n ", "").replace("\\,", ",") for each in parts)
    return " ".join(f"{mail['Subject']} {told}".split())


def refused(yard: Any, job: str) -> None:
    refuse_recheck(yard.workshop, job, "no time", Say("P-2"))


def is_gone(yard: Any, job: str) -> None:
    gone(yard.workshop, yard.workshop.record(job).vehicle, "sold", Say("P-1"))


@pytest.mark.parametrize(
    ("end", "day", "subject", "says"),
    [
        (refused, 5, "red tourer: no re-check", "You told us that you do not want it. You may come all the same."),
        (refused, 16, "red tourer: come back", "The re-check was not done and is overdue. Call us, or have it done"),
        (is_gone, 5, "red tourer: not with us", "its re-check was never done"),
        (is_gone, 16, "red tourer: not with us", "its re-check was never done. Have it done by a workshop before"),
    ],
)
def test_what_was_never_done_is_not_called_settled(
    yard: Any, end: Callable[[Any, str], None], day: int, subject: str, says: str
) -> None:
    """Refused, or gone: the mail says what the label's page says, also where the day is past."""
    vehicle = yard.vehicle("red tourer")
    agree_contact(yard.workshop, vehicle, Contact(mail="owner@home.example"), Say("P-2"))
    job = yard.clean(vehicle)
    assert 1 == len(send(yard, 0))
    yard.clock.now = FIRST + timedelta(days=day)
    end(yard, job)
    (mail,) = send(yard, day)
    view = owner_view(yard.workshop, job)

    assert subject == mail["Subject"]
    assert says in text_of(mail)
    assert view.no_day.headline in text_of(mail)
    assert view.no_day.says in text_of(mail)
    assert "settled" not in text_of(mail)


def test_what_was_done_is_settled(yard: Any) -> None:
    vehicle = yard.vehicle("red tourer")
    agree_contact(yard.workshop, vehicle, Contact(mail="owner@home.example"), Say("P-2"))
    job = yard.clean(vehicle)
    send(yard, 0)
    yard.clock.now = FIRST + timedelta(days=5)
    yard.see_at_the_bench(job)
    recheck(yard.workshop, job, 1_080_000, "", Say("P-2"))
    yard.left(job, 1080, released=False)
    (mail,) = send(yard, 5)

    assert "red tourer: the re-check is settled" == mail["Subject"]
    assert "The re-check was done. Its day is taken out of your calendar." in text_of(mail)
