"""Reminders go out of the outbox: each once, whenever a program dies, and each with an entry that holds no address."""

from collections import Counter
from collections.abc import Iterator
from datetime import datetime
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.book.errors import IdUsed
from torqueaudit.book.outbox import Outbox, Row, State
from torqueaudit.ledger.entry import Draft
from torqueaudit.model.act import Came, Refused, Say
from torqueaudit.model.recheck.reminders import ReminderKind
from torqueaudit.model.register.permits import NIGHT, ActName
from torqueaudit.model.register.settings import Settings
from torqueaudit.model.shown.reminder import Contact, NotSent, Post, Reminder
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.recheck.reminding import Wanted, plan, reminder_of, still_wanted, this_morning
from torqueaudit.workshop.vehicles.contact import Ways, contact_of, ways_of

if TYPE_CHECKING:
    from torqueaudit.workshop.door.workshop import Workshop

MOST_IN_A_ROW = 5  # failures, then whoever takes reminders is taken for out of order
NO_WAY = "no plugin sends by a way that its owner agreed to"


class Told(NamedTuple):
    """What became of one reminder: of which job and vehicle, what about, how far it came, by which way or why not.

    `untried` where nobody was asked to take it.
    """

    job: str
    vehicle: str
    kind: str
    state: State
    says: str
    untried: bool = False


class Run(NamedTuple):
    """What one run did. `waiting` are those that wait after it, `quiet_until` the hour at which the quiet ends.

    `unread` are the vehicles of which nobody could be reminded because something of them cannot be read, with why.
    """

    told: tuple[Told, ...]
    unread: tuple[str, ...]
    waiting: int
    quiet_until: int | None


def remind(workshop: "Workshop", post: Post | None) -> Run:
    """Plan what is wanted now, and send what may be sent now. Raises BookError, and nothing for what is not taken."""
    unread = tuple(plan(workshop))
    outbox = workshop.book.outbox
    quiet = quiet_until(workshop.settings, workshop.clock())
    told = tuple(_sent(workshop, outbox, post)) if quiet is None else ()
    return Run(told, unread, len(outbox.waiting()), quiet)


def quiet_until(settings: Settings, now: datetime) -> int | None:
    """The hour at which the quiet ends, by the workshop's clock; None where there is none now."""
    start, end = settings.quiet_from, settings.quiet_until
    hour = now.astimezone(settings.timezone).hour
    is_quiet = start <= hour < end if start <= end else hour >= start or hour < end
    return end if is_quiet else None


def _sent(workshop: "Workshop", outbox: Outbox, post: Post | None) -> Iterator[Told]:
    """Hand over one after the other, until nobody seems to take any by the ways that its owner agreed to."""
    me, failures = workshop.new_id(), Counter[Ways]()
    for row in _each(outbox):
        ways = ways_of(contact_of(workshop, row.vehicle))
        if failures[ways] >= MOST_IN_A_ROW:
            continue
        told = _one(workshop, outbox, row, me, post)
        if told is None:
            continue
        yield told
        if not told.untried:
            failures[ways] = failures[ways] + 1 if told.state in {State.WAITING, State.HANDING_OVER} else 0


def _each(outbox: Outbox) -> Iterator[Row]:
    """Whatever waits, each once, and last what came in the place of one that is wanted no more."""
    first = outbox.waiting()
    yield from first
    seen = {row.id for row in first}
    yield from (row for row in outbox.waiting() if row.id not in seen)


def _one(workshop: "Workshop", outbox: Outbox, row: Row, me: str, post: Post | None) -> Told | None:
    """Hand over one reminder; None where there was nothing to be said of it."""
    now = workshop.clock()
    try:
        if _is_recorded(workshop, outbox, row):
            return None
        wanted = still_wanted(workshop, row)
    except Exception as error:  # noqa: BLE001  # what one vehicle does wrong keeps no other owner waiting
        return _not_asked(outbox, row, error, now) if outbox.lease(row.id, me, now) else None
    if wanted is None or wanted.key.id != row.id:
        return _not_wanted(outbox, row, wanted, now)
    if outbox.was_told(row.vehicle, this_morning(workshop)) or not outbox.lease(row.id, me, now):
        return None
    if _is_recorded(workshop, outbox, row):  # another program may have sent it between the look and the lease
        return None
    return _handed_over(workshop, outbox, row, wanted, post)


