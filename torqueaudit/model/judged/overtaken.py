"""What later jobs on the same vehicle have done since: of that a job's record is history."""

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from torqueaudit.model.job.record import Job, JobRecord
from torqueaudit.model.judged.around import Around, VehicleEvent
from torqueaudit.model.judged.subject import Subject, subject_of
from torqueaudit.model.procedure.procedure import Fastener, Measurement
from torqueaudit.model.recheck.looks import Look, looks_left


class Later(NamedTuple):
    """The later jobs that have done a job's positions since.

    `by_position` names for each the last one, "" where none has. `whole` are those that between them have done every
    fastener, so that nothing of the job is left, else none; one of some fasteners alone is never among them.
    """

    by_position: Mapping[str, str]
    whole: tuple[str, ...]


def later_jobs(job: Job, around: Around) -> Later:
    """The other jobs that turned or undid a job's positions since it did.

    A position that this job never touched counts from its opening.
    """
    by_position = _last_jobs(job, around.others)
    whole = by_position
    if any(event.alone for event in around.others):
        whole = _last_jobs(job, (event for event in around.others if not event.alone))
    jobs = set(whole.values())
    return Later(by_position, () if "" in jobs else tuple(sorted(jobs, key=int)))


def _last_jobs(job: Job, events: Iterable[VehicleEvent]) -> Mapping[str, str]:
    last: dict[str, VehicleEvent] = {}
    for event in events:
        before = last.get(event.position)
        if event.job and (before is None or (event.happened_at, event.entry) > (before.happened_at, before.entry)):
            last[event.position] = event
    positions = (position for fastener in job.procedure.fasteners() for position in fastener.positions)
    return {position: _since(job.record, position, last.get(position)) for position in positions}


def _since(record: JobRecord, position: str, event: VehicleEvent | None) -> str:
    now = record.current(position)
    done = now.tightening or now.loosening
    since = done.noted.happened_at if done else record.opened.happened_at
    return event.job if event and event.happened_at > since else ""


def overtaken_by(job: Job, around: Around, later: Later, about: Subject) -> str:
    """The number of the job that has since done what a finding of this one is about, "" where none has.

    Of a job whose vehicle has not left yet nothing is history: what another one undid there is to be done again.
    """
    if job.record.hand_over is None:
        return ""
    if later.whole:
        return later.whole[-1]
    item = job.procedure.item(about.key) or job.procedure.fastener_at(about.position)
    if isinstance(item, Fastener):
        jobs = [later.by_position[position] for position in ((about.position,) if about.position else item.positions)]
        return "" if "" in jobs else max(jobs, key=int)
    return _told_again(job.record, around, about.key) if item else ""


def _told_again(record: JobRecord, around: Around, key: str) -> str:
    """The last other job that measured or fitted the same since."""
    own = record.measured(key) or record.fitted(key)
    since = own.noted.happened_at if own else record.opened.happened_at
    told = [(each.happened_at, each.entry, each.job) for each in around.measured if each.key == key]
    told += [(each.happened_at, each.entry, each.job) for each in around.fitted if each.key == key]
    later = [each for each in told if each[0] > since and each[2] != record.number]
    return max(later)[2] if later else ""


def still_to_look_at(job: Job, around: Around, later: Later) -> list[Look]:
    """Each look that a job's re-check asks for and nobody has made since the vehicle left.

    What a later job has done since is looked at by its own re-check.
    """
    left = looks_left(job.procedure, job.record)
    return [look for look in left if not _is_anothers(job, around, later, look.key, look.position)]


def recheck_overtaken(job: Job, around: Around, later: Later) -> bool:
    """Whether later jobs have done everything since that a job's re-check would look at."""
    plan = job.procedure.recheck
    if later.whole or plan is None:
        return bool(later.whole)
    return all(_is_anothers(job, around, later, key) for key in (*plan.marks, *plan.torques, *plan.measurements))


def _is_anothers(job: Job, around: Around, later: Later, key: str, position: str = "") -> bool:
    """Whether a look at a fastener, or at a measurement that one makes due again, is a later job's.

    A value that somebody else has taken meanwhile, with nothing turned, is one look more and takes none away.
    """
    item = job.procedure.item(key)
    if isinstance(item, Measurement):
        nuts = [nut for nut in job.procedure.fasteners() if nut.key in item.again_after]
        if not any(overtaken_by(job, around, later, subject_of(nut)) for nut in nuts):
            return False
    return item is not None and bool(overtaken_by(job, around, later, subject_of(item)._replace(position=position)))
