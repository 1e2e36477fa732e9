"""Reminders go out of the outbox: each once, whenever a program dies, and each with an entry that holds no address."""

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
from torqueaudit.model.shown.reminder import Contact, NotSent, Post
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.recheck.reminding import Wanted, plan, reminder_of, still_wanted
from torqueaudit.workshop.vehicles.contact import contact_of

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
    """Hand over one after the other, until nobody seems to take any."""
    me, failures = workshop.new_id(), 0
    for row in _each(outbox):
        try:
            told = _one(workshop, outbox, row, me, post)
        except Exception as error:  # noqa: BLE001  # what one vehicle does wrong keeps no other owner waiting
            told = _put_off(outbox, row, NotSent(f"{type(error).__name__}: {error}", unsure=True), workshop.clock())
        if told is None:
            continue
        yield told
        if told.untried:
            continue
        failures = failures + 1 if told.state in {State.WAITING, State.HANDING_OVER} else 0
        if failures >= MOST_IN_A_ROW:
            return


def _each(outbox: Outbox) -> Iterator[Row]:
    """Whatever waits, each once, and last what came in the place of one that is wanted no more."""
    first = outbox.waiting()
    yield from first
    seen = {row.id for row in first}
    yield from (row for row in outbox.waiting() if row.id not in seen)


def _one(workshop: "Workshop", outbox: Outbox, row: Row, me: str, post: Post | None) -> Told | None:
    """Hand over one reminder; None where there was nothing to be said of it."""
    now = workshop.clock()
    if _is_recorded(workshop, outbox, row):
        return None
    wanted = still_wanted(workshop, row)
    if wanted is None or wanted.key.id != row.id:
        return _not_wanted(outbox, row, wanted, now)
    # Another program may have sent it between the look and the lease.
    if not outbox.lease(row.id, me, now) or _is_recorded(workshop, outbox, row):
        return None
    try:
        way = _handed_over(workshop, wanted, post)
        record_sent(workshop, wanted, way, Say(NIGHT, came=Came("night")))
    except NotSent as error:
        return _put_off(outbox, row, error, now)
    except Refused as refused:  # it was sent, and comes again under the same id once it can be recorded
        return _put_off(outbox, row, NotSent(str(refused), unsure=True), now)
    return _closed(outbox, row, now, way)


def _is_recorded(workshop: "Workshop", outbox: Outbox, row: Row) -> bool:
    """Whether a reminder was sent already: then a program died between its entry and the outbox."""
    if not workshop.book.of_act(row.id):
        return False
    _closed(outbox, row, workshop.clock())
    return True


def _closed(outbox: Outbox, row: Row, now: datetime, way: str = "") -> Told:
    outbox.end(row.id, State.SENT, now)
    if row.kind == ReminderKind.OVER:
        outbox.close(row.job, row.leaving)
    return _told(row, State.SENT, way)


def _not_wanted(outbox: Outbox, row: Row, wanted: Wanted | None, now: datetime) -> Told | None:
    """What is not wanted any more is never sent; what is wanted in its place waits for its turn."""
    outbox.end(row.id, State.UNKNOWN if row.state == State.HANDING_OVER else State.DROPPED, now)
    if wanted:
        outbox.put(wanted.row(now))
    return None


def _handed_over(workshop: "Workshop", wanted: Wanted, post: Post | None) -> str:
    """By which way it was sent. Raises NotSent, also where plugins broke and no other has sent it."""
    contact: Contact = contact_of(workshop, wanted.vehicle)
    broken = []
    for answer in workshop.plugins.reminders_sent(reminder_of(workshop, wanted), contact, post):
        if isinstance(answer.fault, NotSent):
            raise answer.fault
        if answer.fault:
            broken.append(f"plugin {answer.plugin} {answer.says('sent it')}")
        for given in answer.given:
            return given.way
    raise NotSent("; ".join(broken) or NO_WAY, unsure=bool(broken), untried=not broken)


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
