"""What the record's page says, worked out of the job's picture, so that the template only sets it."""

from collections.abc import Iterable
from itertools import groupby
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.act import plainly
from torqueaudit.model.job.record import JobState
from torqueaudit.model.judged.finding import Finding, Weight
from torqueaudit.model.judged.sentences import names_together, said_of, together
from torqueaudit.model.shown.job import FastenerView, ItemView, JobView
from torqueaudit.model.shown.passes import PassView
from torqueaudit.model.shown.recheck import RecheckView
from torqueaudit.model.shown.vehicle import VehicleView
from torqueaudit.model.torque.words import share_text
from torqueaudit.model.vehicle.instrument import run_text
from torqueaudit.web.fastener_lines import FastenerLine, other_fasteners, present_lines
from torqueaudit.web.vehicle_card import VehicleCard, vehicle_card
from torqueaudit.workshop.recheck.due import Due, Urgency, due_now

if TYPE_CHECKING:
    from torqueaudit.model.judged.subject import Subject
    from torqueaudit.model.torque.correction import BudgetLine

SIGNATURE = "The listed work was done to the listed sources. Nothing else was looked at."
SHOWN_STOPS = 4  # of an open job, where most stops are work still to come; the others are folded


class Proof(NamedTuple):
    """How sure the torque of some fasteners is, judged alike: their names, the sentence, and the shares of its ±."""

    names: str
    says: str
    budget: tuple[str, ...]
    adds: bool  # one of the shares is added as it is


class StepRun(NamedTuple):
    """Some steps with one answer: their names, what was said by whom, and how many they are."""

    name: str
    said: str
    by: str
    many: int


class RecordPage(NamedTuple):
    """The card of one job, in the order it is read."""

    job: JobView
    vehicle: VehicleCard
    undone: tuple[str, ...]  # by somebody's report
    history: tuple[str, ...]  # done by another job since
    weight: str  # of the card as a whole: "stop", "caution" or "good"
    state: str
    state_says: tuple[str, ...]
    due: Due
    stops: tuple[str, ...]
    more_stops: tuple[str, ...]
    cautions: tuple[str, ...]
    carried: tuple[str, ...]  # what another job found and this one has to put right
    conceded: tuple[str, ...]
    notes: tuple[str, ...]
    fasteners: tuple[FastenerLine, ...]
    others: tuple[str, ...]  # of the vehicle's fasteners and not of this job's, each in a sentence
    last_recheck: str  # "" where none is asked for
    measurements: tuple[ItemView, ...]
    steps: tuple[StepRun, ...]
    parts: tuple[ItemView, ...]
    proofs: tuple[Proof, ...]
    sources: tuple[tuple[str, str], ...]
    left: str


def record_page(view: JobView, vehicle: VehicleView) -> RecordPage:
    """Put one job's picture into the words of its card, behind how its vehicle stands now."""
    stops = tuple(each.says for each in together(view.stops))
    cautions = tuple(_says(view, Weight.CAUTION))
    shown = _shown_of(view, len(stops))
    undone = tuple(f"{f.name}: {f.undone}" for f in view.fasteners if f.undone and not f.overtaken_by)
    history = tuple(f"{f.name}: {f.undone}" for f in view.fasteners if f.undone and f.overtaken_by)
    due = due_now(view, vehicle)
    return RecordPage(
        job=view,
        vehicle=vehicle_card(view, vehicle),
        undone=undone,
        history=history,
        weight=_weight(view, bool(stops or undone or due.urgency >= Urgency.RECHECK_LATE), bool(cautions)),
        state=view.state[:1].upper() + view.state[1:],
        state_says=tuple(_state_says(view, len(stops))),
        due=due,
        stops=stops[:shown],
        more_stops=stops[shown:],
        cautions=cautions,
        carried=view.follows.open if view.follows else (),
        conceded=tuple(f"{f.finding.says} {_sentence(f.concession)}" for f in view.findings if f.concession),
        notes=tuple(_says(view, Weight.NOTE)),
        fasteners=tuple(present_lines(view, vehicle)),
        others=tuple(other_fasteners(view, vehicle)),
        last_recheck=_last_recheck(view.recheck) if view.recheck_wanted else "",
        measurements=_items(view, "measurement"),
        steps=_steps(view.items),
        parts=_items(view, "part"),
        proofs=_proofs(view.fasteners),
        sources=_sources(view.fasteners),
        left=_left(view),
    )


