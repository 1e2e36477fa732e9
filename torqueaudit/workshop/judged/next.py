"""What comes next on a job, in the procedure's order, each with the act that records it.

What was set, seen or read is never taken for granted: an act says what has to be told, and whoever does it tells it.
"""

from collections.abc import Collection, Iterable, Iterator, Sequence

from torqueaudit.model.job.facts import MarkState
from torqueaudit.model.job.record import FastenerState, Job, JobState
from torqueaudit.model.job.words import WITH_ADAPTER
from torqueaudit.model.judged.around import Around
from torqueaudit.model.judged.beyond import beyond_recheck, taken_up_by
from torqueaudit.model.judged.finding import Finding
from torqueaudit.model.judged.next import Asked, Next
from torqueaudit.model.judged.overtaken import later_jobs, overtaken_by, still_to_look_at
from torqueaudit.model.judged.sentences import Saying, bolts_together, names_together, together
from torqueaudit.model.judged.subject import subject_of
from torqueaudit.model.procedure.procedure import DIMENSION, Fastener, Fit, Measurement, Step, Work
from torqueaudit.model.recheck.looks import Look
from torqueaudit.model.recheck.state import WAITING, RecheckState
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.shown.job import ToDo
from torqueaudit.model.torque.specification import TORQUE_AND_ANGLE
from torqueaudit.model.torque.words import aim_text
from torqueaudit.plugins import Plugins
from torqueaudit.workshop.judged.review import Judged

TO_CONCLUDE = (*WAITING, RecheckState.IN_HAND)
FIRST = 5  # of the stops, where nothing else is left


def to_do_on(
    job: Job, around: Around, judged: Iterable[Judged], standing: RecheckState | None, plugins: Plugins
) -> tuple[ToDo, ...]:
    """What comes next: the work left, or after the hand-over the looks; where neither is left, the first stops.

    `standing` is how the re-check stands, None where none is planned or the vehicle has not left.

    The job that has to follow comes behind the looks, which may find more for it, and before any work.
    """
    stops = [each.finding for each in judged if each.stops]
    state = job.record.state
    if state is JobState.WITHDRAWN:
        return ()
    elsewhere = _done_elsewhere(job, around)
    if state is JobState.OPEN:
        found = tuple(_work_left(job, around, stops, elsewhere, plugins))
    else:
        found = tuple(_of_recheck(job, around, standing, plugins)) if state is JobState.HANDED_OVER else ()
    if following := tuple(_to_follow(job, around)):
        stops = [each for each in stops if each.answer is None or each.answer.act is not ActName.OPEN]
    stops = [each._replace(answer=None) if each.about.key in elsewhere else each for each in stops]
    others = () if found else together(stops)[:FIRST]
    here = around.presence.here
    told = (*following, *found) if state is JobState.OPEN else (*found, *following)
    if not told and not stops:
        told = tuple(_ended(job, standing))
    return (*told, *(_answered(job, each, plugins, here=here) for each in others))


def _of_recheck(job: Job, around: Around, standing: RecheckState | None, plugins: Plugins) -> Iterator[ToDo]:
    """The looks that are left; of a re-check that another workshop does its result, and nothing of a refused one."""
    if standing is RecheckState.REFERRED:
        yield ToDo("ask the other workshop what it found, and record that", Next(ActName.ANSWER_RECHECK))
    elif standing is not RecheckState.REFUSED:
        looks = still_to_look_at(job, around, later_jobs(job, around))
        yield from _looks(job, [look for look in looks if _can_be(job, look)], plugins)


def _ended(job: Job, standing: RecheckState | None) -> Iterator[ToDo]:
    """What a job waits for when all its work and every look is done, and no stop stands."""
    state = job.record.state
    if state is JobState.OPEN:
        yield ToDo("a foreman releases it", Next(ActName.RELEASE))
    elif state is JobState.RELEASED:
        yield ToDo("hand it over when it leaves", Next(ActName.HAND_OVER))
    elif state is JobState.HANDED_OVER and standing in TO_CONCLUDE:
        yield ToDo("conclude the re-check", Next(ActName.RECHECK))


