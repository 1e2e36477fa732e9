"""The sign-off of some days asked for: what was checked, released or handed over in them, and what stands out."""

from collections.abc import Container, Iterator, Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.book import queries
from torqueaudit.ledger.entry import stamp
from torqueaudit.model.act import Refused
from torqueaudit.model.job.entries import fact_of
from torqueaudit.model.job.facts import Strike
from torqueaudit.model.job.record import Job, JobRecord, fold_record
from torqueaudit.model.shown.sign_off import SignOff
from torqueaudit.model.shown.signed_job import SignedJob
from torqueaudit.model.sign_off.days import Days, last_week
from torqueaudit.model.sign_off.facts import checks_in_seconds, not_checked, own_releases, same_pairs
from torqueaudit.model.sign_off.of_job import RESTS_ON, Told, named_by, signed_job
from torqueaudit.workshop.door.refusal import why_of
from torqueaudit.workshop.sign_off.wrenches import Wrenches

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry
    from torqueaudit.model.judged.subject import Subject
    from torqueaudit.model.procedure.procedure import Procedure
    from torqueaudit.model.register.settings import Settings
    from torqueaudit.workshop.door.workshop import Workshop

MOST_DAYS = 366
WEEK = timedelta(days=6)  # from its first day to its last


def sign_off_of(workshop: "Workshop", first: date | None = None, last: date | None = None) -> SignOff:
    """What was signed for from one local day to another, both included; last week where neither is given.

    Every job is told as it stood at the end of the days, so that the same days are told alike in later years; what was
    struck since is told beside it. Raises Refused for days that have not come, or are too many.
    """
    settings = workshop.settings
    days = _days(workshop, first, last, settings)
    read = _Jobs(workshop, days).all(settings.late_minutes)
    told = [each.told for each in read.jobs]
    wrenches = Wrenches(workshop, settings)
    facts = (
        *not_checked(read.jobs, days),
        *own_releases(told, days),
        *checks_in_seconds(told, days, settings.check_seconds),
        *same_pairs(told, days),
        *(each.fact for each in wrenches.beyond_cycles(told, days)),
    )
    return SignOff(
        first=days.first,
        last=days.last,
        site=workshop.book.site,
        demo=settings.demo,
        asked_at=days.local(workshop.clock()),
        unread=(*read.unread, *wrenches.unread),
        jobs=tuple(each.job for each in read.jobs),
        facts=facts,
    )


def with_head(workshop: "Workshop", told: SignOff) -> SignOff:
    """A sign-off with the head of the ledger, for whoever keeps it: it can be held against the book for ever."""
    return told._replace(head=str(workshop.book.tell_head()))


def _days(workshop: "Workshop", first: date | None, last: date | None, settings: "Settings") -> Days:
    """The days that are meant; a week where only one end is given. Raises Refused."""
    today = workshop.clock().astimezone(settings.timezone).date()
    if first is None and last is None:
        return last_week(today, settings.timezone)
    first = first or (last or today) - WEEK
    last = last or first + WEEK
    if first > today:
        raise Refused(f"{first} has not come yet; give today or an earlier day")
    if first > last:
        raise Refused(f"{first} lies after {last}; give the first day, then the last")
    if (last - first).days >= MOST_DAYS:
        raise Refused(f"{first} to {last} are more than {MOST_DAYS} days; ask for a year or less at once")
    return Days(first, last, settings.timezone)


class _Signed(NamedTuple):
    """A job with what is told of it."""

    told: Told
    job: SignedJob


class _Read(NamedTuple):
    """The jobs of some days that can be read, and what cannot be, in sentences."""

    jobs: list[_Signed]
    unread: list[str]


class _Jobs:
    """The jobs of some days, with each procedure and each vehicle's tag read once."""

    def __init__(self, workshop: "Workshop", days: Days) -> None:
        self._workshop = workshop
        self._days = days
        self._procedures: dict[tuple[str, tuple[str, ...]], tuple[Procedure, dict[str, Subject]]] = {}
        self._tags: dict[str, str] = {}

    def all(self, late_minutes: int) -> _Read:
        """Each job that can be read, and what cannot be."""
        jobs: list[_Signed] = []
        unread: list[str] = []
        between = stamp(self._days.start), stamp(self._days.end)
        for number in queries.signed_between(self._workshop.book, *between):
            try:
                told = self._told(str(number))
                jobs.append(_Signed(told, signed_job(told, self._days, late_minutes)))
            except Exception as error:  # noqa: BLE001  # whatever a damaged entry does, the rest is told and this says so
                unread.append(f"Job {number} cannot be read ({why_of(error)}).")
                continue
            unread += (f"Job {number}: {each}." for each in told.record.unread)
        return _Read(jobs, unread)

    def _told(self, number: str) -> Told:
        entries = self._workshop.book.entries(f"job/{number}")
        then = _by(entries, stamp(self._days.end))
        record = fold_record([entry for entry in then if entry.what in RESTS_ON])
        known = {entry.sequence: entry for entry in then}
        procedure, named = self._procedure(record)
        return Told(
            job=Job(record, procedure),
            named=named,
            tag=self._tag(record.vehicle),
            entries=known,
            since=tuple(_struck_since(entries[len(then) :], known.keys())),
        )

    def _procedure(self, record: JobRecord) -> "tuple[Procedure, dict[str, Subject]]":
        key = record.digest, record.only
        if key not in self._procedures:
            procedure = self._workshop.procedure_of(record)
            self._procedures[key] = procedure, named_by(procedure)
        return self._procedures[key]

    def _tag(self, vehicle: str) -> str:
        if vehicle not in self._tags:
            self._tags[vehicle] = self._workshop.vehicle(vehicle).tag
        return self._tags[vehicle]


def _by(entries: "Sequence[Entry]", end: str) -> "Sequence[Entry]":
    """The entries up to the last one that was recorded before a moment: a clock may have been set back between."""
    last = max((at for at, entry in enumerate(entries) if entry.recorded_at < end), default=-1)
    return entries[: last + 1]


def _struck_since(later: "Sequence[Entry]", known: Container[int]) -> Iterator[Strike]:
    """What later entries struck of those that were known."""
    for entry in later:
        if entry.what == "struck" and entry.said.get("entry") in known:
            struck = fact_of(entry)
            if isinstance(struck, Strike):
                yield struck
