"""Is every witness mark that the procedure wants still whole?

axle nut: the witness mark is disturbed. Do not ride; photograph it and look before touching, then loosen and inspect.
"""

from collections.abc import Iterator

from torqueaudit.plugin import (
    ActName,
    Around,
    Current,
    Fastener,
    FastenerState,
    Finding,
    Following,
    Job,
    Loosening,
    MarkSeen,
    MarkState,
    Next,
    Subject,
    Tightening,
    Weight,
    is_at_recheck,
    on_a_job_that_follows,
    subject_at,
)

DISTURBED = "the witness mark is disturbed."
LOOK_AT_IT = "Photograph it and look before touching, then loosen and inspect"
DO_NOT_RIDE = "Do not ride; photograph it and look before touching, then loosen and inspect"


def review_marks(job: Job, around: Around) -> Iterator[Finding]:
    """Not marked, or a mark seen other than intact, on the tightening that stands; one tightened over a disturbed."""
    for fastener in job.procedure.fasteners():
        for position in fastener.positions:
            now = job.record.current(position)
            if now.tightening and (before := _tightened_over(job, around, now.tightening)):
                yield _never_looked_at(fastener, now.tightening, before)
            if now.state is FastenerState.TIGHTENED and (fastener.mark or now.mark):
                yield from _mark(subject_at(fastener, position), now)
                if now.mark and now.mark_state is MarkState.DISTURBED:
                    yield _disturbed(job, around, fastener, now.mark)


def _tightened_over(job: Job, around: Around, done: Tightening) -> MarkSeen | None:
    """The disturbed mark, of this job or of the one it follows, after which it was tightened and not loosened first.

    What was said of the mark or painted after it answers nothing.
    """
    position = done.position
    seen = [
        each for each in job.record.of(MarkSeen) if each.position == position and each.noted.order < done.noted.order
    ]
    disturbed = [each for each in seen if each.state is MarkState.DISTURBED]
    of_before = around.before.record.current(position).disturbed if around.before else None
    last = disturbed[-1] if disturbed else of_before
    if last is None:
        return None
    since, until = last.noted.happened_at, done.noted.happened_at
    own = [each.noted.happened_at for each in job.record.of(Loosening) if each.position == position]
    others = [each.happened_at for each in around.others if each.position == position and each.kind == "loosened"]
    return None if any(since <= moment <= until for moment in own + others) else last


def _never_looked_at(fastener: Fastener, done: Tightening, mark: MarkSeen) -> Finding:
    """Whatever turned it has not been looked at: a torque over it proves nothing of the joint."""
    return Finding(
        rule="workshop_rules/tightened-over-disturbed-mark",
        weight=Weight.STOP,
        about=subject_at(fastener, done.position),
        words=(
            f"its witness mark was disturbed (#{mark.noted.entry}), and it was tightened without being loosened first, "
            "so nobody saw why it had turned. Loosen it, inspect joint and thread, and tighten again."
        ),
        entry=done.noted.entry,
        answer=Next(ActName.LOOSEN, done.position),
    )


def _disturbed(job: Job, around: Around, fastener: Fastener, mark: MarkSeen) -> Finding:
    """On the road nobody touches it; at a re-check that may not turn it, it is loosened on a job that follows."""
    about = subject_at(fastener, mark.position)
    where = Following("", answer=Next(ActName.LOOSEN, mark.position))
    if around.presence.here and is_at_recheck(job):
        where = on_a_job_that_follows(job, around, fastener.key)
    return Finding(
        rule="workshop_rules/mark-disturbed",
        weight=Weight.STOP,
        about=about,
        words=f"{DISTURBED} {LOOK_AT_IT if around.presence.here else DO_NOT_RIDE}{where.words}",
        entry=mark.noted.entry,
        concedable=False,
        answer=where.answer,
        see=where.see,
    )


def _mark(about: Subject, now: Current) -> Iterator[Finding]:
    tightened = now.tightening.noted.entry if now.tightening else 0
    if now.mark is None or now.mark_state is MarkState.NOT_MARKED:
        says = "not marked. Paint a line across fastener and part, and record it."
        yield Finding(
            rule="workshop_rules/not-marked",
            weight=Weight.STOP,
            about=about,
            words=says,
            entry=now.mark.noted.entry if now.mark else tightened,
            answer=Next(ActName.MARK, about.key),
            due=True,
        )
    elif now.mark_state is MarkState.UNREADABLE:
        says = (
            "the witness mark is unreadable, so it proves nothing. Look closely; remove the old paint "
            "and mark anew once the joint is proved."
        )
        yield Finding(
            rule="workshop_rules/mark-unreadable",
            weight=Weight.STOP,
            about=about,
            words=says,
            entry=now.mark.noted.entry,
        )
    elif now.mark_state is MarkState.NOT_SEEN:
        says = f"the witness mark was not seen ({now.mark.why or 'no reason given'}). Uncover it and look."
        yield Finding(
            rule="workshop_rules/mark-not-seen", weight=Weight.STOP, about=about, words=says, entry=now.mark.noted.entry
        )
