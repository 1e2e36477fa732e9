"""What a later job on the same vehicle has done since: of that a job's record is history."""

from torqueaudit.model.job.record import Job, JobRecord
from torqueaudit.model.judged.around import Around
from torqueaudit.model.judged.subject import Subject
from torqueaudit.model.procedure.procedure import Fastener


def overtaken_by(job: Job, around: Around, about: Subject) -> str:
    """The number of the job that has since done what a finding of this one is about, "" where none has.

    Of a job whose vehicle has not left yet nothing is history: what another one undid there is to be done again.
    """
    if job.record.hand_over is None:
        return ""
    item = job.procedure.item(about.key) or job.procedure.fastener_at(about.position)
    if isinstance(item, Fastener):
        positions = (about.position,) if about.position else item.positions
        jobs = [later_job(job.record, around, position) for position in positions]
        return "" if "" in jobs else max(jobs, key=int)
    return _told_again(job.record, around, about.key) if item else ""


def later_job(record: JobRecord, around: Around, position: str) -> str:
    """The number of the last other job that turned or undid a fastener since this one did, "" where none did."""
    now = record.current(position)
    done = now.tightening or now.loosening
    since = done.noted.happened_at if done else record.opened.happened_at
    events = [each for each in around.others if each.job and each.position == position and each.happened_at > since]
    return max(events, key=lambda event: (event.happened_at, event.entry)).job if events else ""


def _told_again(record: JobRecord, around: Around, key: str) -> str:
    """The last other job that measured or fitted the same since."""
    own = record.measured(key) or record.fitted(key)
    since = own.noted.happened_at if own else record.opened.happened_at
    told = [(each.happened_at, each.entry, each.job) for each in around.measured if each.key == key]
    told += [(each.happened_at, each.entry, each.job) for each in around.fitted if each.key == key]
    later = [each for each in told if each[0] > since and each[2] != record.number]
    return max(later)[2] if later else ""


def is_overtaken(job: Job, around: Around) -> bool:
    """Whether later jobs have done every fastener of a job since, so that nothing of it is left to look at."""
    positions = [position for fastener in job.procedure.fasteners() for position in fastener.positions]
    return bool(positions) and all(later_job(job.record, around, position) for position in positions)
