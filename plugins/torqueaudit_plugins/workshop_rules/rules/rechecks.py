"""Was something turned after the vehicle left that its re-check may not turn?

front sprocket nut: loosened after the vehicle left, and its re-check may turn no more than: rear axle nut. Do it on
a job that follows, opened for this alone.
"""

from collections.abc import Iterator

from torqueaudit.plugin import (
    THREADLOCKER,
    TORQUE_AND_ANGLE,
    Around,
    Fastener,
    Finding,
    Following,
    Job,
    Loosening,
    Weight,
    may_turn,
    on_a_job_that_follows,
    subject_at,
    turned_since_it_left,
)


def review_rechecks(job: Job, around: Around) -> Iterator[Finding]:
    """What a re-check turned, or tried with a wrench, although its procedure does not let it."""
    for fastener in job.procedure.fasteners():
        if not may_turn(job, fastener):
            for position in fastener.positions:
                yield from _tried(job, around, fastener, position) or _turned(job, around, fastener, position)


def _tried(job: Job, around: Around, fastener: Fastener, position: str) -> list[Finding]:
    """A wrench belongs on what the plan names; elsewhere it may undo what it tries."""
    passes, left = job.record.passes(position), job.record.hand_over
    again = [each for each in passes if left and each.noted.order > left.noted.order]
    why = _why_by_its_mark(fastener)
    if not (why and again) or again == list(passes):
        return []
    where = Following(".")
    if turned_since_it_left(job, position):
        where = on_a_job_that_follows(job, around, fastener.key)
    return [
        Finding(
            rule="workshop_rules/by-its-mark-only",
            weight=Weight.CAUTION,
            about=subject_at(fastener, position),
            words=f"by its mark only at a re-check, for it {why}; a wrench was put on it. Look at its mark; where it "
            f"moved, loosen it and do it anew{where.words}",
            entry=again[-1].noted.entry,
            see=where.see,
            answer=where.answer,
        )
    ]


def _why_by_its_mark(fastener: Fastener) -> str:
    if fastener.condition == THREADLOCKER:
        return "is threadlocked"
    if fastener.specification.method == TORQUE_AND_ANGLE:
        return "was tightened by angle"
    parts = " and ".join(key.replace("-", " ") for key in fastener.single_use)
    return f"is held by its {parts}" if parts else ""


def _turned(job: Job, around: Around, fastener: Fastener, position: str) -> list[Finding]:
    """What is turned needs a release and a first ride of its own; a job that follows says for which fasteners."""
    turned = turned_since_it_left(job, position)
    if turned is None:
        return []
    where = on_a_job_that_follows(job, around, fastener.key)
    how = "loosened" if isinstance(turned, Loosening) else "tightened"
    return [
        Finding(
            rule="workshop_rules/turned-at-re-check",
            weight=Weight.CAUTION,
            about=subject_at(fastener, position),
            words=f"{how} after the vehicle left, and its re-check may turn {_named(job)}. Do it{where.words}",
            entry=turned.noted.entry,
            see=where.see,
            answer=where.answer,
        )
    ]


def _named(job: Job) -> str:
    """What the re-check may turn."""
    torques = job.procedure.recheck.torques if job.procedure.recheck else ()
    names = [fastener.name for fastener in job.procedure.fasteners() if fastener.key in torques]
    return f"no more than: {'; '.join(names)}" if names else "nothing"
