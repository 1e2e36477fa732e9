"""Are steps and measurements done, in their order and inside their limits?

chain slack: 47 mm; 32 … 42 mm is specified. Set it again and measure again after the axle nut.
"""

from collections.abc import Iterator

from torqueaudit.plugin import (
    IN_NOT_PROVED,
    SIMPLE,
    ActName,
    Around,
    Finding,
    Fit,
    Job,
    Loosening,
    Measured,
    Measurement,
    Next,
    Noted,
    Outcome,
    Step,
    StepDone,
    Tightening,
    Weight,
    Work,
    fault_text,
    likely_text,
    measured_text,
    subject_of,
)
from torqueaudit_plugins.workshop_rules.rules.order import done_by
from torqueaudit_plugins.workshop_rules.rules.parts import review_cure, review_locking_parts, review_part


def review_work(job: Job, around: Around) -> Iterator[Finding]:
    """Every item of the procedure that is not a fastener, and what a fastener needs renewed or cured."""
    for item in job.procedure.work:
        if isinstance(item, Step):
            yield from _look(job, item, around) if item.look and not item.proves else _step(job, item, around)
            done = job.record.steps(item.key)
            yield from _early(job, item, done.noted if done else None)
        elif isinstance(item, Measurement):
            yield from _measurement(job, item, around)
        elif isinstance(item, Fit):
            yield from review_part(job, item)
            part = job.record.fitted(item.key)
            yield from _early(job, item, part.noted if part else None)
        else:
            yield from review_locking_parts(job, item)
            yield from review_cure(job, item, around)


def _step(job: Job, step: Step, around: Around) -> Iterator[Finding]:
    done = job.record.steps(step.key)
    if done is None:
        if step.required:
            yield _not_done(job, step, f"not done. {step.says}")
    elif done.answer == "no":
        says = f"answered no{f' ({done.remark})' if done.remark else ''}. {step.says}"
        yield _not_done(job, step, says)._replace(weight=Weight.STOP if step.required else Weight.CAUTION)
    elif step.proves and _worked_on_since(job, around, done):
        yield _not_done(job, step, f"a fastener of a wheel or brake was worked on after it. {step.says}")
    elif step.proves and done.answer == "not applicable":
        yield _not_done(job, step, f"called not applicable, but it is what proves the {step.proves}. {step.says}")
    else:
        yield from _left_out(step, done)


def _not_done(job: Job, step: Step, says: str) -> Finding:
    """A step that does not stand as done; what proves the brake is never conceded, nor is anything built on a no."""
    done, brake = job.record.steps(step.key), step.proves == "brake"
    return Finding(
        rule="workshop_rules/brake-not-proved" if brake else "workshop_rules/step-not-done",
        weight=Weight.STOP,
        about=subject_of(step),
        words=says,
        entry=done.noted.entry if done else job.record.opened.entry,
        concedable=not brake,
        answer=Next(ActName.STEP, step.key),
        due=done is None or not brake,
    )


def _left_out(step: Step, done: StepDone) -> Iterator[Finding]:
    if done.answer == "not applicable" and step.required:
        says = f"called not applicable ({done.remark or 'no reason given'}). Make sure that it is so."
        yield Finding(
            rule="workshop_rules/not-applicable",
            weight=Weight.CAUTION,
            about=subject_of(step),
            words=says,
            entry=done.noted.entry,
        )


def _look(job: Job, step: Step, around: Around) -> Iterator[Finding]:
    """A fault that was found stands until a later look finds it in order, or a job that follows was released.

    See decision 0020.
    """
    done = job.record.steps(step.key)
    if done is None and step.required:
        yield _not_done(job, step, f"not looked at. {step.says}")
    if done:
        yield from _left_out(step, done)
    if done is None or done.answer != "no":
        return
    said, entry = fault_text(step, done), done.noted.entry
    followed = [each.job for each in around.followed_by if each.answers(step.key)]
    if answered := _answered_by(around, step.key, done.noted):
        says = f"{said} Put right on job {answered}."
        yield Finding(
            rule="workshop_rules/fault-found",
            weight=Weight.NOTE,
            about=subject_of(step),
            words=says,
            entry=entry,
            due=True,
        )
        return
    if followed:
        says = f"{said} Job {followed[-1]} follows, and was not released since."
    else:
        says = f"{said} Put it right and look again, or open the job that does, as one that follows job {job.number}."
    yield Finding(
        rule="workshop_rules/fault-found",
        weight=Weight.STOP,
        about=subject_of(step),
        words=says,
        entry=entry,
        due=True,
    )


