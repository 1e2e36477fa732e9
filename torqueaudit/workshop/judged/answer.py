"""What an act on a job was understood as: said of what it recorded, as that stands now."""

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from torqueaudit.ledger.entry import Entry
from torqueaudit.model.job.facts import (
    Check,
    Concession,
    Fact,
    Logged,
    Loosening,
    MarkSeen,
    Measured,
    PartFitted,
    PhotoErased,
    Photographed,
    Release,
    StepDone,
    Tightening,
)
from torqueaudit.model.job.record import Job, fold_record
from torqueaudit.model.job.road import (
    Arrangement,
    DayAsked,
    HandOver,
    Read,
    Recheck,
    RecheckAnswered,
    RecheckPostponed,
    RecheckReferred,
    RecheckRefused,
    Reminded,
    Ride,
    run_of,
)
from torqueaudit.model.judged.around import Around
from torqueaudit.model.judged.overtaken import later_jobs
from torqueaudit.model.judged.rule_name import in_words
from torqueaudit.model.judged.sentences import bolts_together, names_together
from torqueaudit.model.judged.subject import about_key
from torqueaudit.model.judged.unsigned import unsigned_work
from torqueaudit.model.procedure.procedure import Fastener
from torqueaudit.model.recheck.arranged import arranged_text
from torqueaudit.model.recheck.state import WAITING
from torqueaudit.model.shown.answer import AnswerView, GroupView
from torqueaudit.model.shown.course import entry_numbers
from torqueaudit.model.shown.job import ItemView, JobView
from torqueaudit.model.shown.recheck import recheck_words, state_words
from torqueaudit.model.shown.tightenings import PassLine
from torqueaudit.model.vehicle.instrument import run_text
from torqueaudit.workshop.judged.job_view import (
    LOOKED,
    headed,
    item_view,
    look_at,
    part_text,
    recheck_view,
)
from torqueaudit.workshop.judged.pass_lines import pass_lines

if TYPE_CHECKING:
    from torqueaudit.workshop.door.workshop import Workshop

ON_A_FASTENER = (Tightening, Logged, Loosening, MarkSeen, Check)
OF_AN_ITEM = (StepDone, Measured, PartFitted)


def answered(workshop: "Workshop", number: str, entries: Sequence[Entry]) -> tuple[JobView, AnswerView]:
    """A job after an act that wrote these entries, and what the act was understood as."""
    job, around, view = look_at(workshop, number)
    return headed(workshop, view), answer_of(job, around, entries, workshop.book.entries(f"job/{number}"))


def answer_of(job: Job, around: Around, entries: Collection[Entry], own: Collection[Entry]) -> AnswerView:
    """What these entries of an act say, of all the job's `own`; of one that was struck since no more than that."""
    mine = {each.sequence for each in entries}
    arrived = any(each.kind == "arrived.1" for each in entries)
    facts = [each for each in job.record.facts if each.noted.entry in mine]
    if any(each.noted.entry in mine for each in job.record.strikes):
        return AnswerView(_struck(job, around, mine, own))
    if not facts:
        return AnswerView(f"recorded before as {entry_numbers(mine)}, and struck since", arrived=arrived)
    return _told(job, around, facts)._replace(arrived=arrived)


def _struck(job: Job, around: Around, mine: Collection[int], own: Collection[Entry]) -> str:
    """What was struck or taken back, as it stood before, with who told it where that was somebody else."""
    strikes = [each for each in job.record.strikes if each.noted.entry in mine]
    struck = [each for each in own if each.sequence in {strike.entry for strike in strikes}]
    before = Job(fold_record([each for each in own if each.sequence not in mine]), job.procedure)
    facts = [each for each in before.record.facts if each.noted.entry in {entry.sequence for entry in struck}]
    told = _told(before, around, facts) if facts else AnswerView("the opening, so that the job is withdrawn")
    what = "; ".join(_passes(before, told.passes)) or told.says
    whose = f", told by {struck[0].who}" if struck[0].who != strikes[0].noted.by else ""
    verb = "taken back" if strikes[0].undone else "struck"
    return f"{verb} ({entry_numbers(each.sequence for each in struck)}{whose}): {what}{_kept(around, struck, own)}"


