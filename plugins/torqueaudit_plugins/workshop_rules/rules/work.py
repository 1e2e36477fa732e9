"""Are steps, measurements and parts done, inside their limits, and new where they must be?

chain slack: 38 mm; 20 … 30 mm is specified. Set it again and measure again after the axle nut.
"""

from collections.abc import Iterator
from datetime import timedelta

from torqueaudit.plugin import (
    IN_NOT_PROVED,
    SIMPLE,
    Around,
    Fastener,
    FastenerState,
    Finding,
    Fit,
    Job,
    Loosening,
    Measured,
    Measurement,
    Noted,
    Outcome,
    PartFitted,
    Step,
    StepDone,
    Tightening,
    Weight,
    Work,
    fault_text,
    likely_text,
    measured_text,
)
from torqueaudit_plugins.workshop_rules.rules.order import done_by


def review_work(job: Job, around: Around) -> Iterator[Finding]:
    """Every item of the procedure that is not a fastener, and what a fastener needs renewed or cured."""
    for item in job.procedure.work:
        if isinstance(item, Step):
            yield from _look(job, item, around) if item.look and not item.proves else _step(job, item)
            done = job.record.steps(item.key)
            yield from _early(job, item, done.noted if done else None)
        elif isinstance(item, Measurement):
            yield from _measurement(job, item, around)
        elif isinstance(item, Fit):
            yield from _fit(job, item)
            part = job.record.fitted(item.key)
            yield from _early(job, item, part.noted if part else None)
        else:
            yield from _locking_parts(job, item)
            yield from _cure(job, item, around)


def _step(job: Job, step: Step) -> Iterator[Finding]:
    done = job.record.steps(step.key)
    rule = "workshop_rules/brake-not-proved" if step.proves == "brake" else "workshop_rules/step-not-done"
    if done is None and step.required:
        yield Finding(
            rule=rule,
            weight=Weight.STOP,
            subject=step.name,
            says=f"{step.name}: not done. {step.says}",
            entry=job.record.opened.entry,
        )
    elif done and done.answer == "no":
        weight = Weight.STOP if step.required else Weight.CAUTION
        says = f"{step.name}: answered no{f' ({done.remark})' if done.remark else ''}. {step.says}"
        yield Finding(rule=rule, weight=weight, subject=step.name, says=says, entry=done.noted.entry)
    elif done and step.proves and _worked_on_since(job, done):
        says = f"{step.name}: a fastener of a wheel or brake was worked on after it. {step.says}"
        yield Finding(rule=rule, weight=Weight.STOP, subject=step.name, says=says, entry=done.noted.entry)
    elif done and done.answer == "not applicable" and step.proves:
        says = f"{step.name}: called not applicable, but it is what proves the {step.proves}. {step.says}"
        yield Finding(rule=rule, weight=Weight.STOP, subject=step.name, says=says, entry=done.noted.entry)
    elif done:
        yield from _left_out(step, done)


def _left_out(step: Step, done: StepDone) -> Iterator[Finding]:
    if done.answer == "not applicable" and step.required:
        says = f"{step.name}: called not applicable ({done.remark or 'no reason given'}). Make sure that it is so."
        yield Finding(
            rule="workshop_rules/not-applicable",
            weight=Weight.CAUTION,
            subject=step.name,
            says=says,
            entry=done.noted.entry,
        )


def _look(job: Job, step: Step, around: Around) -> Iterator[Finding]:
    """A fault that was found stands until a later look finds it in order, or a job that follows was released.

    See decision 0020.
    """
    done = job.record.steps(step.key)
    if done is None and step.required:
        says = f"{step.name}: not looked at. {step.says}"
        yield Finding(
            rule="workshop_rules/step-not-done",
            weight=Weight.STOP,
            subject=step.name,
            says=says,
            entry=job.record.opened.entry,
        )
    if done:
        yield from _left_out(step, done)
    if done is None or done.answer != "no":
        return
    said, entry = fault_text(step, done), done.noted.entry
    followed = [each.job for each in around.followed_by]
    if answered := _answered_by(around, done.noted):
        says = f"{said} Put right on job {answered}."
        yield Finding(rule="workshop_rules/fault-found", weight=Weight.NOTE, subject=step.name, says=says, entry=entry)
        return
    if followed:
        says = f"{said} Job {followed[-1]} follows, and was not released since."
    else:
        says = f"{said} Put it right and look again, or open the job that does, as one that follows job {job.number}."
    yield Finding(rule="workshop_rules/fault-found", weight=Weight.STOP, subject=step.name, says=says, entry=entry)


def _answered_by(around: Around, found: Noted) -> str:
    """The last job that follows and was released after a fault was found, "" where none was."""
    answered = [each.job for each in around.followed_by if each.released_at and each.released_at > found.happened_at]
    return answered[-1] if answered else ""


def _worked_on_since(job: Job, done: StepDone) -> bool:
    """A proof holds for what stood when it was given; a confirming click moved nothing."""
    held = {p for f in job.procedure.fasteners() if f.holds in ("wheel", "brake") for p in f.positions}
    return any(
        fact.position in held and fact.noted.order > done.noted.order
        for fact in job.record.facts
        if isinstance(fact, Loosening) or (isinstance(fact, Tightening) and fact.outcome is not Outcome.CLICKED_ONLY)
    )


