"""What was done to the brake on a job, read from its record."""

from collections.abc import Iterator
from typing import NamedTuple

from torqueaudit.plugin import Fit, Job, Noted, PartFitted, Step, StepDone
from torqueaudit_brake.kinds import FLUID, PADS, WASHER
from torqueaudit_brake.table import asked


class Touched(NamedTuple):
    """Something that was done to the brake, as a sentence goes on after "since", and where it was told."""

    words: str
    noted: Noted


def last_work(job: Job, *, fasteners: bool, lever: bool) -> Touched | None:
    """What was done to the brake last; fasteners and the pumping of the lever count where they are asked for."""
    done = [
        *_parts_and_bleeding(job),
        *(_fasteners(job) if fasteners else ()),
        *(_lever(job) if lever else ()),
    ]
    return max(done, key=lambda each: each.noted.order, default=None)


def parts_of(job: Job, kind: str) -> Iterator[tuple[Fit, PartFitted]]:
    """The parts of one kind that were fitted, each as it was fitted last."""
    for fit in job.procedure.fits():
        fitted = job.record.fitted(fit.key)
        if fit.kind == kind and fitted:
            yield fit, fitted


def bleeding(job: Job) -> Step | None:
    """The step that the procedure names for bleeding."""
    step = job.procedure.item(asked(job.procedure.x).bleed)
    return step if isinstance(step, Step) else None


def passes(job: Job) -> list[StepDone]:
    """Every pass of bleeding: each yes to the step is one."""
    step = bleeding(job)
    return [done for done in job.record.of(StepDone) if step and done.key == step.key and done.answer == "yes"]


def _parts_and_bleeding(job: Job) -> Iterator[Touched]:
    for kind in (PADS, WASHER, FLUID):
        for fit, fitted in parts_of(job, kind.name):
            yield Touched(f"the {fit.name} went in", fitted.noted)
    for done in passes(job):
        yield Touched("the brake was bled", done.noted)


def _fasteners(job: Job) -> Iterator[Touched]:
    for fastener in job.procedure.fasteners():
        for position in fastener.positions if fastener.holds == "brake" else ():
            for event in job.record.events(position):
                yield Touched(f"the {fastener.name_of(position)} was worked on", event.noted)


def _lever(job: Job) -> Iterator[Touched]:
    done = job.record.steps(asked(job.procedure.x).lever)
    if done and done.answer == "yes":
        yield Touched("the lever was pumped", done.noted)