def _handed_over(workshop: "Workshop", outbox: Outbox, row: Row, wanted: Wanted, post: Post | None) -> Told:
    """What became of a reminder that is leased."""
    now = workshop.clock()
    try:
        reminder = reminder_of(workshop, wanted)
    except Exception as error:  # noqa: BLE001  # whatever a damaged entry does
        return _not_asked(outbox, row, error, now)
    try:
        taken = _taken(workshop, reminder, contact_of(workshop, wanted.vehicle), post)
        record_sent(workshop, wanted, taken.way, Say(NIGHT, came=Came("night")))
    except NotSent as error:
        return _put_off(outbox, row, error, now)
    except Exception as error:  # noqa: BLE001  # it was sent, and comes again under its id once it can be recorded
        return _put_off(outbox, row, NotSent(_said(error), unsure=True), now)
    return _closed(outbox, row, now, taken)


def _is_recorded(workshop: "Workshop", outbox: Outbox, row: Row) -> bool:
    """Whether a reminder was sent already: then a program died between its entry and the outbox."""
    if not workshop.book.of_act(row.id):
        return False
    _closed(outbox, row, workshop.clock())
    return True


def _closed(outbox: Outbox, row: Row, now: datetime, taken: "_Taken | None" = None) -> Told:
    outbox.end(row.id, State.SENT, now, taken.besides if taken else "")
    if row.kind == ReminderKind.OVER:
        outbox.close(row.job, row.leaving)
    return _told(row, State.SENT, taken.way if taken else "")


def _not_wanted(outbox: Outbox, row: Row, wanted: Wanted | None, now: datetime) -> Told | None:
    """What is not wanted any more is never sent; what is wanted in its place waits for its turn."""
    outbox.end(row.id, State.UNKNOWN if row.state == State.HANDING_OVER else State.DROPPED, now)
    if wanted:
        outbox.put(wanted.row(now))
    return None


class _Taken(NamedTuple):
    """By which way a reminder was sent, and why by no other before: "" unless an address of theirs takes nothing."""

    way: str
    besides: str


def _taken(workshop: "Workshop", reminder: Reminder, contact: Contact, post: Post | None) -> _Taken:
    """Hand a reminder over by one way that its owner agreed to, where that fails by the next. Raises NotSent.

    No other way is gone where somebody may have taken it: the same mail that comes again is read once, and two are not.
    """
    faults: list[NotSent] = []
    for way in ways_of(contact):
        only = Contact(**{way: getattr(contact, way)})
        for answer in workshop.plugins.reminders_sent(reminder, only, post):
            if isinstance(answer.fault, NotSent):
                faults.append(answer.fault)
                if answer.fault.unsure:
                    raise _all_of(faults)
            elif answer.fault:
                faults.append(NotSent(f"plugin {answer.plugin} {answer.says('sent it')}", unsure=True))
            for given in answer.given:
                return _Taken(given.way, "; ".join(each.says for each in faults if each.lasting))
    raise _all_of(faults)


def _all_of(faults: list[NotSent]) -> NotSent:
    """Why nobody has taken a reminder: for good only where nobody who was asked may take it later."""
    tried = [each for each in faults if not each.untried]
    return NotSent(
        "; ".join(dict.fromkeys(each.says for each in faults)) or NO_WAY,
        lasting=bool(tried) and all(each.lasting for each in tried),
        unsure=any(each.unsure for each in tried),
        untried=not tried,
    )


def _not_asked(outbox: Outbox, row: Row, error: Exception, now: datetime) -> Told:
    """Put off what could not be read, so that nobody was asked to take it."""
    return _put_off(outbox, row, NotSent(_said(error)), now)._replace(untried=True)


def _said(error: Exception) -> str:
    return str(error) if isinstance(error, Refused) else f"{type(error).__name__}: {error}"


def _put_off(outbox: Outbox, row: Row, error: NotSent, now: datetime) -> Told:
    if error.lasting:
        outbox.end(row.id, State.REFUSED, now, error.says)
        return _told(row, State.REFUSED, error.says)
    if error.untried:
        return _told(row, outbox.leave(row, now, error.says), error.says)._replace(untried=True)
    return _told(row, outbox.put_off(row, now, error.says, unsure=error.unsure), error.says)


def _told(row: Row, state: State, says: str) -> Told:
    return Told(job=row.job, vehicle=row.vehicle, kind=row.kind, state=state, says=says)


def record_sent(workshop: "Workshop", wanted: Wanted, way: str, say: Say) -> None:
    """Record that a reminder was sent, under an id that comes from its key: twice records once."""
    key = wanted.key
    said = {
        "kind": key.kind.value,
        "n": key.n,
        "way": way,
        "leaving": key.leaving,
        "target": key.target,
        "since": key.since,
    }
    subject, day = f"job/{key.job}", wanted.day

    def build(attempt: Attempt) -> list[Draft]:
        attempt.entries(subject)
        judged = {"due_on": day.isoformat()} if day else {}
        return [attempt.draft(subject, "reminded.1", said, judged)]

    try:
        record(workshop, say._replace(id=key.id), ActName.REMIND, subject, said, build)
    except IdUsed:  # another program has sent it by another way
        return
