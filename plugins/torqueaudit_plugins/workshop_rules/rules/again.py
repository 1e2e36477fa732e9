"""Was a fastener that already stood tightened turned or clicked again, with no loosening between?

rear axle nut: recorded at 118 N·m and again at 99 N·m with no loosening between. One of the two is wrong: strike it, or
loosen it, tighten, mark and check it again.
"""

from collections.abc import Iterator
from decimal import Decimal
from itertools import pairwise

from torqueaudit.plugin import (
    THREADLOCKER,
    ActName,
    Around,
    Check,
    CheckMethod,
    Fastener,
    Finding,
    HandOver,
    Job,
    Loosening,
    Measured,
    Measurement,
    Next,
    Outcome,
    Ride,
    Tightening,
    Weight,
    digits_apart,
    measured_text,
    subject_at,
    subject_of,
    torque_text,
)

READ = frozenset({Outcome.TURNED_CLICKED, Outcome.VALUE_SHOWN})
BETWEEN = "with no loosening between"
ANEW = "One of the two is wrong: strike it, or loosen it, tighten, mark and check it again."


def review_again(job: Job, around: Around) -> Iterator[Finding]:
    """Passes that contradict the one before them, and what was set at a re-check that may not be so."""
    for fastener in job.procedure.fasteners():
        for position in fastener.positions:
            passes = _standing(job, around, position)
            says, last = contradicted(job, around, position)
            if last:
                about = subject_at(fastener, position)
                yield Finding(
                    rule="workshop_rules/tightened-again",
                    weight=Weight.STOP,
                    about=about,
                    words=says,
                    entry=last.noted.entry,
                    answer=Next(ActName.LOOSEN, position),
                )
            if fastener.condition == THREADLOCKER:
                yield from _disturbed(job, fastener, position, passes)
    for measurement in job.procedure.measurements():
        yield from _set_without_loosening(job, measurement)


def _standing(job: Job, around: Around, position: str) -> tuple[Tightening, ...]:
    """The passes since the fastener was last loose, also by another job or a report."""
    passes = job.record.passes(position)
    if not passes:
        return ()
    undone = [
        event.happened_at
        for event in around.others
        if event.position == position and event.kind == "loosened" and event.happened_at <= passes[-1].noted.happened_at
    ]
    return tuple(around.as_known(p) for p in passes if not undone or p.noted.happened_at >= max(undone))


def contradicted(job: Job, around: Around, position: str) -> tuple[str, Tightening | None]:
    """What the last pass contradicts, and that pass; a pass that did not turn confirms and contradicts nothing.

    One in the middle is let be: the nut stands at what came after it.
    """
    turned = [each for each in _standing(job, around, position) if each.outcome is not Outcome.CLICKED_ONLY]
    if not turned:
        return "", None
    *before, last = turned
    if not last.final and any(each.final for each in before):
        return f"stage {last.stage} was told after the last stage {BETWEEN}. {ANEW}", last
    angled = [each for each in turned if each.angle_deg is not None]
    if len(angled) > 1:
        first, again = angled[-2:]
        turns = f"turned on by {first.angle_deg:f}° and again by {again.angle_deg:f}°"
        return f"{turns} {BETWEEN}. {ANEW} A bolt turned twice is stretched: look at it and its thread.", again
    return _lower(job, [each for each in turned if each.outcome in READ])


def _lower(job: Job, read: list[Tightening]) -> tuple[str, Tightening | None]:
    """A nut that stands at more does not turn at less. What settles on the road may, so each side of it is apart.

    See decision 0028.
    """
    if not read:
        return "", None
    left, last = job.record.hand_over, read[-1]
    before = [each for each in read[:-1] if _after(left, each) == _after(left, last)]
    most = max(before, key=_stood_at, default=None)
    if most is None or last.applied_nm is None or last.applied_nm >= _stood_at(most) - _room(most, last):
        return "", None
    further = digits_apart(_stood_at(most), last.applied_nm)
    values = [torque_text(each, further=further) for each in (_stood_at(most), last.applied_nm)]
    return f"recorded at {' and again at '.join(values)} {BETWEEN}. {ANEW}", last


def _after(left: HandOver | None, done: Tightening | Measured) -> bool:
    return left is not None and done.noted.order > left.noted.order


def _stood_at(done: Tightening) -> Decimal:
    """What a pass left it at; nothing where a stage was told without its torque."""
    at_slot = done.at_slot.nm if done.at_slot and not done.at_slot.below else None
    return done.final_nm or at_slot or done.applied_nm or Decimal(0)


def _room(most: Tightening, last: Tightening) -> Decimal:
    """Two wrenches, or two looks at a dial, differ by what they are known to; one that clicks repeats itself."""
    same = (most.wrench, most.fitted) == (last.wrench, last.fitted)
    if same and last.outcome is Outcome.TURNED_CLICKED:
        return Decimal(0)
    return max(each.expanded_nm or Decimal(0) for each in (most, last))


def _disturbed(job: Job, fastener: Fastener, position: str, passes: tuple[Tightening, ...]) -> Iterator[Finding]:
    """A bond put under load once more, whether the fastener moved or not."""
    short = (Outcome.CLICKED_ONLY, Outcome.NOT_REACHED)
    final = next((each for each in passes if each.final and each.outcome not in short), None)
    if final is None:
        return
    again: list[Tightening | Check] = [each for each in passes if each.noted.order > final.noted.order]
    again += [each for each in job.record.of(Check) if _clicked(each, position, final)]
    if again:
        about = subject_at(fastener, position)
        says = (
            "a wrench was put on it again after its final torque, and it is threadlocked. Loosen it, clean "
            "the thread, take new threadlocker, tighten and mark it; next time look at the mark instead."
        )
        last = max(again, key=lambda each: each.noted.order)
        yield Finding(
            rule="workshop_rules/threadlocker-disturbed",
            weight=Weight.STOP,
            about=about,
            words=says,
            entry=last.noted.entry,
            answer=Next(ActName.LOOSEN, position),
        )


def _set_without_loosening(job: Job, measurement: Measurement) -> Iterator[Finding]:
    """What a tight axle holds does not change in the workshop; on the road it may, and while the nut draws it in."""
    left = job.record.hand_over
    nuts = [f for f in job.procedure.fasteners() if f.key in measurement.again_after]
    held = {position for nut in nuts for position in nut.positions}
    loose, takes = False, list[Measured]()
    for fact in job.record.facts if left and nuts else ():
        loose |= isinstance(fact, Loosening) and fact.position in held
        turned = loose and isinstance(fact, Loosening | Tightening) and fact.position in held
        if turned or isinstance(fact, Ride | HandOver):
            takes = []
        elif isinstance(fact, Measured) and fact.key == measurement.key and _after(left, fact):
            takes.append(fact)
    changed = [again for first, again in pairwise(takes) if _differ(first, again)]
    if changed:
        which = " or ".join(f"the {nut.name}" for nut in nuts)
        says = f"changed to {measured_text(changed[-1])} without {which} loosened: how was it set?"
        yield Finding(
            rule="workshop_rules/set-without-loosening",
            weight=Weight.CAUTION,
            about=subject_of(measurement),
            words=says,
            entry=changed[-1].noted.entry,
        )


def _differ(first: Measured, again: Measured) -> bool:
    room = max(each.expanded or Decimal(0) for each in (first, again))
    return abs(again.value - first.value) > room


def _clicked(check: Check, position: str, final: Tightening) -> bool:
    again = check.method is CheckMethod.CLICKED_ONLY and check.noted.order > final.noted.order
    return again and check.position == position
