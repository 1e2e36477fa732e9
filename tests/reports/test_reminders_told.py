"""What an owner was told already: nothing is told twice, and what was taken back is told anew."""

from datetime import UTC, date, datetime, timedelta
from email.message import EmailMessage
from typing import Any

import vobject

from torqueaudit.model.act import Say
from torqueaudit.model.job.acts import Postponement
from torqueaudit.model.shown.reminder import Contact, Post
from torqueaudit.workshop.jobs.strikes import strike
from torqueaudit.workshop.recheck.arranging import postpone_recheck
from torqueaudit.workshop.recheck.road import report_ride
from torqueaudit.workshop.recheck.sending import remind
from torqueaudit.workshop.vehicles.contact import agree_contact

FIRST = datetime(2031, 4, 1, 10, tzinfo=UTC)


def with_owner(yard: Any) -> str:
    """A motorcycle that left, and whose owner agreed to mails; the number of its job."""
    vehicle = yard.vehicle("red tourer")
    agree_contact(yard.workshop, vehicle, Contact(mail="owner@home.example"), Say("P-2"))
    return str(yard.clean(vehicle))


def send(yard: Any, day: int, hour: int = 0) -> list[EmailMessage]:
    """The mails of one run so many days after the first."""
    taken: list[EmailMessage] = []
    yard.clock.now = FIRST + timedelta(days=day, hours=hour)
    remind(yard.workshop, Post("yard@yard.example", taken.append))
    return taken


def subjects(mails: list[EmailMessage]) -> list[str]:
    return [str(each["Subject"]).removeprefix("red tourer: ") for each in mails]


def event_of(mail: EmailMessage) -> tuple[str, int, str]:
    """Method, SEQUENCE and status of the day in a mail, as another implementation reads it."""
    part = next(each for each in mail.walk() if each.get_content_type() == "text/calendar")
    read = vobject.readOne(part.get_content())
    return read.method.value, int(read.vevent.sequence.value), read.vevent.status.value


def take_back(yard: Any, job: str, kind: str) -> None:
    """Strike the last entry of a kind."""
    (*_, entry) = (each for each in yard.workshop.book.entries(f"job/{job}") if each.kind == kind)
    strike(yard.workshop, job, entry.sequence, "told by mistake", Say("P-1"))


def test_a_ride_that_is_taken_back_tells_nobody_the_same_again(yard: Any) -> None:
    """The day rests on the leaving alone."""
    job = with_owner(yard)
    assert ["come back by Tuesday 15 April"] == subjects(send(yard, 0))
    report_ride(yard.workshop, job, 1_040_000, "", Say("owner"))
    take_back(yard, job, "ridden.2")

    assert [] == send(yard, 1)


def test_a_day_that_was_put_off_by_mistake_is_not_told_again(yard: Any) -> None:
    """Its owner knows the day that holds again."""
    job = with_owner(yard)
    send(yard, 0)
    postpone_recheck(yard.workshop, job, Postponement(date(2031, 6, 1), None, "on tour"), Say("P-1"))
    take_back(yard, job, "recheck_postponed.1")

    assert [] == send(yard, 1)
    assert ["how far have you ridden?"] == subjects(send(yard, 2))
