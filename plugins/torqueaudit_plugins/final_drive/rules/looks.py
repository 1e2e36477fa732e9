"""A fault is looked for by the cheapest look first; a cause found is no reason to leave out what holds the wheel.

rear axle: called not applicable, but whatever the cause, it is always looked at. Look, and record what you find.

Finding a fault and putting it right are two jobs: decision 0031.
"""

from collections.abc import Iterator
from typing import NamedTuple

from torqueaudit.plugin import (
    ActName,
    Around,
    Finding,
    Job,
    Measured,
    Measurement,
    Next,
    Step,
    StepDone,
    Subject,
    Weight,
    subject_of,
)
from torqueaudit_plugins.final_drive.table.content import Stated

CAUSE = "cause"


class Cause(NamedTuple):
    """What was found out of order, also what was put right since, and the entry that says so."""

    name: str
    entry: int


def review_looks(job: Job, around: Around, stated: Stated) -> Iterator[Finding]:
    """What the search for a fault still lacks; silent where the procedure names no look that is always made."""
    del around
    if not stated.always_look:
        return
    if causes := causes_of(job, stated):
        yield from _beside(job, stated, causes)
    else:
        yield _not_found(job, stated)


def _beside(job: Job, stated: Stated, causes: list[Cause]) -> Iterator[Finding]:
    """A cause is known: what has to be looked at all the same, and what nobody looked at."""
    looks = [step for step in job.procedure.steps() if step.look]
    yield from _always(job, [step for step in looks if step.key in stated.always_look], causes)
    left = [step.name for step in looks if job.record.steps(step.key) is None and step.key not in stated.always_look]
    if left:
        yield Finding(
            rule="final_drive/looks-left",
            weight=Weight.NOTE,
            about=Subject(CAUSE),
            called="",
            words=f"found: {_names(causes)}. Not looked at: {'; '.join(left)}. Another cause may hide there.",
            entry=causes[-1].entry,
        )


def _not_found(job: Job, stated: Stated) -> Finding:
    """No cause is known: the cheapest look that is left, or that none is left."""
    cheapest, opened = _cheapest(job), job.record.opened.entry
    if cheapest is None:
        says = "every look was in order, so no cause is found. Let whoever felt it ride along, and look again."
        return Finding(
            rule="final_drive/cause-not-found",
            weight=Weight.CAUTION,
            about=Subject(CAUSE),
            called="",
            words=says,
            entry=opened,
        )
    shown = _complaints(job, stated)
    complaint = f"the complaint shows ({_names(shown)}), but " if shown else ""
    says = f"{complaint}no cause found yet. The cheapest look that is left: {cheapest.name}. {cheapest.says}"
    return Finding(
        rule="final_drive/cause-not-found",
        weight=Weight.STOP,
        about=Subject(CAUSE),
        called="",
        words=says.rstrip(),
        entry=max((each.entry for each in shown), default=opened),
        answer=Next(ActName.STEP if isinstance(cheapest, Step) else ActName.MEASURE, cheapest.key),
        due=True,
    )


def _cheapest(job: Job) -> Step | Measurement | None:
    """The first look or measurement in the procedure's order that nobody made."""
    for item in job.procedure.work:
        if isinstance(item, Measurement) and job.record.measured(item.key) is None:
            return item
        if isinstance(item, Step) and item.look and job.record.steps(item.key) is None:
            return item
    return None


def _complaints(job: Job, stated: Stated) -> list[Cause]:
    """What was heard or felt as the customer says it: it has a cause and is none."""
    steps = [(step, job.record.steps(step.key)) for step in job.procedure.steps() if step.key in stated.complaint]
    return [Cause(step.name, done.noted.entry) for step, done in steps if done and done.answer == "no"]


def causes_of(job: Job, stated: Stated) -> list[Cause]:
    """Looks that found a fault and values outside their limits, in the order they were found, each once."""
    names = {item.key: item.name for item in job.procedure.work if not isinstance(item, Step) or item.look}
    names = {key: name for key, name in names.items() if key not in stated.complaint}
    found: dict[str, Cause] = {}
    for fact in job.record.facts:
        faulty = (isinstance(fact, StepDone) and fact.answer == "no") or (
            isinstance(fact, Measured) and fact.inside is False
        )
        if faulty and isinstance(fact, StepDone | Measured) and fact.key in names:
            found[fact.key] = Cause(names[fact.key], fact.noted.entry)
    return list(found.values())


def _names(causes: list[Cause]) -> str:
    return "; ".join(cause.name for cause in causes)


def _always(job: Job, always: list[Step], causes: list[Cause]) -> Iterator[Finding]:
    """What is required and not answered at all the workshop's own rules ask for."""
    for step in always:
        done = job.record.steps(step.key)
        if done is None and not step.required:
            says = f"not looked at. A cause was found ({_names(causes)}), but this is always looked at."
            yield Finding(
                rule="final_drive/always-look",
                weight=Weight.STOP,
                about=subject_of(step),
                words=f"{says} {step.says}",
                entry=causes[-1].entry,
                answer=Next(ActName.STEP, step.key),
            )
        elif done and done.answer == "not applicable":
            says = f"called not applicable, but it is looked at whatever the cause. {step.says}"
            yield Finding(
                rule="final_drive/always-look",
                weight=Weight.STOP,
                about=subject_of(step),
                words=says,
                entry=done.noted.entry,
                answer=Next(ActName.STEP, step.key),
            )
