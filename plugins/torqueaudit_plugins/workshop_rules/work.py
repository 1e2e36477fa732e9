"""Are steps, measurements and parts done, inside their limits, and new where they must be?

chain slack: 38 mm; 20 … 30 mm is specified. Set it again and measure again after the axle nut.
"""

from collections.abc import Iterator
from datetime import timedelta

from torqueaudit.model.around import Around
from torqueaudit.model.facts import Loosening, Noted, Outcome, PartFitted, StepDone, Tightening
from torqueaudit.model.finding import Finding, Weight
from torqueaudit.model.job import FastenerState, Job
from torqueaudit.model.procedure import Fastener, Fit, Measurement, Step
from torqueaudit_plugins.workshop_rules.order import done_by


def review_work(job: Job, around: Around) -> Iterator[Finding]:
    """Every item of the procedure that is not a fastener, and what a fastener needs renewed or cured."""
    for item in job.procedure.work:
        if isinstance(item, Step):
            yield from _step(job, item)
            done = job.record.steps(item.key)
            yield from _early(job, item, done.noted if done else None)
        elif isinstance(item, Measurement):
            yield from _measurement(job, item)
        elif isinstance(item, Fit):
            yield from _fit(job, item)
            part = job.record.fitted(item.key)
            yield from _early(job, item, part.noted if part else None)
        else:
            yield from _locking_parts(job, item)
            yield from _cure(job, item, around)


def _step(job: Job, step: Step) -> Iterator[Finding]:
    done = job.record.steps(step.key)
    rule = "brake-not-proved" if step.proves == "brake" else "step-not-done"
    if done is None and step.required:
        yield Finding(rule, Weight.STOP, step.name, f"{step.name}: not done. {step.says}", job.record.opened.entry)
    elif done and done.answer == "no":
        weight = Weight.STOP if step.required else Weight.CAUTION
        says = f"{step.name}: answered no{f' ({done.remark})' if done.remark else ''}. {step.says}"
        yield Finding(rule, weight, step.name, says, done.noted.entry)
    elif done and step.proves and _worked_on_since(job, done):
        says = f"{step.name}: a fastener of a wheel or brake was worked on after it. {step.says}"
        yield Finding(rule, Weight.STOP, step.name, says, done.noted.entry)
    elif done and done.answer == "not applicable" and step.proves:
        says = f"{step.name}: called not applicable, but it is what proves the {step.proves}. {step.says}"
        yield Finding(rule, Weight.STOP, step.name, says, done.noted.entry)


def _worked_on_since(job: Job, done: StepDone) -> bool:
    """A proof holds for what stood when it was given; a confirming click moved nothing."""
    held = {p for f in job.procedure.fasteners() if f.holds in ("wheel", "brake") for p in f.positions}
    return any(
        fact.position in held and fact.noted.order > done.noted.order
        for fact in job.record.facts
        if isinstance(fact, Loosening) or (isinstance(fact, Tightening) and fact.outcome is not Outcome.CLICKED_ONLY)
    )


def _early(job: Job, item: Step | Fit, noted: Noted | None) -> Iterator[Finding]:
    """Something done before what the procedure puts before it."""
    for key in item.after if noted else ():
        before = job.procedure.item(key)
        if before and noted and not done_by(job, before, noted.order):
            says = (
                f"{item.name}: recorded before “{before.name}”. Make sure of the order, and do it again if it matters."
            )
            yield Finding("step-too-early", Weight.CAUTION, item.name, says, noted.entry)


def _measurement(job: Job, measurement: Measurement) -> Iterator[Finding]:
    taken = job.record.measured(measurement.key)
    name = measurement.name
    if taken is None:
        yield Finding("measurement-missing", Weight.STOP, name, f"{name}: not measured.", job.record.opened.entry)
    elif taken.inside is False:
        says = (
            f"{name}: {taken.value} {taken.unit}; {measurement.written} is specified. Set it right and measure again."
        )
        yield Finding("measurement-outside", Weight.STOP, name, says, taken.noted.entry)
    elif taken.inside is None:
        says = f"{name}: {taken.value} {taken.unit}, measured and not judged: the source states no limit."
        yield Finding("measurement-not-judged", Weight.NOTE, name, says, taken.noted.entry)


def _fit(job: Job, fit: Fit) -> Iterator[Finding]:
    fitted = job.record.fitted(fit.key)
    if fitted is None:
        says = f"{fit.name}: nothing fitted is recorded ({fit.part})."
        yield Finding("part-missing", Weight.STOP, fit.name, says, job.record.opened.entry)
    elif fit.single_use and not fitted.new:
        says = f"{fit.name}: used again. It holds once only; fit a new one."
        yield Finding("locking-part-reused", Weight.STOP, fit.name, says, fitted.noted.entry)


def _locking_parts(job: Job, fastener: Fastener) -> Iterator[Finding]:
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
                name = fastener.name_of(position)
                says = (
                    f"{name}: no new {key.replace('-', ' ')} was fitted before this tightening. Loosen it, fit a new "
                    "one, tighten again."
                )
                yield Finding("locking-part-reused", Weight.STOP, name, says, done.noted.entry)


def _cure(job: Job, fastener: Fastener, around: Around) -> Iterator[Finding]:
    if fastener.cure_time_h is None:
        return
    for position in fastener.positions:
        now = job.record.current(position)
        if now.state is FastenerState.TIGHTENED and now.tightening:
            cured = now.tightening.noted.happened_at + timedelta(hours=float(fastener.cure_time_h))
            if around.now < cured:
                name = fastener.name_of(position)
                local = cured.astimezone(around.settings.timezone)
                says = f"{name}: the threadlocker has not cured. No ride before {local:%Y-%m-%d %H:%M}."
                yield Finding("threadlocker-not-cured", Weight.STOP, name, says, now.tightening.noted.entry)
