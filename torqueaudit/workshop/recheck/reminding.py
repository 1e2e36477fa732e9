"""Which reminders are wanted now, of all vehicles whose owners agreed to be reminded."""

from collections.abc import Iterator, Mapping
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.book import queries
from torqueaudit.book.outbox import Row, State
from torqueaudit.ledger.entry import stamp
from torqueaudit.model.act import Refused
from torqueaudit.model.job.record import JobRecord
from torqueaudit.model.job.road import Reminded, Ride
from torqueaudit.model.recheck.due import sequence_of, uid_of
from torqueaudit.model.recheck.reminders import OVER, Awaited, ReminderKey, ReminderKind, Sent, due_reminder
from torqueaudit.model.recheck.state import RecheckState
from torqueaudit.model.register.settings import begin_of
from torqueaudit.model.shown.access import seen_by
from torqueaudit.model.shown.label import JOB, record_address, stop_address
from torqueaudit.model.shown.owner import ExpectedBack, OwnerView
from torqueaudit.model.shown.reminder import CalendarDay, Reminder
from torqueaudit.workshop.judged.job_view import look_at
from torqueaudit.workshop.recheck.owner import owner_view
from torqueaudit.workshop.vehicles.contact import agreement_of, contact_of, stop_token_of

if TYPE_CHECKING:
    from torqueaudit.workshop.door.workshop import Workshop

HORIZON = timedelta(days=180)  # whoever was not back so long after the day is reminded no more


class Wanted(NamedTuple):
    """A reminder that is wanted now, of which vehicle, and the day that the reader's calendar knows."""

    vehicle: str
    key: ReminderKey
    day: date | None

    def row(self, now: datetime) -> Row:
        """As the outbox keeps it before anything is sent."""
        key = self.key
        return Row(
            id=key.id,
            vehicle=self.vehicle,
            job=key.job,
            token=key.token,
            leaving=key.leaving,
            target=key.target,
            kind=key.kind.value,
            n=key.n,
            state=State.WAITING.value,
            tries=0,
            not_before="",
            why="",
            changed=stamp(now),
        )


def plan(workshop: "Workshop") -> Iterator[str]:
    """Put whatever is wanted now into the outbox, at most one reminder of a vehicle on a day.

    Yields a sentence of each vehicle of which something cannot be read: it keeps no other owner waiting.
    """
    now, today, outbox = workshop.clock(), workshop.today(), workshop.book.outbox
    passed_over = outbox.busy(this_morning(workshop)) | {row.vehicle for row in outbox.refused()}
    kept = _kept(workshop)
    jobs = dict(queries.to_be_reminded(workshop.book, (today - HORIZON).isoformat()))
    for vehicle in [*jobs, *(each for each in kept if each not in jobs)]:
        if vehicle in passed_over:
            continue
        try:
            wanted = next(_wanted(workshop, vehicle, jobs.get(vehicle, ""), kept.get(vehicle, _NOTHING)), None)
        except Exception as error:  # noqa: BLE001  # whatever a damaged entry does
            yield f"{vehicle} cannot be read ({type(error).__name__}: {error})"
            continue
        if wanted:
            outbox.put(wanted.row(now))


def this_morning(workshop: "Workshop") -> str:
    """When the workshop's day has begun, as the outbox holds a moment."""
    return stamp(begin_of(workshop.today(), workshop.settings.timezone))


def still_wanted(workshop: "Workshop", row: Row) -> Wanted | None:
    """What is wanted now of the vehicle of a row: the same as the row says, where that is still so."""
    jobs = dict(queries.to_be_reminded(workshop.book, (workshop.today() - HORIZON).isoformat(), row.vehicle))
    kept = _kept(workshop, row.vehicle).get(row.vehicle, _NOTHING)
    if row.kind != ReminderKind.OVER:
        kept = kept._replace(told=())
    wanted = list(_wanted(workshop, row.vehicle, jobs.get(row.vehicle, ""), kept))
    return next((each for each in wanted if each.key.id == row.id), wanted[0] if wanted else None)


def reminder_of(workshop: "Workshop", wanted: Wanted) -> Reminder:
    """A reminder in what it says, made when it is sent: nothing of it is kept."""
    view = seen_by("stranger", owner_view(workshop, wanted.key.job))
    stop = stop_address(workshop.settings, stop_token_of(workshop, wanted.vehicle))
    return _reminder(workshop, wanted.key, view, wanted.day, stop)


def reminder_of_job(workshop: "Workshop", number: str) -> Reminder:
    """What the owner is told now of the re-check of a job's vehicle, on a card. Raises Refused where nobody waits."""
    view = seen_by("stranger", owner_view(workshop, number))
    back = view.back
    if back is None:
        raise Refused(f"job {number}: nobody waits for its owner ({view.no_day.says.rstrip('.')}), so there is no card")
    kinds = {RecheckState.DUE: ReminderKind.DUE, RecheckState.MISSED: ReminderKind.MISSED}
    key = _key_of(back, kinds.get(back.state, ReminderKind.LEFT))
    return _reminder(workshop, key, view, back.due_on, stop="")


def _key_of(back: ExpectedBack, kind: ReminderKind, since: int = 0) -> ReminderKey:
    return ReminderKey(job=back.job, token=back.token, leaving=back.leaving, target=back.target, kind=kind, since=since)


