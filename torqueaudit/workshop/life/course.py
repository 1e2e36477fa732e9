"""The course of a job, act by act, in the words in which each act was said back when it was told."""

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from torqueaudit.model.job.facts import Check, Concession, Fact, Loosening, MarkSeen, Photographed, Strike
from torqueaudit.model.job.noted import Noted, noted_of
from torqueaudit.model.job.record import Job, fold_record
from torqueaudit.model.job.road import (
    HandOver,
    Recheck,
    RecheckAnswered,
    RecheckPostponed,
    RecheckReferred,
    RecheckRefused,
    Ride,
)
from torqueaudit.model.judged.sentences import sentence
from torqueaudit.model.procedure.procedure import Fastener
from torqueaudit.model.shown.course import Happening, Said
from torqueaudit.model.shown.signed_job import delay_text
from torqueaudit.model.sign_off.of_job import NOBODYS_WORK
from torqueaudit.model.vehicle.instrument import run_text
from torqueaudit.workshop.judged.answer import OF_AN_ITEM, answer_of, item_text
from torqueaudit.workshop.judged.job_view import item_view

if TYPE_CHECKING:
    from collections.abc import Callable

    from torqueaudit.ledger.entry import Entry
    from torqueaudit.model.judged.around import Around
    from torqueaudit.model.register.settings import Settings

OPENED, STRUCK = "opened", "struck"
UNREAD = "an entry that cannot be read"


def course_of(
    job: Job, around: "Around", entries: "Sequence[Entry]", strikes: Sequence[Strike] = ()
) -> tuple[Happening, ...]:
    """What each act on a job said, in the order of the work; `entries` are all of the job's that are told of.

    `strikes` are those that are known today, where the job is one of the past.
    """
    told = fold_record([each for each in entries if each.what != STRUCK])

    def says(act: "Sequence[Entry]") -> Said:
        if act[0].what == OPENED:
            return Said(_opened(job, around))
        if act[0].what == STRUCK:
            return Said(answer_of(job, around, act, entries).says, act[0].told("why"))
        return _says(Job(told, job.procedure), around, act)

    of_all = {each.entry: each for each in (*job.record.strikes, *strikes)}
    return tuple(sorted(happenings(entries, around.settings, of_all, says), key=lambda each: each.order))


def _says(told: Job, around: "Around", act: "Sequence[Entry]") -> Said:
    """What an act said behind whatever had happened before it, and in spite of what was struck since."""
    mine = {each.sequence for each in act}
    facts = [each for each in told.record.facts if each.noted.entry in mine]
    if not facts:
        return Said(UNREAD)
    last = max(each.noted.order for each in facts)
    before = tuple(each for each in told.record.facts if each.noted.order <= last)
    then, first = told._replace(record=told.record._replace(facts=before)), facts[0]
    item = told.procedure.item(first.key) if isinstance(first, OF_AN_ITEM) else None
    if item and not isinstance(item, Fastener):
        return Said(item_text(item_view(then, item)))
    return Said(answer_of(then, around, act, act).says, _why(first))


def _why(fact: Fact) -> str:
    """The reason that was told with it, or the remark, of what is said back without."""
    match fact:
        case HandOver():
            return f"it left with stops standing, {fact.with_stops}" if fact.with_stops else ""
        case Concession():
            return f"{sentence(fact.basis)} Limit: {sentence(fact.limit)}"
        case Ride() | Recheck() | RecheckAnswered():
            return fact.remark
        case Loosening() | MarkSeen() | Check() | Photographed() | RecheckPostponed() | RecheckRefused():
            return fact.why
        case RecheckReferred():
            return ", ".join(filter(None, (f"to {fact.to_whom}", fact.why)))
        case _:
            return ""


def happenings(
    entries: "Sequence[Entry]",
    settings: "Settings",
    strikes: Mapping[int, Strike],
    says: "Callable[[Sequence[Entry]], Said]",
) -> Iterator[Happening]:
    """The acts that wrote some entries of one subject; of one that was struck in part what stands and what does not.

    `says` words the entries of one.
    """
    noun, _, key = entries[0].subject.partition("/")
    alike: dict[tuple[str, str], list[Entry]] = {}
    for entry in entries:
        alike.setdefault((entry.act, _strike_text(settings, strikes.get(entry.sequence))), []).append(entry)
    for (_, struck), act in alike.items():
        noted = _noted(act[0])
        late = noted.late(settings.late_minutes) if act[0].what not in NOBODYS_WORK else None
        said = says(act)
        yield Happening(
            job=key if noun == "job" else "",
            entries=tuple(each.sequence for each in act),
            by=noted.by,
            when=noted.happened_at.astimezone(settings.timezone),
            recorded=noted.recorded_at.astimezone(settings.timezone),
            says=said.says,
            why=said.why,
            late=f"told late: recorded {delay_text(late)} after it happened" if late else "",
            struck=struck,
        )


def _noted(entry: "Entry") -> Noted:
    """Where an entry stands; one that cannot be read may name no moment, and stands where it was recorded."""
    try:
        return noted_of(entry)
    except ValueError:
        return noted_of(entry._replace(happened_at=entry.recorded_at))


def _strike_text(settings: "Settings", strike: Strike | None) -> str:
    if strike is None:
        return ""
    verb = "taken back" if strike.undone else "struck"
    at = strike.noted.recorded_at.astimezone(settings.timezone)
    return f"{verb} on {at:%Y-%m-%d %H:%M} by {strike.noted.by}: {strike.why}"


def _opened(job: Job, around: "Around") -> str:
    record = job.record
    read = run_text(record.read, around.vehicle.instrument_at(record.opened.happened_at))
    follows = f", follows job {record.follows}" if record.follows else ""
    return f"opened: {job.procedure.title}, edition {job.procedure.edition}{f', at {read}' if read else ''}{follows}"