def _kept(around: Around, struck: Sequence[Entry], own: Collection[Entry]) -> str:
    """That the vehicle is here again was told by the same act, and is a fact of the vehicle."""
    acts = {each.act: each.of for each in struck}
    here = sum(each.act in acts for each in own) < sum(acts.values())
    return f"; that {around.vehicle.number} is here again stays" if here else ""


def _told(job: Job, around: Around, facts: Sequence[Fact]) -> AnswerView:
    """What the facts of one act say; all of them are of one kind."""
    first = facts[0]
    if isinstance(first, ON_A_FASTENER):
        return _of_fastener(job, around, facts)
    if isinstance(first, OF_AN_ITEM):
        says = _of_item(job, first)
        return AnswerView(says, stored=says)
    return AnswerView(_SAID[type(first)](first, job, around))


def _of_fastener(job: Job, around: Around, facts: Sequence[Fact]) -> AnswerView:
    mine = {each.noted.entry for each in facts}
    positions = [each.position for each in facts if isinstance(each, ON_A_FASTENER)]
    fastener = job.procedure.fastener_at(positions[0])
    if fastener is None:
        return AnswerView(positions[0])
    lines = [each for own in fastener.positions for each in pass_lines(job.record, around, fastener, own)]
    passes = tuple(each for each in lines if each.done.entry in mine)
    if not passes:
        return AnswerView(f"{bolts_together(fastener, positions)}: {_looked(facts[0])}")
    group = _group(job, fastener, facts)
    says = "; ".join([*_passes(job, passes), *_place(passes, group)])
    return AnswerView(says, passes=passes, group=group)


def _passes(job: Job, passes: Sequence[PassLine]) -> Iterator[str]:
    """One sentence for the bolts of which the same is to be said."""
    alike: dict[str, list[str]] = {}
    for each in passes:
        alike.setdefault(each.done.says, []).append(each.position)
    for says, positions in alike.items():
        fastener = job.procedure.fastener_at(positions[0])
        yield f"{bolts_together(fastener, positions) if fastener else positions[0]}: {says}"


def _group(job: Job, fastener: Fastener, facts: Sequence[Fact]) -> GroupView | None:
    """How far a group has come at the stage of these passes."""
    if fastener.size == 1:
        return None
    stage = max(each.stage for each in facts if isinstance(each, Tightening))
    left = [position for position in fastener.turning_order if not job.record.reached(position, stage)]
    return GroupView(
        stage=stage,
        stages=fastener.last_stage,
        done=fastener.size - len(left),
        size=fastener.size,
        next=fastener.name_of(left[0]) if left else "",
    )


def _place(passes: Sequence[PassLine], group: GroupView | None) -> Iterator[str]:
    """How far the group has come; that all is done needs no words where all was told at once."""
    if group is None:
        return
    stage = f"stage {group.stage} of {group.stages}" if group.stages > 1 else ""
    came = "" if len(passes) == group.size == group.done else group.says
    if stage or came:
        yield ": ".join(filter(None, (stage, came)))


def _looked(fact: Fact) -> str:
    if isinstance(fact, MarkSeen):
        return f"mark {fact.state}"
    if isinstance(fact, Check):
        return f"checked by {fact.noted.by} ({fact.method})"
    if isinstance(fact, Logged):
        return f"{fact.shown} as a log says, to be confirmed"
    return "loosened"


def _of_item(job: Job, told: StepDone | Measured | PartFitted) -> str:
    item = job.procedure.item(told.key)
    if item and not isinstance(item, Fastener):
        return stored(item_view(job, item), told.noted.entry)
    return f"{told.key.replace('-', ' ')}: {part_text(told) if isinstance(told, PartFitted) else ''}"


