"""Was the work done in the order that matters?

rear axle nut: had its final torque before chain slack was measured. Loosen it, set the slack, tighten again.
"""

from collections.abc import Iterator
from datetime import datetime
from itertools import pairwise

from torqueaudit.model.around import Around
from torqueaudit.model.facts import Loosening, Measured, Outcome, PartFitted, StepDone, Tightening
from torqueaudit.model.finding import Finding, Weight
from torqueaudit.model.job import FastenerState, Job, current_of
from torqueaudit.model.procedure import Fastener, Measurement, Step, Work

Order = tuple[datetime, int]


def review_order(job: Job, around: Around) -> Iterator[Finding]:
    """What must come before came before; stages and cross pattern kept; measured again after the nut."""
    del around
    for fastener in job.procedure.fasteners():
        yield from _before(job, fastener)
        yield from _stages(job, fastener)
    for measurement in job.procedure.measurements():
        yield from _again(job, measurement)


def _before(job: Job, fastener: Fastener) -> Iterator[Finding]:
    finals = [
        now.tightening for p in fastener.positions if (now := job.record.current(p)).state is FastenerState.TIGHTENED
    ]
    first = min((done for done in finals if done), key=lambda done: done.noted.order, default=None)
    if first is None:
        return
    items = [item for key in fastener.after if (item := job.procedure.item(key))]
    missing = [f"“{item.name}”" for item in items if not done_by(job, item, first.noted.order)]
    if missing:
        says = (
            f"{fastener.name}: had its final torque before {' and '.join(missing)} was done. Loosen it, do that "
            "first, tighten again."
        )
        yield Finding("too-early", Weight.STOP, fastener.name, says, first.noted.entry)


def done_by(job: Job, item: Work, limit: Order) -> bool:
    """Whether a piece of work stood as done at a moment."""
    before = [fact for fact in job.record.facts if fact.noted.order <= limit]
    if isinstance(item, Fastener):
        return all(current_of(p, before).state is FastenerState.TIGHTENED for p in item.positions)
    if isinstance(item, Step):
        answers = [fact.answer for fact in before if isinstance(fact, StepDone) and fact.key == item.key]
        return bool(answers) and (item.look or answers[-1] != "no")
    return any(isinstance(fact, Measured | PartFitted) and fact.key == item.key for fact in before)


def _stages(job: Job, fastener: Fastener) -> Iterator[Finding]:
    """Each bolt went through every stage since it was last loose, and each stage went round in the pattern."""
    if not fastener.stages:
        return
    rounds: dict[int, list[Tightening]] = {}
    for position in fastener.positions:
        passes = job.record.passes(position)
        if passes and passes[-1].final and {each.stage for each in passes} != set(range(1, len(fastener.stages) + 1)):
            name, group = fastener.name_of(position), "the group" if fastener.size > 1 else "it"
            says = (
                f"{name}: a stage was left out ({', '.join(fastener.stages)} are asked for). Loosen {group} "
                "and go through the stages."
            )
            yield Finding("stage-left-out", Weight.STOP, name, says, passes[-1].noted.entry)
        for index, each in enumerate(passes):
            turned = each.outcome is not Outcome.CLICKED_ONLY
            if turned or each.stage not in {before.stage for before in passes[:index]}:
                rounds.setdefault(each.stage, []).append(each)
    # One bolt done again alone breaks no earlier round; the last stage goes round again in any case.
    redone = any(isinstance(event, Loosening) for p in fastener.positions for event in job.record.events(p))
    for stage, turned_in in sorted(rounds.items()):
        if not redone or stage == len(fastener.stages):
            yield from _pattern(fastener, stage, turned_in)


def _pattern(fastener: Fastener, stage: int, passes: list[Tightening]) -> Iterator[Finding]:
    """The last round alone counts: going round once more in order answers a broken one."""
    size = len(fastener.turning_order)
    last = sorted(passes, key=lambda each: each.noted.order)[-size:]
    places = [fastener.turning_order.index(each.position) for each in last]
    broken = next((last[i + 1] for i, (a, b) in enumerate(pairwise(places)) if b != (a + 1) % size), None)
    if fastener.pattern and broken:
        wanted = "-".join(str(number) for number in fastener.pattern)
        says = (
            f"{fastener.name}: stage {stage} did not go round crosswise ({wanted}). Go round once more in that order."
        )
        yield Finding("pattern-broken", Weight.CAUTION, fastener.name, says, broken.noted.entry)


def _again(job: Job, measurement: Measurement) -> Iterator[Finding]:
    """A value taken before the nut had its torque says nothing of what the nut did to it."""
    taken = job.record.measured(measurement.key)
    for fastener in job.procedure.fasteners():
        last = _last_final(job, fastener) if fastener.key in measurement.again_after else None
        if last and taken and taken.noted.order < last.noted.order:
            says = f"{measurement.name}: not taken again after the {fastener.name} had its torque. Measure it again."
            yield Finding("not-measured-again", Weight.STOP, measurement.name, says, last.noted.entry)


def _last_final(job: Job, fastener: Fastener) -> Tightening | None:
    finals = [now.tightening for p in fastener.positions if (now := job.record.current(p)).tightening]
    return max((each for each in finals if each.final), key=lambda each: each.noted.order, default=None)
