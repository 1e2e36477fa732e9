"""Was the work done in the order that matters?

rear axle nut: had its final torque before chain slack was measured. Loosen it, set the slack, tighten again.
"""

from collections.abc import Iterator
from datetime import datetime
from itertools import pairwise

from torqueaudit.plugin import (
    ActName,
    Around,
    Fact,
    Fastener,
    FastenerState,
    Finding,
    Job,
    Loosening,
    MarkState,
    Measured,
    Measurement,
    Next,
    Outcome,
    PartFitted,
    Step,
    StepDone,
    Tightening,
    Weight,
    Work,
    aim_text,
    current_of,
    listed,
    subject_at,
    subject_of,
)
from torqueaudit_plugins.workshop_rules.rules.again import contradicted

Order = tuple[datetime, int]


def review_order(job: Job, around: Around) -> Iterator[Finding]:
    """What must come before came before; stages and cross pattern kept; measured again after the nut."""
    for fastener in job.procedure.fasteners():
        yield from _before(job, fastener)
        yield from _stages(job, around, fastener)
    for measurement in job.procedure.measurements():
        yield from _again(job, measurement)
    for step in job.procedure.steps():
        yield from _covered(job, step)


def _before(job: Job, fastener: Fastener) -> Iterator[Finding]:
    tight = [p for p in fastener.positions if job.record.current(p).state is FastenerState.TIGHTENED]
    # The first one since it was last loose: another pass over a tight nut does not bring it into its place.
    finals = [done for p in tight for done in job.record.passes(p) if done.final]
    first = min(finals, key=lambda done: done.noted.order, default=None)
    if first is None:
        return
    items = [item for key in fastener.after if (item := job.procedure.item(key))]
    missing = [f"“{item.name}”" for item in items if not done_by(job, item, first.noted.order)]
    if missing:
        says = f"had its final torque before {' and '.join(missing)} was done. Loosen it, do that first, tighten again."
        yield Finding(
            rule="workshop_rules/too-early",
            weight=Weight.STOP,
            about=subject_of(fastener),
            words=says,
            entry=first.noted.entry,
            answer=Next(ActName.LOOSEN, fastener.key),
        )


def done_by(job: Job, item: Work, limit: Order) -> bool:
    """Whether a piece of work stood as done at a moment."""
    record = job.record
    if isinstance(item, Fastener):
        own = {p: [f for f in record.by_position.get(p, ()) if f.noted.order <= limit] for p in item.positions}
        return all(current_of(p, before).state is FastenerState.TIGHTENED for p, before in own.items())
    if isinstance(item, Step):
        answers = [f.answer for f in record.of(StepDone) if f.key == item.key and f.noted.order <= limit]
        return bool(answers) and (item.look or answers[-1] != "no")
    measured = (f.noted for f in record.of(Measured) if f.key == item.key)
    fitted = (f.noted for f in record.of(PartFitted) if f.key == item.key)
    return any(noted.order <= limit for noted in (*measured, *fitted))


def _stages(job: Job, around: Around, fastener: Fastener) -> Iterator[Finding]:
    """Each bolt went through every stage since it was last loose, and each stage went round in the pattern.

    One thing is said of a group at a time: what has to be loosened is not gone round first. Of a bolt that was done
    again alone, while the others held the part in its seat, no stage is asked for; but it took load from the others.
    """
    alone = [p for p in fastener.positions if _done_again_alone(job, fastener, p)] if fastener.stages else []
    left_out = [p for p in fastener.positions if p not in alone and _left_out(job, fastener, p)]
    for position in left_out:
        group = "the group" if fastener.size > 1 else "it"
        says = (
            f"a stage was left out ({', '.join(fastener.stages)} are asked for). Loosen {group} "
            "and go through the stages."
        )
        yield Finding(
            rule="workshop_rules/stage-left-out",
            weight=Weight.STOP,
            about=subject_at(fastener, position),
            words=says,
            entry=job.record.passes(position)[-1].noted.entry,
            answer=Next(ActName.LOOSEN, position),
        )
    if left_out or any(contradicted(job, around, position)[1] for position in fastener.positions):
        return
    if alone:
        yield from _round_due(job, fastener, alone)
    elif fastener.stages:
        yield from _rounds(job, fastener)


def _left_out(job: Job, fastener: Fastener, position: str) -> bool:
    passes = job.record.passes(position)
    asked = set(range(1, len(fastener.stages) + 1))
    return bool(fastener.stages and passes and passes[-1].final and {each.stage for each in passes} != asked)


def _done_again_alone(job: Job, fastener: Fastener, position: str) -> bool:
    """Whether a bolt was loosened and tightened again while every other one of its group stood tight."""
    events, passes = job.record.events(position), job.record.passes(position)
    loosened = next((each for each in reversed(events) if isinstance(each, Loosening)), None)
    others = [each for each in fastener.positions if each != position]
    if not (others and loosened and passes and passes[-1].final):
        return False
    first = next(each for each in passes if each.final)
    return all(_stood(job, others, limit) for limit in (loosened.noted.order, first.noted.order))


def _stood(job: Job, positions: list[str], limit: Order) -> bool:
    before = [fact for fact in job.record.facts if fact.noted.order <= limit]
    return all(current_of(position, before).state is FastenerState.TIGHTENED for position in positions)


def _round_due(job: Job, fastener: Fastener, alone: list[str]) -> Iterator[Finding]:
    """What comes behind a bolt that was done again alone: each holds what it should only beside its neighbours."""
    firsts = [next(each for each in job.record.passes(position) if each.final) for position in alone]
    last = max(firsts, key=lambda each: each.noted.order)
    if _went_round(job, fastener, last.noted.order):
        return
    wanted = f" crosswise ({_in_words(fastener)})" if fastener.pattern else ""
    says = (
        f"done again while the others of the group stood tight, so they carry another load now. Go round all of them "
        f"once more at {aim_text(fastener.specification)}{wanted}."
    )
    yield from (
        Finding(
            rule="workshop_rules/done-again-alone",
            weight=Weight.CAUTION,
            about=subject_at(fastener, position),
            words=says,
            entry=last.noted.entry,
        )
        for position in alone
    )