def stored(item: ItemView, entry: int) -> str:
    """What now stands of an item, in words nobody mistakes: "front sprocket: FAULT FOUND: teeth hooked".

    Where the act was told late, another entry than its own stands, and the number says so.
    """
    answer, remark = _answered(item)
    says = item_text(item)
    if answer == LOOKED["yes"] and remark:
        says += ". If that is a fault, record the look again with “fault”"
    return f"{says}{'' if item.entry == entry else f', as entry #{item.entry} says'}"


def item_text(item: ItemView) -> str:
    """What was said of an item: "front sprocket: FAULT FOUND: teeth hooked"."""
    answer, remark = _answered(item)
    says = f"{answer.upper()}{f': {remark}' if remark else ''}" if answer in LOOKED.values() else item.said
    return f"{item.name}: {says}"


def _answered(item: ItemView) -> tuple[str, str]:
    """An answer and the remark behind it."""
    answer, _, remark = item.said.removesuffix(")").partition(" (")
    return answer, remark


def _left(fact: HandOver, job: Job, around: Around) -> str:
    recheck = recheck_view(job, around, later_jobs(job, around)) if fact.plans else None
    due = f"; re-check due {recheck_words(recheck)}" if recheck else ""
    return f"left{_at(fact, around)}{due}{_not_signed(job)}"


def _at(fact: Read, around: Around, word: str = "at") -> str:
    """What was read then, in words: " at 12100 km"; "" where nothing was."""
    read = run_text(run_of(fact), around.vehicle.instrument)
    return f" {word} {read}" if read else ""


def _not_signed(job: Job) -> str:
    """What it left with that no release signs, so that whoever lets it go reads it before the night does."""
    if job.record.release is None:
        return ". NOBODY HAS RELEASED IT"
    unsigned = names_together(unsigned_work(job))
    return f". NOBODY HAS SIGNED what was done since the release: {unsigned}" if unsigned else ""


def _arranged(fact: Arrangement, job: Job, around: Around) -> str:
    """What was agreed about the re-check, and when it is due by that."""
    view = recheck_view(job, around, later_jobs(job, around))
    due = f"; {state_words(view)}" if view and view.standing.state in WAITING else ""
    return f"re-check: {arranged_text(fact, around.vehicle.instrument)}{due}"


def _conceded(fact: Concession, *_: object) -> str:
    return f"{in_words(fact.covers.rule)} on {fact.covers.subject}: permitted until {fact.expires_on}"


def _photographed(fact: Photographed, job: Job, *_: object) -> str:
    """What a photo shows, and by which characters it is known."""
    names = names_together(about_key(job.procedure, key) for key in fact.keys)
    gone = "; erased since" if job.record.erased(fact) else ""
    return f"photo {fact.photo.digest[:8]} of {names} kept{gone}"


_SAID: Mapping[type[Fact], Callable[[Any, Job, Around], str]] = {
    Release: lambda fact, *_: f"signed by {fact.noted.by}, for all that was recorded of it until then",
    HandOver: _left,
    DayAsked: lambda fact, *_: f"the owner asks to come on {fact.on} in the {fact.half}",
    Ride: lambda fact, _, around: f"ridden{_at(fact, around, 'to')}",
    Recheck: lambda fact, _, around: f"re-check concluded{_at(fact, around)}",
    RecheckPostponed: _arranged,
    RecheckRefused: _arranged,
    RecheckReferred: _arranged,
    RecheckAnswered: _arranged,
    Concession: _conceded,
    Reminded: lambda fact, *_: f"its owner was reminded by {fact.way}",
    Photographed: _photographed,
    PhotoErased: lambda fact, *_: f"photo {fact.digest[:8]} erased by {fact.noted.by}: {fact.why}",
}
