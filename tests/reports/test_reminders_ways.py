"""An owner who agreed to mails and to messages is reached by one where the other fails, and once a day at most."""

import sys
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from email.message import EmailMessage
from importlib.metadata import EntryPoint, entry_points
from pathlib import Path
from typing import Any

import pytest

from torqueaudit.model.act import Say
from torqueaudit.model.job.acts import Postponement
from torqueaudit.model.shown.reminder import Contact, NotSent, Post
from torqueaudit.plugins import GROUP, Plugins
from torqueaudit.workshop.jobs.strikes import strike
from torqueaudit.workshop.night.night import night_of
from torqueaudit.workshop.recheck.arranging import postpone_recheck, refuse_recheck
from torqueaudit.workshop.recheck.sending import Run, remind
from torqueaudit.workshop.register.settings import settle
from torqueaudit.workshop.vehicles.contact import agree_contact

FIRST = datetime(2031, 4, 1, 10, tzinfo=UTC)
BOTH = Contact(mail="owner@home.example", mobile="+436600000000")
BY_MESSAGE = """
from torqueaudit.plugin import SentBy, hookimpl
taken, fails = [], []

@hookimpl
def send_reminder(reminder, contact):
    if not contact.mobile:
        return None
    if fails:
        raise fails[0]
    taken.append(reminder.id)
    return SentBy("message")
"""
BUSY, UNSURE = NotSent("it will not now"), NotSent("it broke off", unsure=True)
NONE_THERE = NotSent("there is no such address", lasting=True)
BROKEN = RuntimeError("broken")


class Ways:
    """Both ways of a yard: what each takes, and how each fails."""

    def __init__(self, yard: Any, messages: Any) -> None:
        self.yard, self.messages = yard, messages
        self.mails: list[EmailMessage] = []
        self.mail_fails: Exception | None = None

    def send(self, mail: EmailMessage) -> None:
        if self.mail_fails:
            raise self.mail_fails
        self.mails.append(mail)

    def run(self, hours: float, *, mail_fails: Exception | None = None, message_fails: Exception | None = None) -> Run:
        """Remind so many hours after the first time."""
        self.mail_fails, self.messages.fails[:] = mail_fails, [message_fails] if message_fails else []
        self.yard.clock.now = FIRST + timedelta(hours=hours)
        return remind(self.yard.workshop, Post("yard@yard.example", self.send))

    @property
    def taken(self) -> tuple[int, int]:
        """How many mails and messages."""
        return len(self.mails), len(self.messages.taken)


@pytest.fixture
def ways(yard: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Ways]:
    """A plugin that sends short messages stands beside the bundled ones; it may be asked before them by its name."""
    module = f"by_message_{tmp_path.name}".replace("-", "_")
    (tmp_path / f"{module}.py").write_text(BY_MESSAGE, encoding="utf-8")
    monkeypatch.syspath_prepend(tmp_path)
    yard.restart(Plugins([*entry_points(group=GROUP), EntryPoint("by_message", module, GROUP)]))
    settle(yard.workshop, {"quiet_from": 0, "quiet_until": 0}, Say("P-1"))
    yield Ways(yard, sys.modules[module])
    del sys.modules[module]


def left(yard: Any, contact: Contact = BOTH) -> str:
    """A motorcycle that left; the number of its job."""
    vehicle = yard.vehicle("red tourer")
    agree_contact(yard.workshop, vehicle, contact, Say("P-2"))
    return str(yard.clean(vehicle))


def of_reminders(yard: Any) -> list[str]:
    night = night_of(yard.workshop, yard.workshop.today())
    return [line.says for section in night.sections for line in section.lines if "remind" in line.says]


@pytest.mark.parametrize("fault", [BUSY, UNSURE, BROKEN, NONE_THERE], ids=["busy", "unsure", "broken", "none there"])
def test_a_mail_goes_out_however_messages_fail(yard: Any, ways: Ways, fault: Exception) -> None:
    left(yard)
    (told,) = ways.run(0, message_fails=fault).told

    assert ("sent", "mail", (1, 0)) == (told.state, told.says, ways.taken)


@pytest.mark.parametrize("fault", [BUSY, BROKEN, NONE_THERE], ids=["busy", "broken", "none there"])
def test_a_message_goes_out_where_no_mail_does(yard: Any, ways: Ways, fault: Exception) -> None:
    """Once, and the night tells of an address that takes nothing."""
    left(yard)
    (told,) = ways.run(0, mail_fails=fault).told
    night = of_reminders(yard)
    again = ways.run(1)

    assert ("sent", "message", (0, 1), ()) == (told.state, told.says, ways.taken, again.told)
    says = "Its owner was reminded by the second way alone, for there is no such address"
    assert ([says] if fault is NONE_THERE else []) == night


