"""What an owner was told already: nothing is told twice, and what was taken back is told anew."""

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from email.message import EmailMessage
from typing import Any

import pytest
import vobject

from torqueaudit.model.act import Say
from torqueaudit.model.job.acts import Postponement
from torqueaudit.model.shown.reminder import Contact, NotSent, Post
from torqueaudit.workshop.jobs.strikes import strike
from torqueaudit.workshop.recheck.arranging import postpone_recheck, refuse_recheck
from torqueaudit.workshop.recheck.road import recheck, report_ride
from torqueaudit.workshop.recheck.sending import remind
from torqueaudit.workshop.vehicles.contact import NEW_OWNER, agree_contact, end_contact
from torqueaudit.workshop.vehicles.corrections import strike_of_vehicle
from torqueaudit.workshop.vehicles.gone import gone

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


def new_owner(yard: Any, address: str = "second@home.example") -> None:
    end_contact(yard.workshop, "V-1", NEW_OWNER, Say("P-2"))
    agree_contact(yard.workshop, "V-1", Contact(mail=address), Say("P-2"))


@pytest.mark.parametrize(
    ("day", "says"),
    [(1, "come back by Tuesday 15 April"), (15, "it is time for the re-check"), (30, "the re-check is overdue")],
)
def test_a_new_owner_is_reminded_from_where_the_re_check_stands(yard: Any, day: int, says: str) -> None:
    """Whatever the old one was told, also on the day before."""
    job = with_owner(yard)
    report_ride(yard.workshop, job, 1_040_000, "", Say("owner"))
    for earlier in range(day):
        send(yard, earlier)
    new_owner(yard)
    mails = send(yard, day)

    assert [("second@home.example", says)] == [(each["To"], *subjects([each])) for each in mails]
    assert [] == send(yard, day + 1)


def test_what_waits_for_the_old_owner_is_not_sent_to_the_new_one(yard: Any) -> None:
    """Nobody knows whether the old one has read it: a reader's program may drop what has an id it knows."""
    with_owner(yard)
    old: list[EmailMessage] = []

    def breaks_off(mail: EmailMessage) -> None:
        old.append(mail)
        raise NotSent("the server broke off", unsure=True)

    yard.clock.now = FIRST
    remind(yard.workshop, Post("yard@yard.example", breaks_off))
    new_owner(yard)
    mails = [mail for day in (0, 1) for mail in send(yard, day, hour=1)]

    assert [("second@home.example", "come back by Tuesday 15 April")] == [
        (each["To"], *subjects([each])) for each in mails
    ]
    assert old[0]["Message-ID"] != mails[0]["Message-ID"]


def test_no_day_is_taken_from_a_new_owner_who_was_told_none(yard: Any) -> None:
    """The old one's calendar is not theirs."""
    job = with_owner(yard)
    send(yard, 0)
    new_owner(yard)
    refuse_recheck(yard.workshop, job, "no time", Say("P-2"))

    assert [] == send(yard, 1)


def refused(yard: Any, job: str) -> Callable[[], object]:
    """The owner does not want the re-check; how that is taken back."""
    refuse_recheck(yard.workshop, job, "no time", Say("P-2"))
    return lambda: take_back(yard, job, "recheck_refused.1")


def is_gone(yard: Any, job: str) -> Callable[[], object]:
    gone(yard.workshop, yard.workshop.record(job).vehicle, "sold", Say("P-1"))
    told = yard.workshop.book.entries("vehicle/V-1")[-1]
    return lambda: strike_of_vehicle(yard.workshop, "V-1", told.sequence, "it is here", Say("P-1"))


def is_done(yard: Any, job: str) -> Callable[[], object]:
    """It came, was looked at, and left again."""
    yard.see_at_the_bench(job)
    recheck(yard.workshop, job, 1_080_000, "", Say("P-2"))
    yard.left(job, 1080, released=False)
    return lambda: take_back(yard, job, "rechecked.2")


@pytest.mark.parametrize("over", [refused, is_gone, is_done])
def test_a_day_that_was_taken_out_of_a_calendar_comes_again(yard: Any, over: Callable[..., Any]) -> None:
    """Each time its cause is taken back: RFC 5546, 2.1.4, the higher SEQUENCE holds."""
    job = with_owner(yard)
    told = send(yard, 0)
    for day in (4, 8):
        yard.clock.now = FIRST + timedelta(days=day)
        back = over(yard, job)
        told += send(yard, day)
        back()
        told += send(yard, day + 1)
    days = [event_of(each) for each in told]

    assert ["PUBLISH", "CANCEL", "PUBLISH", "CANCEL", "PUBLISH"] == [method for method, _, _ in days]
    assert ["CONFIRMED", "CANCELLED", "CONFIRMED", "CANCELLED", "CONFIRMED"] == [status for _, _, status in days]
    assert sorted({number for _, number, _ in days}) == [number for _, number, _ in days]