def _to_follow(job: Job, around: Around) -> Iterator[ToDo]:
    """The one job that takes up all that was found beyond what the re-check may turn."""
    keys = beyond_recheck(job, around)
    items = [item for key in keys if (item := job.procedure.item(key))]
    if items:
        names = names_together(subject_of(item) for item in items)
        yield ToDo(f"open the job that follows, for no more than: {names}", Next(ActName.OPEN, only=keys))


def _answered(job: Job, said: Saying, plugins: Plugins, *, here: bool) -> ToDo:
    """A stop, and where the vehicle is here the act that answers it."""
    answer = said.findings[0].answer if here else None
    return ToDo(said.sentence, filled(job, answer, plugins) if answer else None, said.see)


def _turned_before(job: Job, around: Around, item: Work) -> ToDo | None:
    """A fastener whose mark the job before found turned: it is loosened and looked at first, not tightened over."""
    if around.before is None or not isinstance(item, Fastener):
        return None
    before, record = around.before.record, job.record
    turned = [p for p in item.positions if before.current(p).mark_state is MarkState.DISTURBED and not record.events(p)]
    if not turned:
        return None
    target = item.key if len(turned) == item.size else turned[0]
    name = item.name if target == item.key else item.name_of(target)
    return ToDo(f"loosen {name} and look why its mark turned", Next(ActName.LOOSEN, target))


def _work_left(
    job: Job, around: Around, stops: list[Finding], elsewhere: Collection[str], plugins: Plugins
) -> Iterator[ToDo]:
    """Each item with work left on it, a fault before all else; what a nut made due again stands after that nut.

    What is done on a job that follows is no work of this one.
    """
    faults = [each for each in stops if not each.due]
    again = _due_again(job, stops)
    turned = {each.key: said for each in job.procedure.work if (said := _turned_before(job, around, each))}
    yield from turned.values()
    for item in (each for each in job.procedure.work if each.key not in elsewhere and each.key not in turned):
        wrong = [each for each in faults if each.about.key == item.key]
        if found := _fault(job, item, wrong, plugins) or _left(job, item, plugins):
            yield found
        yield from (
            ToDo(f"measure {due.name} again, after {item.name}", filled(job, Next(ActName.MEASURE, due.key), plugins))
            for due in again
            if item.key == _last_of(job, due) and not any(each.about.key == due.key for each in faults)
        )


def _done_elsewhere(job: Job, around: Around) -> frozenset[str]:
    """The fasteners that a later job has done since the vehicle left, and all work that one which follows takes up."""
    if job.record.hand_over is None:
        return frozenset()
    later = later_jobs(job, around)
    fasteners = job.procedure.fasteners()
    done = [each.key for each in fasteners if overtaken_by(job, around, later, subject_of(each))]
    taken_up = [each.key for each in job.procedure.work if taken_up_by(around, each.key)]
    return frozenset((*done, *taken_up, *beyond_recheck(job, around)))


def _due_again(job: Job, stops: list[Finding]) -> list[Measurement]:
    """What was measured and is to be measured once more, because of a fastener that was turned since."""
    due = {each.answer.key for each in stops if each.due and each.answer and each.answer.act is ActName.MEASURE}
    return [each for each in job.procedure.measurements() if each.key in due and job.record.measured(each.key)]


def _last_of(job: Job, measurement: Measurement) -> str:
    """The fastener after which a value is taken for good: the last in the order that makes it due again."""
    return next((f.key for f in reversed(job.procedure.fasteners()) if f.key in measurement.again_after), "")


def _fault(job: Job, item: Work, wrong: Sequence[Finding], plugins: Plugins) -> ToDo | None:
    """What is wrong with an item, said before whatever would be built on it; a step still to be done is named so.

    Of a group of bolts what is wrong with all of them comes before what is wrong with one.
    """
    if not wrong or (isinstance(item, Step) and item.required and job.record.steps(item.key) is None):
        return None
    first = min(wrong, key=lambda each: each.about.number or 0)
    return ToDo(first.sentence, filled(job, first.answer, plugins) if first.answer else None, first.see)


def _left(job: Job, item: Work, plugins: Plugins) -> ToDo | None:
    record = job.record
    if isinstance(item, Fastener):
        return _fastener_left(job, item, plugins)
    if isinstance(item, Measurement):
        act, says = ActName.MEASURE, "" if record.measured(item.key) else f"measure {item.name}"
    elif isinstance(item, Step):
        done = record.steps(item.key)
        act = ActName.STEP
        says = "" if (done and (item.look or done.answer != "no")) or not item.required else item.name
    else:
        act, says = ActName.FIT, "" if record.fitted(item.key) else f"fit {item.name}"
    return ToDo(says, filled(job, Next(act, item.key), plugins)) if says else None


