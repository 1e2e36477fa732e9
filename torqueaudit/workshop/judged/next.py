"""What comes next on a job, in the procedure's order, each with the command that records it.

A command's "…" is for whoever types it to fill in: what was set, seen or read is never taken for granted.
"""

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from torqueaudit.model.job.record import FastenerState, Job, JobState
from torqueaudit.model.judged.finding import Finding
from torqueaudit.model.judged.sentences import together
from torqueaudit.model.procedure.procedure import DIMENSION, Fastener, Fit, Measurement, Step, Work
from torqueaudit.model.recheck.looks import Look, looks_left
from torqueaudit.model.torque.specification import TORQUE_AND_ANGLE
from torqueaudit.model.torque.words import aim_text
from torqueaudit.plugins import Plugins
from torqueaudit.workshop.judged.review import Judged

# What a stop says of work that is merely still to come.
TO_DO = frozenset(
    {
        "workshop_rules/not-tightened",
        "workshop_rules/loosened-since",
        "workshop_rules/not-marked",
        "workshop_rules/not-checked",
        "workshop_rules/threadlocker-not-cured",
    }
)
# A look that found a fault is done, and what comes after it may begin; what is left out goes by the item itself.
NO_FAULT = frozenset(
    {
        "workshop_rules/fault-found",
        "workshop_rules/step-not-done",
        "workshop_rules/measurement-missing",
        "workshop_rules/part-missing",
        "workshop_rules/not-measured-again",
    }
)
# What only undoing a fastener puts right.
UNDO = frozenset(
    {
        "workshop_rules/too-early",
        "workshop_rules/outside-tolerance",
        "workshop_rules/thread-not-as-specified",
        "workshop_rules/stage-left-out",
        "workshop_rules/locking-part-reused",
    }
    | {
        "workshop_rules/did-not-reach-torque",
        "workshop_rules/clicked-without-turning",
        "workshop_rules/mark-disturbed",
        "workshop_rules/loosening-told-late",
        "workshop_rules/tightened-again",
    }
    | {"workshop_rules/threadlocker-disturbed", "workshop_rules/wrench-overdue"}
)
FIRST = 5  # of the stops, where nothing else is left


class Coming(NamedTuple):
    """One thing that comes next, in words, and what to type then; "" where a record is nothing to be typed."""

    says: str
    command: str = ""


def coming(job: Job, judged: Iterable[Judged], plugins: Plugins) -> tuple[Coming, ...]:
    """What comes next: the work left, or after the hand-over the looks; where neither is left, the first stops."""
    stops = [each.finding for each in judged if each.stops]
    state = job.record.state
    if state is JobState.WITHDRAWN:
        return ()
    if state is JobState.OPEN:
        found = tuple(_work_left(job, stops, plugins))
    else:
        looks = looks_left(job.procedure, job.record) if state is JobState.HANDED_OVER else []
        found = tuple(_looks(job, [look for look in looks if _can_be(job, look)], plugins))
    return found or tuple(Coming(each.says) for each in together(stops)[:FIRST])


def _work_left(job: Job, stops: list[Finding], plugins: Plugins) -> Iterator[Coming]:
    """Each item with work left on it, a fault before all else; what a nut made due again stands after that nut."""
    faults = {each.subject: each for each in reversed(stops) if each.rule not in TO_DO | NO_FAULT}
    again = {each.subject for each in stops if each.rule == "workshop_rules/not-measured-again"}
    for item in job.procedure.work:
        if found := _fault(job, item, faults, plugins) or _left(job, item, plugins):
            yield found
        if isinstance(item, Fastener):
            yield from (
                Coming(f"measure {due.name} again, after {item.name}", _take(job.number, due, plugins))
                for due in job.procedure.measurements()
                if due.name in again and due.name not in faults and item.key == _last_of(job, due)
            )


def _last_of(job: Job, measurement: Measurement) -> str:
    """The fastener after which a value is taken for good: the last in the order that makes it due again."""
    return [f.key for f in job.procedure.fasteners() if f.key in measurement.again_after][-1]


def _fault(job: Job, item: Work, faults: Mapping[str, Finding], plugins: Plugins) -> Coming | None:
    """What is wrong with an item, said before whatever would be built on it; a step still to be done is named so."""
    if isinstance(item, Step) and item.required and job.record.steps(item.key) is None:
        return None
    names = [item.name_of(p) for p in item.positions] if isinstance(item, Fastener) else []
    wrong = next((faults[name] for name in [item.name, *names] if name in faults), None)
    if wrong is None:
        return None
    if isinstance(item, Fastener):
        keys = [p for p in item.positions if item.name_of(p) == wrong.subject] or [item.key]
        undo = f'torqueaudit fastener loosen {job.number} {keys[0]} --why "…"'
        return Coming(wrong.says, undo if wrong.rule in UNDO else "")
    return Coming(wrong.says, _command(job.number, item, plugins))