def _went_round(job: Job, fastener: Fastener, since: Order) -> bool:
    """Whether the last stage went round after a moment; that a bolt only clicked there is as it should be."""
    passes = [each for position in fastener.positions for each in job.record.passes(position)]
    later = sorted(
        (each for each in passes if each.final and each.noted.order > since), key=lambda each: each.noted.order
    )
    around = later[-fastener.size :]
    return {each.position for each in around} == set(fastener.positions) and not _break_in(fastener, around)


def _rounds(job: Job, fastener: Fastener) -> Iterator[Finding]:
    rounds: dict[int, list[Tightening]] = {}
    for position in fastener.positions:
        passes = job.record.passes(position)
        for index, each in enumerate(passes):
            turned = each.outcome is not Outcome.CLICKED_ONLY
            if turned or each.stage not in {before.stage for before in passes[:index]}:
                rounds.setdefault(each.stage, []).append(each)
    # One bolt done again alone breaks no earlier round; the last stage goes round again in any case.
    redone = any(isinstance(event, Loosening) for p in fastener.positions for event in job.record.events(p))
    for stage, turned_in in sorted(rounds.items()):
        if not redone or stage == fastener.last_stage:
            yield from _pattern(fastener, stage, turned_in)


def _pattern(fastener: Fastener, stage: int, passes: list[Tightening]) -> Iterator[Finding]:
    """The last round alone counts: going round once more in order answers a broken one."""
    last = sorted(passes, key=lambda each: each.noted.order)[-fastener.size :]
    if broken := _break_in(fastener, last):
        says = f"stage {stage} did not go round crosswise ({_in_words(fastener)}). Go round once more in that order."
        yield Finding(
            rule="workshop_rules/pattern-broken",
            weight=Weight.CAUTION,
            about=subject_of(fastener),
            words=says,
            entry=broken.noted.entry,
        )


def _break_in(fastener: Fastener, passes: list[Tightening]) -> Tightening | None:
    """The first pass that is not the next one of the pattern; None where it was kept, or there is none."""
    size = len(fastener.turning_order)
    places = [fastener.turning_order.index(each.position) for each in passes]
    broken = next((passes[i + 1] for i, (a, b) in enumerate(pairwise(places)) if b != (a + 1) % size), None)
    return broken if fastener.pattern else None


def _in_words(fastener: Fastener) -> str:
    return "-".join(str(number) for number in fastener.pattern)


def _again(job: Job, measurement: Measurement) -> Iterator[Finding]:
    """A value taken before the nut had its torque says nothing of what the nut did to it."""
    taken = job.record.measured(measurement.key)
    nuts = [f for f in job.procedure.fasteners() if f.key in measurement.again_after]
    finals = [(nut, last) for nut in nuts if (last := _last_final(job, nut))]
    later = [(nut, last) for nut, last in finals if taken and taken.noted.order < last.noted.order]
    if later:
        names = " and ".join(f"the {nut.name}" for nut, _ in later)
        whose = "their" if len(later) > 1 else "its"
        says = f"not taken again after {names} had {whose} torque. Measure it again."
        newest = max((last for _, last in later), key=lambda last: last.noted.order)
        yield Finding(
            rule="workshop_rules/not-measured-again",
            weight=Weight.STOP,
            about=subject_of(measurement),
            words=says,
            entry=newest.noted.entry,
            answer=Next(ActName.MEASURE, measurement.key),
            due=True,
        )


def _covered(job: Job, step: Step) -> Iterator[Finding]:
    """What went on over a nut before its mark and check hides what nobody has seen (decision 0033)."""
    done = job.record.steps(step.key)
    for fastener in job.procedure.fasteners():
        if done is None or done.answer != "yes" or fastener.key not in step.covers:
            continue
        seen = [fact for fact in job.record.facts if fact.noted.order <= done.noted.order]
        missing = [word for p in fastener.positions for word in _unseen(fastener, p, job, seen)]
        if missing:
            says = (
                f"{fastener.name} was not yet {listed(dict.fromkeys(missing))} when it went on. "
                f"Take it off, {_to_do(fastener)}, put it on again."
            )
            yield Finding(
                rule="workshop_rules/covered-too-early",
                weight=Weight.STOP,
                about=subject_of(step),
                words=says,
                entry=done.noted.entry,
                answer=Next(ActName.STEP, step.key),
            )


def _unseen(fastener: Fastener, position: str, job: Job, seen: list[Fact]) -> Iterator[str]:
    """What a fastener lacked at a moment; one that was tightened since lacked all of it."""
    then, now = current_of(position, seen), job.record.current(position)
    stood = then.state is FastenerState.TIGHTENED and then.standing == (now.standing or then.standing)
    if not stood:
        yield "tightened"
    if fastener.mark and not (stood and then.mark_state is MarkState.INTACT):
        yield "marked"
    if fastener.check and not (stood and then.check):
        yield "checked"


def _to_do(fastener: Fastener) -> str:
    wanted = [word for word, asked in (("mark", fastener.mark), ("check", fastener.check)) if asked]
    return f"{' and '.join(wanted)} it" if wanted else "tighten it"


def _last_final(job: Job, fastener: Fastener) -> Tightening | None:
    finals = [now.tightening for p in fastener.positions if (now := job.record.current(p)).tightening]
    return max((each for each in finals if each.final), key=lambda each: each.noted.order, default=None)
