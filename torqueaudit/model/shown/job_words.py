"""Words of a job that page and paper say alike: findings and steps said together, concessions, proofs, sources."""

from collections.abc import Iterable
from itertools import groupby
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.act import plainly
from torqueaudit.model.judged.finding import Finding, Weight
from torqueaudit.model.judged.sentences import names_together, said_of, stops_text, whole_sentence
from torqueaudit.model.shown.job import SIGNATURE, FastenerView, ItemView, JobView
from torqueaudit.model.shown.passes import PassView
from torqueaudit.model.torque.words import share_text
from torqueaudit.model.vehicle.instrument import run_text

if TYPE_CHECKING:
    from torqueaudit.model.judged.subject import Subject
    from torqueaudit.model.torque.correction import BudgetLine


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


def state_says(view: JobView, stops: int) -> Iterable[str]:
    """How a job stands and how it went, in sentences; `stops` are the sentences of its stops."""
    left = view.hand_over
    if stops and not view.withdrawn:
        many = stops_text(stops)
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


def items_of(view: JobView, kind: str) -> tuple[ItemView, ...]:
    """The steps, the measurements or the parts of a job, in their order."""
    return tuple(item for item in view.items if item.kind == kind)


def says_of(view: JobView, weight: Weight) -> Iterable[str]:
    """The sentences of one weight, each once with everything that it is said of."""
    alike: dict[tuple[str, str | None, str], list[Finding]] = {}
    for found in (f.finding for f in view.findings if f.finding.weight is weight and not f.concession):
        alike.setdefault((found.rule, found.called, found.words), []).append(found)
    return (plainly(said_of(each), each[0].see) for each in alike.values())


def undone_of(view: JobView) -> tuple[str, ...]:
    """The fasteners that somebody has undone, and no later job has done again, each with when."""
    return tuple(f"{f.name}: {f.undone}" for f in view.fasteners if f.undone and not f.overtaken_by)


def history_of(view: JobView) -> tuple[str, ...]:
    """The fasteners that a later job has done again, each with when."""
    return tuple(f"{f.name}: {f.undone}" for f in view.fasteners if f.undone and f.overtaken_by)


def conceded_of(view: JobView) -> tuple[str, ...]:
    """What was conceded, each with by whom, until when, on which basis and to which limit."""
    return tuple(f"{f.finding.says} {whole_sentence(f.concession)}" for f in view.findings if f.concession)


def step_runs(items: Iterable[ItemView]) -> tuple[StepRun, ...]:
    """The steps in their order, those that follow each other with the same answer of the same person together."""
    steps = (item for item in items if item.kind == "step")
    runs = ((key, [item.name for item in run]) for key, run in groupby(steps, key=lambda item: (item.said, item.by)))
    return tuple(StepRun("; ".join(names), said, by, len(names)) for (said, by), names in runs)


def proofs_of(fasteners: Iterable[FastenerView]) -> tuple[Proof, ...]:
    """Give each judgement once, with the fasteners it holds for."""
    alike: dict[tuple[str, tuple[BudgetLine, ...]], list[Subject]] = {}
    for f in fasteners:
        if f.done and not f.undone and (says := proof_of(f.done)):
            drag = f.done.beyond.drag
            alike.setdefault((says, f.done.budget + (drag.lines if drag else ())), []).append(f.subject)
    return tuple(
        Proof(names_together(names), says, tuple(map(share_text, budget)), any(line.adds for line in budget))
        for (says, budget), names in alike.items()
    )


def proof_of(done: PassView) -> str:
    """Say how sure a torque is; without its uncertainty the torque stands with its fastener already."""
    if done.applied_nm is None or not done.proof:
        return ""
    known = (done.seat.expanded_nm if done.seat else done.expanded_nm) is not None
    return f"{done.held}, {done.proof}" if known else done.proof


def sources_of(fasteners: Iterable[FastenerView]) -> tuple[tuple[str, str], ...]:
    """Give each source once, with the fasteners it specifies."""
    named: dict[str, list[str]] = {}
    for f in fasteners:
        named.setdefault(f.specification.source, []).append(f.name)
    return tuple((source, ", ".join(names)) for source, names in named.items() if source)