def _early(job: Job, item: Step | Fit, noted: Noted | None) -> Iterator[Finding]:
    """Something done before what the procedure puts before it; what it covers is `covered-too-early`."""
    covers = item.covers if isinstance(item, Step) else ()
    items = [before for key in item.after if key not in covers and (before := job.procedure.item(key))]
    early = [before for before in items if noted and not done_by(job, before, noted.order)]
    guarded = [before for before in early if _guards(item, before)]
    for which, weight in ((guarded, Weight.STOP), ([each for each in early if each not in guarded], Weight.CAUTION)):
        if which and noted:
            names = " and ".join(f"“{before.name}”" for before in which)
            does = "Do that first, then do it again and record it."
            does = does if which is guarded else "Make sure of the order, and do it again if it matters."
            says = f"{item.name}: recorded before {names}. {does}"
            yield Finding(
                rule="workshop_rules/step-too-early", weight=weight, subject=item.name, says=says, entry=noted.entry
            )


def _guards(item: Step | Fit, before: Work) -> bool:
    """Whether safety rests on the order of two: a required step is one of them, and neither may be left out."""
    steps = [each for each in (item, before) if isinstance(each, Step)]
    return bool(steps) and all(step.required for step in steps)


def _measurement(job: Job, measurement: Measurement, around: Around) -> Iterator[Finding]:
    taken = job.record.measured(measurement.key)
    name = measurement.name
    if taken is None:
        yield Finding(
            rule="workshop_rules/measurement-missing",
            weight=Weight.STOP,
            subject=name,
            says=f"{name}: not measured.",
            entry=job.record.opened.entry,
        )
    elif taken.inside is False and (answered := _answered_by(around, taken.noted)):
        says = f"{name}: {measured_text(taken)}; {measurement.written} is specified. Put right on job {answered}."
        yield Finding(
            rule="workshop_rules/measurement-outside",
            weight=Weight.NOTE,
            subject=name,
            says=says,
            entry=taken.noted.entry,
        )
    elif taken.inside is False:
        asked = f"{measured_text(taken)}; {measurement.written} is specified. Set it right and measure again"
        yield Finding(
            rule="workshop_rules/measurement-outside",
            weight=Weight.STOP,
            subject=name,
            says=f"{name}: {taken.mend or asked}.",
            entry=taken.noted.entry,
        )
    elif taken.inside is None:
        says = f"{name}: {measured_text(taken)}, measured and not judged: the source states no limit."
        yield Finding(
            rule="workshop_rules/measurement-not-judged",
            weight=Weight.NOTE,
            subject=name,
            says=says,
            entry=taken.noted.entry,
        )
    elif taken.verdict == IN_NOT_PROVED and (taken.rule != SIMPLE or taken.expanded is not None):
        yield _not_proved(measurement, taken)


def _not_proved(measurement: Measurement, taken: Measured) -> Finding:
    """Inside, but not by the decision rule in force, or not at the end of the uncertainty that was told."""
    name = measurement.name
    likely = f"{likely_text(taken.probability)}, " if taken.probability is not None else ""
    if taken.rule == SIMPLE:
        why = f"{likely}but its uncertainty reaches past it: in, not proved. Take a better instrument to be sure."
    elif taken.expanded is None:
        why = f"but how sure it is was not told, so {taken.rule} proves nothing. Tell the instrument's uncertainty."
    else:
        why = f"{likely}but {taken.rule} does not prove it. Set it further inside, or take a better instrument."
    says = f"{name}: {measured_text(taken)} lies inside {measurement.written}, {why}"
    return Finding(
        rule="workshop_rules/measurement-not-proved",
        weight=Weight.CAUTION,
        subject=name,
        says=says,
        entry=taken.noted.entry,
    )


def _fit(job: Job, fit: Fit) -> Iterator[Finding]:
    fitted = job.record.fitted(fit.key)
    if fitted is None:
        says = f"{fit.name}: nothing fitted is recorded ({fit.part})."
        yield Finding(
            rule="workshop_rules/part-missing",
            weight=Weight.STOP,
            subject=fit.name,
            says=says,
            entry=job.record.opened.entry,
        )
    elif fit.single_use and not fitted.new:
        says = f"{fit.name}: used again. It holds once only; fit a new one."
        yield Finding(
            rule="workshop_rules/locking-part-reused",
            weight=Weight.STOP,
            subject=fit.name,
            says=says,
            entry=fitted.noted.entry,
        )
    missing = [name for name in fit.attributes if fitted and name not in {told for told, _ in fitted.attributes}]
    if fitted and missing:
        says = f"{fit.name}: not written down with it: {', '.join(missing)}. Record it again with {_them(missing)}."
        yield Finding(
            rule="workshop_rules/part-attribute-missing",
            weight=Weight.CAUTION,
            subject=fit.name,
            says=says,
            entry=fitted.noted.entry,
        )


def _them(missing: list[str]) -> str:
    return "them" if len(missing) > 1 else "it"


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
                yield Finding(
                    rule="workshop_rules/locking-part-reused",
                    weight=Weight.STOP,
                    subject=name,
                    says=says,
                    entry=done.noted.entry,
                )


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
                yield Finding(
                    rule="workshop_rules/threadlocker-not-cured",
                    weight=Weight.STOP,
                    subject=name,
                    says=says,
                    entry=now.tightening.noted.entry,
                )
