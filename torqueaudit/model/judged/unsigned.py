"""What was done on a job and is signed by no release, as what it was done on."""

from torqueaudit.model.job.facts import Check, Logged, Loosening, MarkSeen, StepDone, Tightening
from torqueaudit.model.job.record import Job, WorkDone
from torqueaudit.model.judged.subject import Subject, about_key, subject_at
from torqueaudit.model.procedure.procedure import Procedure


def unsigned_work(job: Job) -> tuple[Subject, ...]:
    """Each fastener, measurement and part once, in the order of the work."""
    return tuple(dict.fromkeys(worked_on(job.procedure, fact) for fact in job.record.unsigned))


def worked_on(procedure: Procedure, fact: WorkDone | Logged | MarkSeen | Check | StepDone) -> Subject:
    """What a fact of the work is about, also where the procedure has no work of that key."""
    if isinstance(fact, Tightening | Logged | Loosening | MarkSeen | Check):
        fastener = procedure.fastener_at(fact.position)
        return subject_at(fastener, fact.position) if fastener else Subject(fact.position)
    return about_key(procedure, fact.key)
