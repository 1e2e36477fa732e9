"""What was done on a job and is signed by no release, as what it was done on."""

from torqueaudit.model.job.facts import Loosening, Tightening
from torqueaudit.model.job.record import Job, WorkDone
from torqueaudit.model.judged.subject import Subject, subject_at, subject_of


def unsigned_work(job: Job) -> tuple[Subject, ...]:
    """Each fastener, measurement and part once, in the order of the work."""
    return tuple(dict.fromkeys(_subject(job, fact) for fact in job.record.unsigned))


def _subject(job: Job, fact: WorkDone) -> Subject:
    if isinstance(fact, Tightening | Loosening):
        fastener = job.procedure.fastener_at(fact.position)
        return subject_at(fastener, fact.position) if fastener else Subject(fact.position)
    item = job.procedure.item(fact.key)
    return subject_of(item) if item else Subject(fact.key.replace("-", " "), key=fact.key)
