"""Are parts fitted, new where they hold once only, and has the threadlocker cured?

lock washer: used again. It holds once only; fit a new one.
"""

from collections.abc import Iterator
from datetime import timedelta

from torqueaudit.plugin import (
    ActName,
    Around,
    Fastener,
    FastenerState,
    Finding,
    Fit,
    Job,
    Loosening,
    Next,
    PartFitted,
    Weight,
    subject_at,
    subject_of,
)


def review_part(job: Job, fit: Fit) -> Iterator[Finding]:
    """What goes in: recorded, new where it holds once only, and with what the procedure asks to be written down."""
    fitted = job.record.fitted(fit.key)
    if fitted is None:
        says = f"nothing fitted is recorded ({fit.part})."
        yield Finding(
            rule="workshop_rules/part-missing",
            weight=Weight.STOP,
            about=subject_of(fit),
            words=says,
            entry=job.record.opened.entry,
            answer=Next(ActName.FIT, fit.key),
            due=True,
        )
    elif fit.single_use and not fitted.new:
        says = "used again. It holds once only; fit a new one."
        yield Finding(
            rule="workshop_rules/locking-part-reused",
            weight=Weight.STOP,
            about=subject_of(fit),
            words=says,
            entry=fitted.noted.entry,
            concedable=False,
            answer=Next(ActName.FIT, fit.key),
        )
    missing = [name for name in fit.attributes if fitted and name not in {told for told, _ in fitted.attributes}]
    if fitted and missing:
        says = f"not written down with it: {', '.join(missing)}. Record it again with {_them(missing)}."
        yield Finding(
            rule="workshop_rules/part-attribute-missing",
            weight=Weight.CAUTION,
            about=subject_of(fit),
            words=says,
            entry=fitted.noted.entry,
        )


def _them(missing: list[str]) -> str:
    return "them" if len(missing) > 1 else "it"


def review_locking_parts(job: Job, fastener: Fastener) -> Iterator[Finding]:
    """A part that locks a nut is new each time: one fitted before the nut was last undone no longer counts."""
    for position in fastener.positions:
        done = job.record.current(position).tightening
        if done is None or not done.final:
            continue
        undone = max((e.noted.order for e in job.record.events(position) if isinstance(e, Loosening)), default=None)
        for key in fastener.single_use:
            parts = [part for part in job.record.of(PartFitted) if part.key == key]
            before = [part for part in parts if part.noted.order < done.noted.order]
            if not before or not before[-1].new or (undone and before[-1].noted.order < undone):
                about = subject_at(fastener, position)
                says = (
                    f"no new {key.replace('-', ' ')} was fitted before this tightening. Loosen it, fit a new "
                    "one, tighten again."
                )
                yield Finding(
                    rule="workshop_rules/locking-part-reused",
                    weight=Weight.STOP,
                    about=about,
                    words=says,
                    entry=done.noted.entry,
                    concedable=False,
                    answer=Next(ActName.LOOSEN, position),
                )


def review_cure(job: Job, fastener: Fastener, around: Around) -> Iterator[Finding]:
    """A threadlocker holds nothing before it has cured."""
    if fastener.cure_time_h is None:
        return
    for position in fastener.positions:
        now = job.record.current(position)
        if now.state is FastenerState.TIGHTENED and now.tightening:
            cured = now.tightening.noted.happened_at + timedelta(hours=float(fastener.cure_time_h))
            if around.now < cured:
                about = subject_at(fastener, position)
                local = cured.astimezone(around.settings.timezone)
                says = f"the threadlocker has not cured. No ride before {local:%Y-%m-%d %H:%M}."
                yield Finding(
                    rule="workshop_rules/threadlocker-not-cured",
                    weight=Weight.STOP,
                    about=about,
                    words=says,
                    entry=now.tightening.noted.entry,
                    due=True,
                )
