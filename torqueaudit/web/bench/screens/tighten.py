"""Tightening: the number to set this wrench to, the next bolt, and one tap for what happened."""

from collections.abc import Mapping
from functools import partial
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.act import Refused
from torqueaudit.model.job.facts import MarkState, Outcome
from torqueaudit.model.job.record import FastenerState
from torqueaudit.model.procedure.procedure import CASTLE_NUT, Fastener
from torqueaudit.model.torque.specification import TORQUE_AND_ANGLE
from torqueaudit.web.bench.asked_now import asked_of, changed_since, told_as
from torqueaudit.web.bench.at_work import Partly, nth, one_by_one
from torqueaudit.web.bench.group import GroupLine, group_lines
from torqueaudit.web.bench.new_parts import fitted_new, new_parts, own_parts
from torqueaudit.web.bench.pass_told import is_of_one, is_painted, told_pass
from torqueaudit.web.bench.setting import WITHOUT, Setting, is_by_hand, setting_of
from torqueaudit.workshop.jobs.fasteners import see_mark, tighten
from torqueaudit.workshop.wrenches.wrench import wrenches

if TYPE_CHECKING:
    from collections.abc import Iterator

    from torqueaudit.ledger.entry import Entry
    from torqueaudit.model.act import Say
    from torqueaudit.model.judged.next import Next
    from torqueaudit.web.bench.at_work import AtWork
    from torqueaudit.web.typed import Typed

TEMPLATE = "bench/tighten.html"
_KEPT = ("thread", "helper")  # in a form that was refused
_OF_ITS_PAGE = ("other", "angle", "final", "slot", "slot_shown", "of")  # kept while the page asks for the same


class WrenchChoice(NamedTuple):
    """One wrench of the workshop; `can` is what to set it to, where it is known to do what the chosen one cannot."""

    number: str
    says: str
    can: str


class Told(NamedTuple):
    """What is told beside the torque, where this fastener is specified by it."""

    angle: bool
    slot: bool
    drag: bool


class TightenScreen(NamedTuple):
    """One fastener, or one stage of a group; what to set is the largest thing on the screen.

    `usual` is what most passes are told as; `sends` is what is told of the torque, where it was set as asked.
    """

    name: str
    says: str
    stage: str
    setting: Setting
    below: tuple[str, ...]
    wrench: str
    adapter: str
    wrenches: tuple[WrenchChoice, ...]
    by_hand: bool
    sends: str
    usual: str
    others: tuple[str, ...]
    mark: bool  # whether a line is painted as soon as it is tight
    group: tuple[GroupLine, ...]
    done: int  # of the group, at this stage
    told: Told
    drag: str
    new: tuple[tuple[str, str], ...]  # parts that go in with it: each key, and the part in words
    kept: Mapping[str, str]  # what was typed into a form that was refused, by field
    kept_new: tuple[str, ...]  # the new parts that were ticked in it


def show(at: "AtWork", said: "Next", typed: "Typed") -> TightenScreen:
    """What to set, for the wrench and the adapter that stay chosen until they are changed."""
    fastener = at.fastener(said.key)
    stage, drag = said.stage or fastener.last_stage, typed.one("drag")
    by_hand, setting = is_by_hand(fastener, stage), setting_of(at, fastener, stage, drag)
    asked = asked_of(at, said, fastener, setting)
    lines = group_lines(fastener, lambda position: at.job.record.reached(position, stage))
    confirms = setting.clicks and _confirms(at, said, fastener)
    usual = Outcome.CLICKED_ONLY if confirms else _usual(by_hand=by_hand, clicks=setting.clicks)
    return TightenScreen(
        name=fastener.name_of(said.key) if said.key in fastener.positions else fastener.name,
        says=fastener.says,
        stage=f"stage {stage} of {len(fastener.stages)}: {fastener.stages[stage - 1]}" if fastener.stages else "",
        setting=setting,
        below=tuple(_below(at, fastener, setting, asked.adapter)),
        wrench=asked.wrench,
        adapter=asked.adapter,
        wrenches=_wrenches(at, setting.instead),
        by_hand=by_hand,
        sends=asked.set_to,
        usual=usual.value,
        others=tuple(each.value for each in _others(by_hand=by_hand, clicks=setting.clicks) if each is not usual),
        mark=fastener.mark and stage == fastener.last_stage and not confirms,
        group=lines,
        done=sum(line.done for line in lines),
        told=_told(fastener, last=stage == fastener.last_stage and not by_hand),
        drag=drag,
        new=new_parts(at, fastener),
        kept=_kept(typed, same=told_as(fastener, typed) == asked),
        kept_new=typed.every("new"),
    )


