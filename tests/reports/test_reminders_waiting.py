"""Reminders that nobody takes: a fault of the workshop's own costs no owner the next one."""

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from email.message import EmailMessage
from typing import Any

import pytest

from torqueaudit.model.act import Say
from torqueaudit.model.shown.reminder import Contact, NotSent, Post
from torqueaudit.workshop.night.night import night_of
from torqueaudit.workshop.recheck.sending import Run, remind
from torqueaudit.workshop.register.settings import settle
from torqueaudit.workshop.vehicles.contact import agree_contact

FIRST = datetime(2031, 4, 1, 10, tzinfo=UTC)
FROM = "yard@yard.example"


def busy(_: EmailMessage) -> None:
    """A server that will not now, whatever it is asked."""
    raise NotSent("the server does not take the mail (code 451)")


def with_owner(yard: Any, contact: Contact) -> str:
    """A motorcycle that left, of an owner who may be reminded at any hour; the number of its job."""
    settle(yard.workshop, {"quiet_from": 0, "quiet_until": 0}, Say("P-1"))
    vehicle = yard.vehicle("red tourer")
    agree_contact(yard.workshop, vehicle, contact, Say("P-2"))
    return str(yard.clean(vehicle))


def tried(yard: Any, send: Callable[[EmailMessage], None] | None, hours: range) -> list[tuple[int, str, str]]:
    """What came of it at each hour since the first at which something was tried."""
    told = []
    for hour in hours:
        yard.clock.now = FIRST + timedelta(hours=hour)
        run = remind(yard.workshop, Post(FROM, send) if send else None)
        told += [(hour, each.kind, each.state.value) for each in run.told]
    return told


def day_hours(first: int, until: int) -> range:
    return range(first * 24, until * 24, 6)


def test_a_reminder_that_was_given_up_is_the_only_one(yard: Any) -> None:
    """A server that was away for ten days: the next are sent in their time, and the night tells of the one."""
    with_owner(yard, Contact(mail="owner@home.example"))
    given_up = tried(yard, busy, day_hours(0, 12))[-1]
    taken: list[EmailMessage] = []
    later = tried(yard, taken.append, day_hours(14, 36))
    night = night_of(yard.workshop, date(2031, 4, 1) + timedelta(hours=given_up[0]))

    assert ("ridden", "given up") == given_up[1:]
    assert ["due", "missed", "weekly", "weekly"] == [kind for _, kind, _ in later]
    assert 4 == len(taken)
    assert [
        ("V-1", "A reminder to its owner was given up, for the server does not take the mail (code 451). Call.")
    ] == [(line.vehicle, line.says) for section in night.sections for line in section.lines if "reminder" in line.says]


def test_what_is_given_up_among_the_overdue_is_followed_by_the_weekly_ones(yard: Any) -> None:
    with_owner(yard, Contact(mail="owner@home.example"))
    taken: list[EmailMessage] = []
    tried(yard, taken.append, day_hours(0, 22))
    tried(yard, busy, day_hours(22, 34))

    assert ["weekly"] == [kind for _, kind, _ in tried(yard, taken.append, day_hours(39, 45))]


@pytest.mark.parametrize("contact", [Contact(mail="owner@home.example"), Contact(mobile="+436600000000")])
def test_where_nobody_can_be_asked_nothing_is_tried(yard: Any, contact: Contact) -> None:
    """No server is named, or no plugin goes by that way: it waits for as long as it takes, and without a pause."""
    with_owner(yard, contact)
    told = tried(yard, None, range(36))
    (row,) = yard.workshop.book.outbox.waiting()

    assert [(hour, "left", "waiting") for hour in range(36)] == told
    assert (0, "") == (row.tries, row.not_before)


def test_the_next_run_sends_once_a_server_is_named(yard: Any) -> None:
    """Within the hour, however long none was."""
    with_owner(yard, Contact(mail="owner@home.example"))
    tried(yard, None, range(35))
    taken: list[EmailMessage] = []

    assert [(35, "left", "sent")] == tried(yard, taken.append, range(35, 36))


def test_owners_whom_no_way_reaches_keep_nobody_waiting(yard: Any) -> None:
    """However many they are."""
    for number in range(7):
        with_owner(yard, Contact(mobile=f"+43660000000{number}"))
    with_owner(yard, Contact(mail="owner@home.example"))
    run: Run = remind(yard.workshop, Post(FROM, lambda _: None))

    assert (8, ["V-8"], 7) == (len(run.told), [each.vehicle for each in run.told if each.state == "sent"], run.waiting)


def waits_in_the_night(yard: Any) -> list[str]:
    night = night_of(yard.workshop, yard.workshop.today())
    return [line.says for section in night.sections for line in section.lines if "wait" in line.says]


def test_the_night_tells_the_foreman_that_no_reminder_goes_out(yard: Any) -> None:
    """No server, or one that will not for about a day; not what is tried again within the hour."""
    for _ in range(2):
        with_owner(yard, Contact(mail="owner@home.example"))
    tried(yard, None, range(2))
    nowhere = waits_in_the_night(yard)
    tried(yard, busy, range(3, 4))
    first = waits_in_the_night(yard)
    tried(yard, busy, range(4, 30))

    assert ["2 reminders wait, for no mail server is named."] == nowhere
    assert [] == first
    assert ["2 reminders wait, for the server does not take the mail (code 451)."] == waits_in_the_night(yard)
    tried(yard, lambda _: None, range(36, 37))
    assert [] == waits_in_the_night(yard)
