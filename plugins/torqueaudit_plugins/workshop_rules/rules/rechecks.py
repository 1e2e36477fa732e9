"""Was something turned after the vehicle left that its re-check may not turn, or a fault found by another workshop?

front sprocket nut: loosened after the vehicle left, and its re-check may turn no more than: rear axle nut. Do it on
a job that follows, opened for this alone.

re-check: another workshop found a fault on 2031-04-15: “rear axle nut turns”. Do not ride; call it in, …
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
    Recheck,
    RecheckAnswered,
    Subject,
    Weight,
    fault_elsewhere,
    looks_since,
    may_turn,
    on_a_job_that_follows,
    subject_at,
    turned_since_it_left,
)


def review_rechecks(job: Job, around: Around) -> Iterator[Finding]:
    """What a re-check turned or tried though its procedure does not let it, and what another workshop found."""
    yield from _found_elsewhere(job, around)
    for fastener in job.procedure.fasteners():
        if not may_turn(job, fastener):
            for position in fastener.positions:
                yield from _tried(job, around, fastener, position) or _turned(job, around, fastener, position)


def _found_elsewhere(job: Job, around: Around) -> Iterator[Finding]:
    """It stands until a job of the whole work that follows is released, or all was looked at anew here.

    Which fastener it is about nobody here has seen, so a job of some fasteners alone does not answer it.
    """
    fault = fault_elsewhere(job.record)
    if fault is None:
        return
    day = fault.noted.happened_at.astimezone(around.settings.timezone).date()
    says = f"another workshop found a fault on {day}: “{fault.remark}”."
    answered = _answered(job, around, fault)
    if not answered:
        says = f"{says} Do not ride; call it in and look at all of it anew, or open the job that puts it right, as one "
        says = f"{says}that follows job {job.number}."
    yield Finding(
        rule="workshop_rules/fault-found-elsewhere",
        weight=Weight.NOTE if answered else Weight.STOP,
        about=Subject("re-check"),
        words=f"{says} {answered}".strip(),
        entry=fault.noted.entry,
    )


def _answered(job: Job, around: Around, fault: RecheckAnswered) -> str:
    """What answers a fault that another workshop found, as a sentence; "" where nothing does."""
    released = [
        each.job
        for each in around.followed_by
        if not each.work and each.released_at and each.released_at > fault.noted.happened_at
    ]
    if released:
        return f"Put right on job {released[-1]}."
    done = job.record.last_of(Recheck)
    if done and done.noted.order > fault.noted.order:
        return f"The re-check was concluded here since, by {done.noted.by}."
    plan = job.procedure.recheck
    asks = plan is not None and (plan.marks or plan.torques or plan.measurements)
    return (
        "All of it was looked at anew here since."
        if asks and not looks_since(job.procedure, job.record, fault.noted)
        else ""
    )


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