def act(at: "AtWork", said: "Next", typed: "Typed", say: "Say") -> "list[Entry]":
    """Record the pass: of one fastener, of the whole group, or of one of its bolts; with the new part and the mark.

    What is refused from a page that asks for something else by now is refused as that.
    """
    fastener = at.fastener(said.key)
    try:
        return _recorded(at, said, fastener, typed, say)
    except Refused as refused:
        changed = changed_since(at, said, fastener, typed)
        if changed is None:
            raise
        raise Partly(refused.done, changed) if isinstance(refused, Partly) else changed from None


def _recorded(at: "AtWork", said: "Next", fastener: Fastener, typed: "Typed", say: "Say") -> "list[Entry]":
    told, target = told_pass(at, fastener, typed), _target(said, fastener, typed)
    acts = fitted_new(at, fastener, typed, say, first=3)
    acts.append(partial(tighten, at.workshop, at.number, target, told, say))
    if is_painted(typed):
        acts.append(partial(see_mark, at.workshop, at.number, target, MarkState.INTACT, "", nth(say, 2)))
    return one_by_one(acts)


def _kept(typed: "Typed", *, same: bool) -> dict[str, str]:
    """What was typed into a form that was refused: no number of another stage, which would be told of this one."""
    return {name: typed.one(name) if same or name in _KEPT else "" for name in (*_KEPT, *_OF_ITS_PAGE)}


def _target(said: "Next", fastener: Fastener, typed: "Typed") -> str:
    """What the pass was of: the key of the whole group, or where a button says so the position of one bolt."""
    if said.key in fastener.positions:
        return said.key
    return typed.chosen("of", fastener.positions) if is_of_one(typed) else fastener.key


def _told(fastener: Fastener, *, last: bool) -> Told:
    """What is told beside the torque, at the last stage alone."""
    specification = fastener.specification
    drags = specification.drag_excluded or specification.drag_min_nm is not None
    return Told(
        angle=last and specification.method == TORQUE_AND_ANGLE,
        slot=last and fastener.locking == CASTLE_NUT,
        drag=last and drags,
    )


def _below(at: "AtWork", fastener: Fastener, setting: Setting, adapter: str) -> "Iterator[str]":
    """What the number rests on: the torque at the nut, what is between, the thread, and what has to be new."""
    specified = next(each.specification for each in at.view.fasteners if each.position == fastener.positions[0])
    yield f"Specified {specified.says}"
    if setting.at_nut:
        yield setting.at_nut
    if adapter and adapter != WITHOUT:
        yield f"adapter {adapter}"
    yield from of_thread(fastener)
    yield from (f"new {key.replace('-', ' ')}" for key in fastener.single_use if key not in own_parts(at, fastener))


def of_thread(fastener: Fastener) -> "Iterator[str]":
    """What is to be known of the thread before it is turned."""
    if fastener.condition:
        yield f"thread {fastener.condition}"
    if fastener.direction == "left":
        yield "left-hand thread: it tightens anticlockwise"


def _wrenches(at: "AtWork", instead: tuple[str, ...]) -> tuple[WrenchChoice, ...]:
    """Every wrench in use, those first that can do what the chosen one cannot."""
    can = {each.partition(" ")[0]: each.partition(") at ")[2] for each in instead}
    found = [each for each in wrenches(at.workshop) if not each.withdrawn]
    choices = [WrenchChoice(each.number, f"{each.number} {each.tag}", can.get(each.number, "")) for each in found]
    return tuple(sorted(choices, key=lambda choice: not choice.can))


def _confirms(at: "AtWork", said: "Next", fastener: Fastener) -> bool:
    """Whether it is the look after the first ride: the wrench has to click, and nothing to turn."""
    record = at.job.record
    positions = (said.key,) if said.key in fastener.positions else fastener.positions
    tight = all(record.current(position).state is FastenerState.TIGHTENED for position in positions)
    return record.hand_over is not None and not record.reworked and tight


def _usual(*, by_hand: bool, clicks: bool) -> Outcome:
    if by_hand:
        return Outcome.BY_HAND
    return Outcome.TURNED_CLICKED if clicks else Outcome.VALUE_SHOWN


def _others(*, by_hand: bool, clicks: bool) -> tuple[Outcome, ...]:
    """What else may have happened, each told by a smaller button."""
    if by_hand:
        return ()
    clicked = (Outcome.CLICKED_ONLY, Outcome.TURNED_CLICKED) if clicks else ()
    return (*clicked, Outcome.NOT_REACHED, Outcome.NO_WRENCH)
