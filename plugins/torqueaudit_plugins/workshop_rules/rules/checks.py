"""Did a second person look?

rear axle nut: P-3 tightened it and P-3 checked it. Somebody else has to look.
"""

from collections.abc import Iterator

from torqueaudit.plugin import (
    ActName,
    Around,
    Check,
    CheckMethod,
    FastenerState,
    Finding,
    Job,
    Next,
    Subject,
    Weight,
    subject_at,
)


def review_checks(job: Job, around: Around) -> Iterator[Finding]:
    """Not independently checked, or checked by somebody who had a hand in it (14 CFR 121.371(c), by analogy)."""
    for fastener in job.procedure.fasteners():
        for position in fastener.positions:
            now = job.record.current(position)
            if not fastener.check or now.state is not FastenerState.TIGHTENED or now.tightening is None:
                continue
            about = subject_at(fastener, position)
            if now.check is None:
                says = "not independently checked. Somebody who had no hand in it has to look."
                yield Finding(
                    rule="workshop_rules/not-checked",
                    weight=Weight.STOP,
                    about=about,
                    words=says,
                    entry=now.tightening.noted.entry,
                    answer=Next(ActName.CHECK, about.key),
                    due=True,
                )
            elif now.check.method is CheckMethod.SELF:
                yield _self_inspected(about, now.check, around)
            elif now.check.noted.by in job.record.hands_on(position):
                says = f"{now.check.noted.by} had a hand in it and checked it. Somebody else has to look."
                yield Finding(
                    rule="workshop_rules/checked-by-own-hand",
                    weight=Weight.STOP,
                    about=about,
                    words=says,
                    entry=now.check.noted.entry,
                )


def _self_inspected(about: Subject, check: Check, around: Around) -> Finding:
    weight = Weight.CAUTION if around.settings.single_handed else Weight.STOP
    says = f"looked at again by the same person, {check.noted.by} ({check.why}); nobody else looked."
    return Finding(
        rule="workshop_rules/self-re-inspection", weight=weight, about=about, words=says, entry=check.noted.entry
    )
