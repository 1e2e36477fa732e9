"""A job as it stood at the end of some days: who tightened, checked and released it, and what else was said of it."""

from collections.abc import Iterable, Iterator, Mapping
from itertools import groupby
from typing import NamedTuple

from torqueaudit.ledger.entry import Entry
from torqueaudit.model.job.facts import Check, Concession, Outcome, Release, Strike
from torqueaudit.model.job.noted import Noted, noted_of
from torqueaudit.model.job.record import Current, Job, JobRecord
from torqueaudit.model.job.road import HandOver
from torqueaudit.model.judged.rule_name import short_name
from torqueaudit.model.judged.sentences import names_together
from torqueaudit.model.judged.subject import Subject, about_key, subject_at, subject_of
from torqueaudit.model.judged.unsigned import unsigned_work
from torqueaudit.model.procedure.procedure import Fastener, Procedure
from torqueaudit.model.shown.signed_job import (
    LateEntry,
    SaidBy,
    SignedCheck,
    SignedConcession,
    SignedFastener,
    SignedJob,
    SignedLeaving,
    SignedStrike,
)
from torqueaudit.model.sign_off.days import Days

NOT_RELEASED, LEFT = "not released yet", "it left, and was never released"
# What a sign-off rests on. Whatever else was done, looked at or agreed is told where it came late, and nowhere else.
RESTS_ON = frozenset(
    [
        "opened",
        "tightened",
        "loosened",
        "fitted",
        "measured",
        "checked",
        "conceded",
        "released",
        "handed_over",
        "rechecked",
        "recheck_answered",
        "struck",
    ]
)
NOBODYS_WORK = frozenset({"logged", "struck"})
AS_IT_SHOULD = frozenset({Outcome.TURNED_CLICKED, Outcome.VALUE_SHOWN, Outcome.BY_HAND})


class Told(NamedTuple):
    """A job as it stood at the end of the days, with its entries by sequence; `since` was struck after the days.

    The record is folded from what a sign-off rests on alone (`RESTS_ON`). `named` is the work of its procedure by key
    and by position, which is worked out once for all its jobs.
    """

    job: Job
    named: Mapping[str, Subject]
    tag: str
    entries: Mapping[int, Entry]
    since: tuple[Strike, ...]

    @property
    def record(self) -> JobRecord:
        """What its entries say."""
        return self.job.record

    def what(self, entry: int) -> str:
        """What an entry says was done, in words: "mark seen"."""
        return self.entries[entry].what.replace("_", " ")

    def about(self, entry: int) -> Subject | None:
        """The work that an entry is of, None where it is of the whole job."""
        said = self.entries[entry].said
        key = said.get("position") or said.get("key")
        return self.subject(key) if isinstance(key, str) else None

    def subject(self, key: str) -> Subject:
        """The work of a key, or the fastener of a position, also where the procedure has none of it."""
        return self.named.get(key) or about_key(self.job.procedure, key)


def named_by(procedure: Procedure) -> dict[str, Subject]:
    """What a procedure's work is about, by the key of each and by each position of a fastener."""
    at = {position: subject_at(each, position) for each in procedure.fasteners() for position in each.positions}
    return {**at, **{item.key: subject_of(item) for item in procedure.work}}


def signed_job(told: Told, days: Days, late_minutes: int) -> SignedJob:
    """What is told of a job; an entry is late that was recorded more than so many minutes after it happened."""
    record = told.record
    strikes = [*((each, False) for each in record.strikes), *((each, True) for each in told.since)]
    return SignedJob(
        number=record.number,
        vehicle=record.vehicle,
        tag=told.tag,
        title=told.job.procedure.title,
        state=record.state.value,
        withdrawn=record.strikes[-1].why if record.withdrawn else "",
        opened=_said(record.opened, days),
        releases=tuple(_said(each.noted, days) for each in record.of(Release)),
        leavings=tuple(_leaving(each, days) for each in record.of(HandOver)),
        unsigned=_unsigned(told.job),
        fasteners=tuple(_fasteners(told.job, days)),
        conceded=tuple(_conceded(told, each, days) for each in record.of(Concession)),
        struck=tuple(_struck(told, each, days, since=since) for each, since in strikes),
        late=tuple(_late(told, days, late_minutes)),
    )


