"""What later jobs on the same vehicle have done since: of that a job's record is history."""

from collections.abc import Mapping

from torqueaudit.model.job.record import Job, JobRecord
from torqueaudit.model.judged.around import Around, VehicleEvent
from torqueaudit.model.judged.subject import Subject
from torqueaudit.model.procedure.procedure import Fastener


def later_jobs(job: Job, around: Around) -> Mapping[str, str]:
    """For each of a job's positions the last other job that turned or undid it since this one did, "" where none has.

    A position that this job never touched counts from its opening.
    """
    last: dict[str, VehicleEvent] = {}
    for event in around.others:
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


def overtaking(later: Mapping[str, str]) -> tuple[str, ...]:
    """The jobs that between them have done every fastener of one since, so that nothing of it is left; else none."""
    jobs = set(later.values())
    return () if "" in jobs else tuple(sorted(jobs, key=int))


def overtaken_by(job: Job, around: Around, later: Mapping[str, str], about: Subject) -> str:
    """The number of the job that has since done what a finding of this one is about, "" where none has.

    Of a job whose vehicle has not left yet nothing is history: what another one undid there is to be done again.
    """
    if job.record.hand_over is None:
        return ""
    if whole := overtaking(later):
        return whole[-1]
    item = job.procedure.item(about.key) or job.procedure.fastener_at(about.position)
    if isinstance(item, Fastener):
        jobs = [later[position] for position in ((about.position,) if about.position else item.positions)]
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