def _shown_of(view: JobView, stops: int) -> int:
    """How many of the stops are shown unfolded."""
    return SHOWN_STOPS if view.state == JobState.OPEN and stops > SHOWN_STOPS + 1 else stops


def _items(view: JobView, kind: str) -> tuple[ItemView, ...]:
    return tuple(item for item in view.items if item.kind == kind)


def _says(view: JobView, weight: Weight) -> Iterable[str]:
    """The sentences of one weight, each once with everything that it is said of."""
    alike: dict[tuple[str, str | None, str], list[Finding]] = {}
    for found in (f.finding for f in view.findings if f.finding.weight is weight and not f.concession):
        alike.setdefault((found.rule, found.called, found.words), []).append(found)
    return (plainly(said_of(each), each[0].see) for each in alike.values())


def _steps(items: Iterable[ItemView]) -> tuple[StepRun, ...]:
    """The steps in their order, those that follow each other with the same answer of the same person together."""
    steps = (item for item in items if item.kind == "step")
    runs = ((key, [item.name for item in run]) for key, run in groupby(steps, key=lambda item: (item.said, item.by)))
    return tuple(StepRun("; ".join(names), said, by, len(names)) for (said, by), names in runs)


def _weight(view: JobView, stop: bool, caution: bool) -> str:  # noqa: FBT001  # two answers, asked in this order
    unsigned = view.hand_over is not None and (view.release is None or bool(view.unsigned))
    if stop or view.withdrawn or unsigned:
        return "stop"
    return "caution" if caution else "good"


def _state_says(view: JobView, stops: int) -> Iterable[str]:
    left = view.hand_over
    if stops and not view.withdrawn:
        many = f"{stops} stop{'' if stops == 1 else 's'}"
        here = f"{many}: no release yet." if left is None else f"{many}: put right before it leaves again."
        yield f"{many} on the road. Do not ride before a look." if view.on_the_road else here
    if view.next and left is None:
        yield f"Next: {view.next[0].removesuffix('.')}."
    if left:
        read = run_text(left.read, view.instrument)
        yield f"Left the workshop {left.on}{f' at {read}' if read else ''}."
    if view.unsigned:
        yield f"Done since the release, and signed by nobody: {names_together(view.unsigned)}."
    elif view.release:
        yield f"Released by {view.release.by}. {SIGNATURE}"
    follows = f", follows job {view.follows.job}" if view.follows else ""
    followed = f", followed by job {' and '.join(view.followed_by)}" if view.followed_by else ""
    yield f"Opened {view.opening.on} by {view.opening.by}{follows}{followed}."


def _last_recheck(recheck: RecheckView | None) -> str:
    if recheck is None or recheck.done_on is None:
        return "None yet."
    return f"{recheck.done_on} by {recheck.done_by}. Every mark above carries the day it was last seen."


def _proofs(fasteners: Iterable[FastenerView]) -> tuple[Proof, ...]:
    """Give each judgement once, with the fasteners it holds for."""
    alike: dict[tuple[str, tuple[BudgetLine, ...]], list[Subject]] = {}
    for f in fasteners:
        if f.done and not f.undone and (says := _proof(f.done)):
            drag = f.done.beyond.drag
            alike.setdefault((says, f.done.budget + (drag.lines if drag else ())), []).append(f.subject)
    return tuple(
        Proof(names_together(names), says, tuple(map(share_text, budget)), any(line.adds for line in budget))
        for (says, budget), names in alike.items()
    )


def _proof(done: PassView) -> str:
    """Say how sure a torque is; without its uncertainty the torque stands with its fastener already."""
    if done.applied_nm is None or not done.proof:
        return ""
    known = (done.seat.expanded_nm if done.seat else done.expanded_nm) is not None
    return f"{done.held}, {done.proof}" if known else done.proof


def _sources(fasteners: Iterable[FastenerView]) -> tuple[tuple[str, str], ...]:
    """Give each source once, with the fasteners it specifies."""
    named: dict[str, list[str]] = {}
    for f in fasteners:
        named.setdefault(f.specification.source, []).append(f.name)
    return tuple((source, ", ".join(names)) for source, names in named.items() if source)


def _left(view: JobView) -> str:
    if view.hand_over is None:
        return f"True on {view.book.asked_at:%Y-%m-%d %H:%M}; the vehicle has not been handed over."
    return f"True when the vehicle left on {view.hand_over.on}; others may have worked on it since."


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}."