def _fastener_left(job: Job, fastener: Fastener, plugins: Plugins) -> ToDo | None:
    states = [job.record.current(position) for position in fastener.positions]
    if logged := job.record.logged(*fastener.positions):
        positions = tuple(dict.fromkeys(each.position for each in logged))
        target = positions[0] if len(positions) == 1 else fastener.key
        says = f"confirm what a log says of {bolts_together(fastener, positions)}"
        return ToDo(says, Next(ActName.CONFIRM_LOGGED, target))
    if any(now.state is not FastenerState.TIGHTENED for now in states):
        through = f", {WITH_ADAPTER}" if fastener.adapter else ""
        says = f"tighten {fastener.name} to {aim_text(fastener.specification)}{through}"
        return ToDo(says, filled(job, Next(ActName.TIGHTEN, fastener.key), plugins))
    if fastener.mark and any(now.mark is None for now in states):
        return ToDo(f"mark {fastener.name}", Next(ActName.MARK, fastener.key))
    if fastener.photo and any(not job.record.photographed(each, fastener.key) for each in fastener.positions):
        return ToDo(f"photograph {fastener.name}", Next(ActName.PHOTOGRAPH, fastener.key))
    if fastener.check and any(now.check is None for now in states):
        return ToDo(f"independent check of {fastener.name}", Next(ActName.CHECK, fastener.key))
    return None


def filled(job: Job, said: Next, plugins: Plugins) -> Next:
    """An act with what has to be told with it, as the procedure, the record and the kinds of plugins know it."""
    item = job.procedure.item(said.key) or job.procedure.fastener_at(said.key)
    if said.act is ActName.TIGHTEN and isinstance(item, Fastener):
        angle = item.specification.method == TORQUE_AND_ANGLE
        return said._replace(stage=_stage(job, item) if item.stages else 0, angle=angle, adapter=bool(item.adapter))
    if said.act is ActName.MEASURE and isinstance(item, Measurement):
        return said._replace(asks=_readings(item, plugins))
    if said.act is ActName.FIT and isinstance(item, Fit):
        return said._replace(asks=tuple(Asked(name) for name in item.attributes))
    return said._replace(look=item.look) if isinstance(item, Step) else said


def _stage(job: Job, fastener: Fastener) -> int:
    """The stage that is done next: one more than the bolt that is furthest behind; the last where all is done."""
    passes = [job.record.current(position).tightening for position in fastener.positions]
    return min(min(done.stage if done else 0 for done in passes) + 1, len(fastener.stages))


def _readings(asked: Measurement, plugins: Plugins) -> tuple[Asked, ...]:
    owned = None if asked.kind == DIMENSION else plugins.kinds.get(asked.kind)
    if owned is None:
        return (Asked("", asked.unit),)
    return tuple(Asked(spec.name, spec.unit) for spec in owned.kind.inputs if spec.required)


def _can_be(job: Job, look: Look) -> bool:
    """A nut that is not tight has no mark to look at; that it is not is a stop."""
    return look.kind != "mark" or job.record.current(look.position).state is FastenerState.TIGHTENED


def _looks(job: Job, looks: list[Look], plugins: Plugins) -> Iterator[ToDo]:
    """What the re-check has to look at, the bolts of a group together."""
    for kind, key in dict.fromkeys((look.kind, look.key) for look in looks):
        those = [look for look in looks if (look.kind, look.key) == (kind, key)]
        item = job.procedure.item(key)
        says = those[0].says if len(those) == 1 or item is None else f"{kind} on each of the {item.name}s"
        target = those[0].position if len(those) == 1 else key
        if isinstance(item, Measurement):
            yield ToDo(f"measure {item.name}", filled(job, Next(ActName.MEASURE, key), plugins))
        elif kind == "mark":
            yield ToDo(f"look at the {says}", Next(ActName.MARK, target, look=True))
        else:
            yield ToDo(says, Next(ActName.TIGHTEN, target))