def test_no_message_goes_out_where_the_mail_may_have_been_taken(yard: Any, ways: Ways) -> None:
    """The same mail that comes again is read once."""
    left(yard)
    (first,) = ways.run(0, mail_fails=UNSURE).told
    (second,) = ways.run(1).told

    assert ("handing over", "sent", "mail", (1, 0)) == (first.state, second.state, second.says, ways.taken)


def test_an_owner_whom_neither_reaches_is_tried_again_while_one_may(yard: Any, ways: Ways) -> None:
    """What takes nothing, and what takes nothing now."""
    left(yard)
    (first,) = ways.run(0, mail_fails=NONE_THERE, message_fails=BUSY).told
    (second,) = ways.run(1, mail_fails=NONE_THERE, message_fails=NONE_THERE).told

    assert ("waiting", "there is no such address; it will not now") == (first.state, first.says)
    assert ("refused", "there is no such address") == (second.state, second.says)


def test_who_is_reached_by_messages_alone_keeps_no_mail_waiting(yard: Any, ways: Ways) -> None:
    """Their gateway is away, and more of them than are tried in a row come first."""
    for _ in range(6):
        left(yard, Contact(mobile="+436600000000"))
    left(yard, Contact(mail="owner@home.example"))
    run = ways.run(0, message_fails=BUSY)

    assert (["waiting"] * 5 + ["sent"], 6, (1, 0)) == ([each.state for each in run.told], run.waiting, ways.taken)


def test_a_day_that_is_cleared_and_a_new_leaving_are_two_days(yard: Any, ways: Ways) -> None:
    """One mail took the day out of the calendar this morning; another job leaves at noon."""
    job = left(yard)
    ways.run(0)
    refuse_recheck(yard.workshop, job, "no time", Say("P-2"))
    ways.run(24)
    yard.clean("V-1", "brake")
    counts = [(ways.run(24 + hours), len(ways.mails))[1] for hours in (1, 11, 15)]

    assert [2, 2, 3] == counts  # noon, before and after the workshop's midnight


def test_what_waits_is_not_sent_on_the_day_of_another(yard: Any, ways: Ways) -> None:
    """It was put there in place of one that may have been taken this morning."""
    job = left(yard)
    ways.run(0, mail_fails=UNSURE)
    refuse_recheck(yard.workshop, job, "no time", Say("P-2"))
    same_day = ways.run(2)
    ways.run(24)

    assert ((), 1) == (same_day.told, len(ways.mails))
    assert "no re-check" in str(ways.mails[0]["Subject"])


def test_what_cannot_be_read_is_not_taken_for_sent(yard: Any, ways: Ways) -> None:
    """Nothing went out, so nobody's program drops it; and it is tried after a pause like whatever is not taken."""
    job = left(yard)
    ways.run(0, mail_fails=BUSY, message_fails=BUSY)
    yard.damage(job, '"said"', '"sayd"')
    told = [each.told for each in (ways.run(1), ways.run(1.1))]
    (row,) = yard.workshop.book.outbox.waiting()

    assert [["waiting"], []] == [[each.state for each in run] for run in told]
    assert "waiting" == row.state
    assert (0, 0) == ways.taken


def test_what_may_have_been_taken_once_stays_so(yard: Any, ways: Ways) -> None:
    """A day that may stand in a calendar is taken out of it, also where the last try was refused."""
    job = left(yard, Contact(mail="owner@home.example"))
    ways.run(0, mail_fails=UNSURE)
    ways.run(1, mail_fails=BUSY)
    refuse_recheck(yard.workshop, job, "no time", Say("P-2"))
    for hours in (2, 24):
        ways.run(hours)

    assert ["red tourer: no re-check"] == [str(each["Subject"]) for each in ways.mails]


def test_what_may_have_been_taken_is_sent_once_it_is_wanted_again(yard: Any, ways: Ways) -> None:
    """It was put off for an hour by mistake, and has the same Message-ID."""
    job = left(yard, Contact(mail="owner@home.example"))
    ways.run(0, mail_fails=UNSURE)
    (row,) = yard.workshop.book.outbox.waiting()
    postpone_recheck(yard.workshop, job, Postponement(date(2031, 6, 1), None, "on tour"), Say("P-1"))
    ways.run(1)
    (*_, entry) = yard.workshop.book.entries(f"job/{job}")
    strike(yard.workshop, job, entry.sequence, "told by mistake", Say("P-1"))
    ways.run(24)

    assert [f"<{row.id}@yard.example>"] == [each["Message-ID"] for each in ways.mails]