def _said(noted: Noted, days: Days) -> SaidBy:
    return SaidBy(noted.by, days.local(noted.happened_at), noted.entry)


def _leaving(left: HandOver, days: Days) -> SignedLeaving:
    return SignedLeaving(_said(left.noted, days), len(left.stops), left.with_stops)


def _unsigned(job: Job) -> str:
    if job.record.withdrawn:
        return ""
    if job.record.release is None:
        return LEFT if job.record.hand_over else NOT_RELEASED
    left = names_together(unsigned_work(job))
    return f"done since its release: {left}" if left else ""


def _fasteners(job: Job, days: Days) -> Iterator[SignedFastener]:
    """Fastener by fastener; those of a group of which the same is to be said are one."""
    for fastener in job.procedure.fasteners():
        alike: dict[tuple[str, str], list[SignedFastener]] = {}
        for position in fastener.positions:
            one = _fastener(fastener, job.record.current(position), days)
            alike.setdefault((one.tightened_text, one.checked_text), []).append(one)
        for each in alike.values():
            positions = tuple(position for one in each for position in one.positions)
            name = names_together(subject_at(fastener, position) for position in positions)
            yield each[0]._replace(name=name, positions=positions)


def _fastener(fastener: Fastener, now: Current, days: Days) -> SignedFastener:
    done = now.tightening
    return SignedFastener(
        name="",
        positions=(now.position,),
        state=now.state.value,
        tightened=_said(done.noted, days) if done else None,
        supervisor=done.noted.supervisor if done else "",
        helpers=done.helpers if done else (),
        wrench=done.wrench if done else "",
        outcome=done.outcome.value if done and done.outcome not in AS_IT_SHOULD else "",
        wanted=fastener.check,
        check=_checked(now.check, days) if now.check else None,
    )


def _checked(check: Check, days: Days) -> SignedCheck:
    return SignedCheck(_said(check.noted, days), check.method.value, check.why)


def _conceded(told: Told, granted: Concession, days: Days) -> SignedConcession:
    return SignedConcession(
        said=_said(granted.noted, days),
        rule=short_name(granted.covers.rule),
        about=told.subject(granted.covers.subject).text,
        basis=granted.basis,
        limit=granted.limit,
        expires_on=granted.expires_on,
    )


def _struck(told: Told, strike: Strike, days: Days, *, since: bool) -> SignedStrike:
    about = told.about(strike.entry) if strike.entry in told.entries else None
    return SignedStrike(
        said=_said(strike.noted, days),
        entry=strike.entry,
        what=strike.what.replace("_", " "),
        about=about.text if about else "",
        why=strike.why,
        since=since,
    )


def _late(told: Told, days: Days, minutes: int) -> Iterator[LateEntry]:
    """What came late and was not struck, of every kind; rows of a log are nobody's work until they are confirmed."""
    struck = {strike.entry for strike in told.record.strikes}
    known = {fact.noted.entry: fact.noted for fact in told.record.facts}
    late = [
        noted
        for entry in told.entries.values()
        if entry.recorded_at != entry.happened_at and entry.what not in NOBODYS_WORK and entry.sequence not in struck
        if (noted := known.get(entry.sequence) or noted_of(entry)).late(minutes)
    ]
    for at_once in groupby(
        late, lambda noted: (told.what(noted.entry), noted.by, noted.happened_at, noted.recorded_at)
    ):
        yield _late_entry(told, at_once[0][0], list(at_once[1]), days)


def _late_entry(told: Told, what: str, alike: list[Noted], days: Days) -> LateEntry:
    first = alike[0]
    return LateEntry(
        said=_said(first, days),
        what=what,
        about=names_together(_abouts(told, alike)),
        delay=first.recorded_at - first.happened_at,
        entries=tuple(noted.entry for noted in alike),
    )


def _abouts(told: Told, alike: Iterable[Noted]) -> Iterator[Subject]:
    for noted in alike:
        if about := told.about(noted.entry):
            yield about
