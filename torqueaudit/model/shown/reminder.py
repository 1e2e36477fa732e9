"""A reminder to the owner of a vehicle, as a plugin that sends it gets it."""

from datetime import date, datetime
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.recheck.reminders import ReminderKind
from torqueaudit.model.shown.owner import OwnerView

if TYPE_CHECKING:
    from collections.abc import Callable
    from email.message import EmailMessage


class CalendarDay(NamedTuple):
    """The day that the reader's calendar knows a re-check by. `sequence` is higher in each later reminder.

    `day` is None where none was ever told.
    """

    uid: str
    sequence: int
    day: date | None
    cancelled: bool


class Reminder(NamedTuple):
    """What the owner is reminded of: the vehicle in an owner's words, and nothing of the workshop's inside.

    `id` is the same whenever this reminder is sent again, and no other has it. `address` is the page of the label,
    `stop` the one that ends all reminders at once, "" where there is no such page. `asked_at` is an aware moment of the
    workshop's clock.
    """

    id: str
    kind: ReminderKind
    view: OwnerView
    calendar: CalendarDay
    address: str
    stop: str
    asked_at: datetime


class Contact(NamedTuple):
    """How the owner agreed to be reached; "" for a way that was not agreed to."""

    mail: str = ""
    mobile: str = ""  # takes short messages


class SentBy(NamedTuple):
    """A reminder that was taken by whoever carries it further: the way, in one word such as "mail"."""

    way: str


class NotSent(Exception):
    """A reminder was not taken; one sentence says why, and repeats no address.

    `lasting` says that the address takes nothing, whoever sends it; `unsure` that it may have been taken all the same;
    `untried` that nobody was asked to take it, as where no server is named: then it waits without a pause.
    """

    def __init__(self, says: str, *, lasting: bool = False, unsure: bool = False, untried: bool = False) -> None:
        super().__init__(says)
        self.says = says
        self.lasting = lasting
        self.unsure = unsure
        self.untried = untried


class Post(NamedTuple):
    """A mail server: the address that mails come from, and what hands one over, which raises NotSent."""

    sender: str
    send: "Callable[[EmailMessage], None]"
