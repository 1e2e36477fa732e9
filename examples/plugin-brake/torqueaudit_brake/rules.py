"""Is the right fluid in, is the air out, is the lever firm, and are the pads of another compound than before?

front brake fluid: class DOT 5 went in, and the source states DOT 4. Drain it, flush the brake and fill in DOT 4.
front brake bled: 1 of 3 passes since the front brake fluid went in. Do the next one.
front lever firm: not since the brake was bled. Pump the lever until it is firm and stays firm.
front brake tried: not since the brake was bled. Push the motorcycle and stop it with the front brake alone.
front brake pads: organic, and sintered ones were in before. Bed them in, and tell the owner that they bite differently.
"""

from collections.abc import Iterator

from torqueaudit.plugin import ActName, Around, Finding, Fit, Job, Next, PartFitted, Step, StepDone, Weight, subject_of
from torqueaudit_brake.kinds import CLASS, COMPOUND, FLUID, PADS
from torqueaudit_brake.table import asked
from torqueaudit_brake.work import Touched, bleeding, last_work, parts_of, passes


def review(job: Job, around: Around) -> Iterator[Finding]:
    """Everything these rules say of a job."""
    for fit, fitted in parts_of(job, FLUID.name):
        yield from _fluid(job, fit, fitted)
        yield from _bled(job, fit, fitted)
    yield from _lever(job)
    yield from _tried(job)
    for fit, fitted in parts_of(job, PADS.name):
        yield from _compound(job, around, fit, fitted)


def _fluid(job: Job, fit: Fit, fitted: PartFitted) -> Iterator[Finding]:
    stated, told = asked(job.procedure.x).fluid, dict(fitted.attributes).get(CLASS, "")
    if not stated or told == stated:
        return
    if told:
        says = f"class {told} went in, and the source states {stated}. Drain it, flush the brake and fill in {stated}."
    else:
        says = f"of no class that was told, and the source states {stated}. Record it again with its class."
    yield Finding(
        rule="brake/fluid-not-stated",
        weight=Weight.STOP,
        about=subject_of(fit),
        words=says,
        entry=fitted.noted.entry,
        concedable=False,
        answer=Next(ActName.FIT, fit.key),
    )


def _bled(job: Job, fit: Fit, fitted: PartFitted) -> Iterator[Finding]:
    """A pass before the fluid went in was one of another fluid."""
    step, most = bleeding(job), asked(job.procedure.x).passes
    done = sum(each.noted.order > fitted.noted.order for each in passes(job))
    if step and most and done < most:
        since = Touched(f"the {fit.name} went in", fitted.noted)
        says = f"{done} of {most} passes since {since.words}. Do the next one."
        yield _again("brake/not-bled", step, says, since, job.record.steps(step.key))


def _lever(job: Job) -> Iterator[Finding]:
    """A lever that was firm before the last work on the brake says nothing of it now."""
    step, last = job.procedure.item(asked(job.procedure.x).lever), last_work(job, fasteners=True, lever=False)
    if isinstance(step, Step) and last:
        pumped = job.record.steps(step.key)
        if not pumped or pumped.answer != "yes" or pumped.noted.order < last.noted.order:
            yield _again("brake/lever-not-firm", step, f"not since {last.words}. {step.says}", last, pumped)


def _tried(job: Job) -> Iterator[Finding]:
    """The bundled rules look at fasteners; parts, bleeding and a soft lever undo a trial of the brake as well."""
    last = last_work(job, fasteners=False, lever=True)
    for step in job.procedure.steps():
        tried = job.record.steps(step.key)
        if step.proves == "brake" and last and tried and tried.noted.order < last.noted.order:
            yield _again("brake/tried-too-early", step, f"not since {last.words}. {step.says}", last, tried)


def _again(rule: str, step: Step, says: str, since: Touched, answered: StepDone | None) -> Finding:
    """A stop that no permission covers: the step is done, or done again.

    A required step that nobody answered is still to do, and the program names it in its place. Any other looks done to
    the program, so that only this finding names it.
    """
    return Finding(
        rule=rule,
        weight=Weight.STOP,
        about=subject_of(step),
        words=says,
        entry=since.noted.entry,
        concedable=False,
        answer=Next(ActName.STEP, step.key),
        due=step.required and answered is None,
    )


def _compound(job: Job, around: Around, fit: Fit, fitted: PartFitted) -> Iterator[Finding]:
    now, moment = dict(fitted.attributes).get(COMPOUND, ""), fitted.noted.happened_at
    earlier = [each for each in around.fitted if each.key == fit.key and each.happened_at < moment]
    before = max((each for each in earlier if each.job != job.number), key=lambda each: each.happened_at, default=None)
    was = dict(before.attributes).get(COMPOUND, "") if before else ""
    if now and was and now != was:
        yield Finding(
            rule="brake/compound-changed",
            weight=Weight.CAUTION,
            about=subject_of(fit),
            words=f"{now}, and {was} ones were in before. Bed them in, and tell the owner that they bite differently.",
            entry=fitted.noted.entry,
        )