def _reminder(workshop: "Workshop", key: ReminderKey, view: OwnerView, day: date | None, stop: str) -> Reminder:
    return Reminder(
        id=key.id,
        kind=key.kind,
        view=view,
        calendar=CalendarDay(
            uid=uid_of(key.token, key.leaving),
            sequence=sequence_of(workshop.record(key.job)),
            day=day,
            cancelled=key.kind is ReminderKind.OVER,
        ),
        address=record_address(workshop.settings, JOB, key.token),
        stop=stop,
        asked_at=workshop.clock(),
    )


class _Kept(NamedTuple):
    """What the outbox holds of a vehicle: what was sent of each leaving that a calendar may hold, and was given up."""

    told: tuple[Row, ...] = ()
    given_up: tuple[Row, ...] = ()


_NOTHING = _Kept()


def _kept(workshop: "Workshop", vehicle: str = "") -> Mapping[str, _Kept]:
    """What the outbox holds, of one vehicle or of all, by vehicle."""
    since, outbox = stamp(workshop.clock() - HORIZON), workshop.book.outbox
    found: dict[str, _Kept] = {}
    for row in outbox.told(since, vehicle):
        kept = found.get(row.vehicle, _NOTHING)
        found[row.vehicle] = kept._replace(told=(*kept.told, row))
    for row in outbox.given_up(since, vehicle):
        kept = found.get(row.vehicle, _NOTHING)
        found[row.vehicle] = kept._replace(given_up=(*kept.given_up, row))
    return found


def _wanted(workshop: "Workshop", vehicle: str, job: str, kept: _Kept) -> Iterator[Wanted]:
    """What is wanted of a vehicle, what comes first before the rest; `job` is its newest that may be waited for."""
    if not any(contact_of(workshop, vehicle)):
        return
    awaited = _awaited(workshop, vehicle, job, kept.given_up) if job else None
    ended = {row.id for row in kept.given_up}
    for row in {(each.job, each.leaving): each for each in kept.told}.values():
        waited_for = awaited and (awaited.key.job, awaited.key.leaving) == (row.job, row.leaving)
        if not waited_for and (over := _over(workshop, row)) and over.key.id not in ended:
            yield over
    if awaited:
        yield from awaited.due(workshop)


class _Awaited(NamedTuple):
    """The re-check that a vehicle is waited for with, before it is known whether its owner is reminded today."""

    wanted: Wanted
    stands: Awaited
    sent: tuple[Sent, ...]

    @property
    def key(self) -> ReminderKey:
        return self.wanted.key

    def due(self, workshop: "Workshop") -> Iterator[Wanted]:
        """The one reminder that is due today."""
        due = due_reminder(self.stands, self.sent, workshop.settings.weekly_reminders, workshop.today())
        if due:
            yield self.wanted._replace(key=self.key._replace(kind=due[0], n=due[1]))


def _awaited(workshop: "Workshop", vehicle: str, job: str, given_up: tuple[Row, ...]) -> _Awaited | None:
    """What is waited for; what was given up counts as sent, so that what follows it is due in its time."""
    view = owner_view(workshop, job)
    back, left_on = view.back, view.left_on
    if back is None or left_on is None:
        return None
    record = workshop.record(back.job)
    key = _key_of(back, ReminderKind.LEFT, _since(workshop, vehicle, record, back.leaving))
    told = [each for each in _told(record, key) if each.target == key.target]
    sent = [Sent(each.kind, each.n, workshop.local_day(each.noted.happened_at)) for each in told]
    of_this = (each for each in given_up if each.target == key.target and _is_told_to(each, key))
    sent += [Sent(each.kind, each.n, workshop.local_day(datetime.fromisoformat(each.changed))) for each in of_this]
    asks = bool(back.due_at) and not _has_ridden(record, back.leaving)
    return _Awaited(Wanted(vehicle, key, back.due_on), Awaited(back.state, left_on, asks), tuple(sent))


def _since(workshop: "Workshop", vehicle: str, record: JobRecord, leaving: int) -> int:
    """The entry behind which the owner of today is told anew of a leaving, as a reminder's key has it."""
    over = (each for each in record.of(Reminded) if each.leaving == leaving and each.kind == ReminderKind.OVER)
    return max([agreement_of(workshop, vehicle), *(each.noted.entry for each in over)])


def _told(record: JobRecord, key: ReminderKey) -> list[Reminded]:
    """What the reader of a reminder was told before it of the same leaving."""
    return [each for each in record.of(Reminded) if (each.leaving, each.since) == (key.leaving, key.since)]


def _is_told_to(row: Row, key: ReminderKey) -> bool:
    """Whether a row of the outbox is for the reader of a reminder, who was not told anew since."""
    return key._replace(target=row.target, kind=ReminderKind(row.kind), n=row.n).id == row.id


def _has_ridden(record: JobRecord, leaving: int) -> bool:
    return any(ride.noted.entry > leaving for ride in record.of(Ride))


def _over(workshop: "Workshop", row: Row) -> Wanted | None:
    """That nobody waits any more, of a leaving whose day some calendar holds; None while somebody does."""
    try:
        looked = look_at(workshop, row.job)
    except Refused:  # the entries of the job are lost
        return None
    record = workshop.record(row.job)
    state = looked.view.recheck.standing.state if looked.view.recheck else None
    same = record.first_ride is not None and record.first_ride.noted.entry == row.leaving
    if same and state is not None and state not in OVER and not record.withdrawn:
        return None
    key = ReminderKey(
        job=row.job,
        token=row.token,
        leaving=row.leaving,
        target=0,
        kind=ReminderKind.OVER,
        since=_since(workshop, row.vehicle, record, row.leaving),
    )
    told = _told(record, key)
    return Wanted(row.vehicle, key, told[-1].due_on if told else None) if _is_told_to(row, key) else None
