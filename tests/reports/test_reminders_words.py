"""The words of the day: mail, card and the label's page say the same of it, and none calls a past day one to come."""

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Any

import pytest

from torqueaudit.model.act import Say
from torqueaudit.model.recheck.reminders import ReminderKind
from torqueaudit.model.shown.reminder import Contact, Post
from torqueaudit.web.owner_page import owner_page
from torqueaudit.workshop.recheck.owner import owner_view
from torqueaudit.workshop.recheck.reminding import reminder_of_job
from torqueaudit.workshop.recheck.road import report_ride
from torqueaudit.workshop.recheck.sending import remind
from torqueaudit.workshop.vehicles.contact import agree_contact
from torqueaudit_plugins.mail.words import DEMO, body, paragraphs

if TYPE_CHECKING:
    from email.message import EmailMessage

FIRST = datetime(2031, 4, 1, 10, tzinfo=UTC)
BOTH = "by Tuesday 15 April or at 1 100 km"


def plain(text: str) -> str:
    return " ".join(text.replace("\N{NO-BREAK SPACE}", " ").split())


def said_on(yard: Any, job: str, day: int) -> tuple[str, str]:
    """What a mail and a card say so many days after the first."""
    taken: list[EmailMessage] = []
    yard.clock.now = FIRST + timedelta(days=day)
    remind(yard.workshop, Post("yard@yard.example", taken.append))
    (mail,) = taken
    part = mail.get_body(("plain",))
    assert part is not None
    card = " ".join(sentence for each in body(reminder_of_job(yard.workshop, job)) for sentence in each.sentences)
    return plain(f"{mail['Subject']} {part.get_content()}"), plain(card)


@pytest.mark.parametrize(
    ("day", "ridden", "says"),
    [
        (0, 0, f"Come back {BOTH}, whichever comes first."),
        (14, 0, "The re-check is due today, Tuesday 15 April."),
        (17, 0, f"The re-check was due {BOTH}."),
        (30, 0, f"The re-check was due {BOTH}."),
        (5, 1_110_000, "The re-check was due at 1 100 km."),
        (5, 1_200_000, "The re-check was due at 1 100 km."),
    ],
    ids=["to come", "today", "in its grace", "missed", "ridden", "ridden too far"],
)
def test_a_day_is_told_as_it_stands(yard: Any, day: int, ridden: int, says: str) -> None:
    vehicle = yard.vehicle("red tourer")
    agree_contact(yard.workshop, vehicle, Contact(mail="owner@home.example"), Say("P-2"))
    job = str(yard.clean(vehicle))
    if ridden:
        yard.clock.now = FIRST + timedelta(days=day)
        report_ride(yard.workshop, job, ridden, "", Say("owner"))
    mail, card = said_on(yard, job, day)
    page = owner_page(owner_view(yard.workshop, job))

    assert says in mail
    assert says in card
    assert day == 0 or "come back by" not in f"{mail} {card}".lower()
    assert day == 0 or says == plain(f"The re-check {page.due}.")


def test_a_mail_of_an_invented_workshop_says_so_before_all_else(yard: Any) -> None:
    """Also where it asks for the distance."""
    vehicle = yard.vehicle("red tourer")
    job = str(yard.clean(vehicle))
    reminder = reminder_of_job(yard.workshop, job)
    asks = reminder._replace(kind=ReminderKind.RIDDEN, view=reminder.view._replace(demo=True))

    assert [DEMO, "Tell us what the odometer shows:"] == [each.sentences[0] for each in paragraphs(asks)][:2]
