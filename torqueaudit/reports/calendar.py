"""A re-check as an event of a calendar (RFC 5545), for the file that a page gives and for a part of a mail.

An event keeps its UID for as long as it is about the same leaving. What is sent later has the higher SEQUENCE and takes
the place of what was sent before; a cancelled one takes it away.
"""

from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.recheck.due import uid_of
from torqueaudit.model.shown.owner import OwnerView, Safety, when_back

if TYPE_CHECKING:
    from icalendar import Alarm
    from icalendar import Event as Entered

MADE_BY = "-//torqueaudit//re-check//EN"
MEDIA_TYPE = "text/calendar; charset=utf-8"
REMINDS = timedelta(hours=6)  # before the day begins: at six in the evening before
DAY = timedelta(days=1)


class Event(NamedTuple):
    """A day on which somebody is expected. `sequence` only ever rises; `asked_at` is an aware moment.

    `address` is that of a page which says more, "" where there is none.
    """

    uid: str
    sequence: int
    day: date
    title: str
    says: str
    asked_at: datetime
    address: str = ""
    cancelled: bool = False


def recheck_event(view: OwnerView, address: str, asked_at: datetime) -> Event | None:
    """The re-check that an owner is waited for with; None where no day of it is told. `address` is the label's."""
    back = view.back
    if back is None or back.due_on is None:
        return None
    when = when_back(view).first_of_both
    stopped = view.safety is Safety.DO_NOT_RIDE
    first = "Do not ride: call us first." if stopped else "Look at the painted lines before you ride."
    call = f" Telephone {view.telephone}." if view.telephone else ""
    return Event(
        uid=uid_of(back.token, back.leaving),
        sequence=back.sequence,
        day=back.due_on,
        title=f"Re-check of the {view.tag} at {view.workshop}",
        says=f"{when[0].upper()}{when[1:]}. {first}{call}",
        asked_at=asked_at,
        address=address,
    )


def calendar_file(event: Event, method: str = "", organizer: str = "") -> bytes:
    """The event as a calendar of its own, which takes the whole day and keeps nobody from other things on it.

    A part of a mail tells its `method` (RFC 5546: "PUBLISH", or "CANCEL" where the event is cancelled) and, as the
    standard asks then, by which mail address it is sent.
    """
    from icalendar import Calendar, vCalAddress  # nobody else waits for it

    calendar = Calendar()
    calendar.add("prodid", MADE_BY)
    calendar.add("version", "2.0")
    if method:
        calendar.add("method", method)
    entered = _entered(event)
    if organizer:
        entered.add("organizer", vCalAddress(f"mailto:{organizer}"))
    calendar.add_component(entered)
    file: bytes = calendar.to_ical()
    return file


def cancelled_file(data: bytes) -> bytes:
    """A file of before whose day is waited for no more: the same event, cancelled. What is none stays as it is."""
    from icalendar import Calendar

    try:
        calendar = Calendar.from_ical(data)
    except ValueError:
        return data
    events = [event for event in calendar.walk("VEVENT") if event.get("status") != "CANCELLED"]
    for event in events:
        event["status"], event["sequence"] = "CANCELLED", int(event.get("sequence", 0)) + 1
        event.subcomponents.clear()
    file: bytes = calendar.to_ical()
    return file if events else data


def _entered(event: Event) -> "Entered":
    from icalendar import Event as Entered

    entered = Entered()
    entered.add("uid", event.uid)
    entered.add("sequence", event.sequence)
    entered.add("dtstamp", event.asked_at)
    entered.add("dtstart", event.day)
    entered.add("dtend", event.day + DAY)  # the first day that is not of it
    entered.add("summary", event.title)
    entered.add("description", event.says)
    entered.add("transp", "TRANSPARENT")
    entered.add("status", "CANCELLED" if event.cancelled else "CONFIRMED")
    if event.address:
        entered.add("url", event.address)
    if not event.cancelled:
        entered.add_component(_alarm(event))
    return entered


def _alarm(event: Event) -> "Alarm":
    from icalendar import Alarm

    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", event.title)
    alarm.add("trigger", -REMINDS)
    return alarm