def _left(job: Job, item: Work, plugins: Plugins) -> Coming | None:
    record = job.record
    if isinstance(item, Fastener):
        return _fastener_left(job, item)
    if isinstance(item, Measurement):
        says = "" if record.measured(item.key) else f"measure {item.name}"
    elif isinstance(item, Step):
        done = record.steps(item.key)
        says = "" if (done and (item.look or done.answer != "no")) or not item.required else item.name
    else:
        says = "" if record.fitted(item.key) else f"fit {item.name}"
    return Coming(says, _command(job.number, item, plugins)) if says else None


def _fastener_left(job: Job, fastener: Fastener) -> Coming | None:
    states = [job.record.current(position) for position in fastener.positions]
    one = f"{job.number} {fastener.key}"
    if any(now.state is not FastenerState.TIGHTENED for now in states):
        done = min((now.tightening.stage if now.tightening else 0) for now in states)
        says = f"tighten {fastener.name} to {aim_text(fastener.specification)}"
        return Coming(says, f"torqueaudit fastener tighten {one} {_pass(fastener, done + 1)}")
    if fastener.mark and any(now.mark is None for now in states):
        return Coming(f"mark {fastener.name}", f"torqueaudit fastener mark {one} intact")
    if fastener.check and any(now.check is None for now in states):
        says = f"independent check of {fastener.name}"
        return Coming(says, f'torqueaudit check record {one} "…" --by P-…   (mark seen, watched)')
    return None


def _pass(fastener: Fastener, stage: int) -> str:
    """The options of one pass. What this wrench is set to is not known here: `torqueaudit setting` says it."""
    options = [f"--stage {stage}"] if fastener.stages else []
    options += ['--wrench W-… --shown "… N·m"']
    if fastener.specification.method == TORQUE_AND_ANGLE:
        options += ["--angle …"]
    return " ".join([*options, '--outcome "…"'])


def _command(job: str, item: Step | Measurement | Fit, plugins: Plugins) -> str:
    if isinstance(item, Measurement):
        return _take(job, item, plugins)
    if isinstance(item, Fit):
        told = "".join(f' --attribute "{name}" …' for name in item.attributes)
        return f'torqueaudit part fit {job} {item.key} "…"{told}'
    answer = '"…"   (in order, or fault --remark "…")' if item.look else "yes"
    return f"torqueaudit step done {job} {item.key} {answer}"


def _take(job: str, asked: Measurement, plugins: Plugins) -> str:
    owned = None if asked.kind == DIMENSION else plugins.kinds.get(asked.kind)
    if owned is None:
        told = f'"… {asked.unit}"'
    else:
        names = [(spec.name, spec.unit and f" {spec.unit}") for spec in owned.kind.inputs if spec.required]
        told = " ".join(f'--input "{name}=…{unit}"' for name, unit in names)
    return f"torqueaudit measurement take {job} {asked.key} {told}"


def _can_be(job: Job, look: Look) -> bool:
    """A nut that is not tight has no mark to look at; that it is not is a stop."""
    return look.kind != "mark" or job.record.current(look.position).state is FastenerState.TIGHTENED


def _looks(job: Job, looks: list[Look], plugins: Plugins) -> Iterator[Coming]:
    """What the re-check has to look at, the bolts of a group together."""
    for kind, key in dict.fromkeys((look.kind, look.key) for look in looks):
        those = [look for look in looks if (look.kind, look.key) == (kind, key)]
        item = job.procedure.item(key)
        says = those[0].says if len(those) == 1 or item is None else f"{kind} on each of the {item.name}s"
        if isinstance(item, Measurement):
            yield Coming(f"measure {item.name}", _take(job.number, item, plugins))
        else:
            target = those[0].position if len(those) == 1 else key
            yield Coming(f"look at the {says}" if kind == "mark" else says, _look_at(job.number, kind, target))


def _look_at(job: str, kind: str, key: str) -> str:
    if kind == "mark":
        return f'torqueaudit fastener mark {job} {key} "…"   (intact, disturbed, unreadable)'
    return f'torqueaudit fastener tighten {job} {key} --wrench W-… --shown "… N·m" --outcome "…"'