def _answered_by(around: Around, key: str, found: Noted) -> str:
    """The last job that follows, answers it and was released after a fault was found, "" where none was."""
    answering = [each for each in around.followed_by if each.answers(key)]
    answered = [each.job for each in answering if each.released_at and each.released_at > found.happened_at]
    return answered[-1] if answered else ""


def _worked_on_since(job: Job, around: Around, done: StepDone) -> bool:
    """A proof holds for what stood when it was given; a confirming click moved nothing.

    What a job of some fasteners alone has done since the vehicle left, it proves itself, where it has this step.
    """
    held = {p for f in job.procedure.fasteners() if f.holds in ("wheel", "brake") for p in f.positions}
    proving = {each.job for each in around.followed_by if done.key in each.work and job.record.hand_over}
    return any(
        fact.position in held and fact.noted.order > done.noted.order and not _done_on(proving, around, fact)
        for fact in job.record.facts
        if isinstance(fact, Loosening) or (isinstance(fact, Tightening) and fact.outcome is not Outcome.CLICKED_ONLY)
    )


def _done_on(jobs: set[str], around: Around, fact: Loosening | Tightening) -> bool:
    """Whether one of these jobs has turned a fastener since."""
    since = around.undone(fact.position, fact.noted.happened_at)
    return since is not None and since.job in jobs


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
            says = f"recorded before {names}. {does}"
            yield Finding(
                rule="workshop_rules/step-too-early",
                weight=weight,
                about=subject_of(item),
                words=says,
                entry=noted.entry,
                answer=Next(ActName.STEP if isinstance(item, Step) else ActName.FIT, item.key),
            )


def _guards(item: Step | Fit, before: Work) -> bool:
    """Whether safety rests on the order of two: a required step is one of them, and neither may be left out."""
    steps = [each for each in (item, before) if isinstance(each, Step)]
    return bool(steps) and all(step.required for step in steps)


def _measurement(job: Job, measurement: Measurement, around: Around) -> Iterator[Finding]:
    taken = job.record.measured(measurement.key)
    about = subject_of(measurement)
    if taken is None:
        yield Finding(
            rule="workshop_rules/measurement-missing",
            weight=Weight.STOP,
            about=about,
            words="not measured.",
            entry=job.record.opened.entry,
            answer=Next(ActName.MEASURE, measurement.key),
            due=True,
        )
    elif taken.inside is False:
        yield _outside(measurement, taken, _answered_by(around, measurement.key, taken.noted))
    elif taken.inside is None:
        says = f"{measured_text(taken)}, measured and not judged: the source states no limit."
        yield Finding(
            rule="workshop_rules/measurement-not-judged",
            weight=Weight.NOTE,
            about=about,
            words=says,
            entry=taken.noted.entry,
        )
    elif taken.verdict == IN_NOT_PROVED and (taken.rule != SIMPLE or taken.expanded is not None):
        yield _not_proved(measurement, taken)


def _outside(measurement: Measurement, taken: Measured, answered: str) -> Finding:
    """Outside its limits: to be put right, or put right on the job `answered`."""
    outside = f"{measured_text(taken, measurement.lower, measurement.upper)}; {measurement.written} is specified."
    mend = taken.mend or f"{outside} Set it right and measure again"
    return Finding(
        rule="workshop_rules/measurement-outside",
        weight=Weight.NOTE if answered else Weight.STOP,
        about=subject_of(measurement),
        words=f"{outside} Put right on job {answered}." if answered else f"{mend}.",
        entry=taken.noted.entry,
        answer=None if answered else Next(ActName.MEASURE, measurement.key),
    )


def _not_proved(measurement: Measurement, taken: Measured) -> Finding:
    """Inside, but not by the decision rule in force, or not at the end of the uncertainty that was told."""
    about = subject_of(measurement)
    likely = f"{likely_text(taken.probability)}, " if taken.probability is not None else ""
    if taken.rule == SIMPLE:
        why = f"{likely}but its uncertainty reaches past it: in, not proved. Take a better instrument to be sure."
    elif taken.expanded is None:
        why = f"but how sure it is was not told, so {taken.rule} proves nothing. Tell the instrument's uncertainty."
    else:
        why = f"{likely}but {taken.rule} does not prove it. Set it further inside, or take a better instrument."
    says = f"{measured_text(taken, measurement.lower, measurement.upper)} lies inside {measurement.written}, {why}"
    return Finding(
        rule="workshop_rules/measurement-not-proved",
        weight=Weight.CAUTION,
        about=about,
        words=says,
        entry=taken.noted.entry,
    )
