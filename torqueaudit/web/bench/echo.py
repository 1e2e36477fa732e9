"""What the last act was understood as, and what the rules say of it, above the screen that comes next."""

from datetime import timedelta
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.ledger.entry import moment_of
from torqueaudit.model.act import Refused, Topic
from torqueaudit.model.judged.finding import Finding, Weight
from torqueaudit.model.judged.sentences import Saying, together
from torqueaudit.model.register.permits import ActName
from torqueaudit.web.bench.labels import Tap, tap_for
from torqueaudit.web.bench.walk import address_of
from torqueaudit.workshop.jobs.undo import last_act
from torqueaudit.workshop.judged.answer import answer_of

if TYPE_CHECKING:
    from collections.abc import Container, Iterable, Iterator, Sequence

    from torqueaudit.ledger.entry import Entry
    from torqueaudit.web.bench.at_work import AtWork


A_MOMENT = timedelta(minutes=10)
COMES_ANYWAY = frozenset({ActName.MARK, ActName.CHECK, ActName.MEASURE, ActName.TIGHTEN, ActName.CONFIRM_LOGGED})
ANSWERS = {
    ActName.TIGHTEN: "Tighten it",
    ActName.CONFIRM_LOGGED: "Confirm it",
    ActName.LOOSEN: "Loosen it",
    ActName.MARK: "Look at the mark",
    ActName.CHECK: "Have it checked",
    ActName.MEASURE: "Measure it",
    ActName.STEP: "Answer it again",
    ActName.FIT: "Tell the part again",
    ActName.OPEN: "Open the job that follows",
}


class Said(NamedTuple):
    """One finding that an act brought, and the way to the act that answers it; "" where none does."""

    stop: bool
    says: str
    answer: str  # what the button says
    address: str


class Echo(NamedTuple):
    """The acts of one form in words, the findings that they brought, and which of them one tap takes back."""

    says: tuple[str, ...]
    undo: tuple[str, ...]  # the ids of the acts that one tap takes back, in their order
    findings: tuple[Said, ...]
    by: str  # who told it, "" where that is whoever sees it
    labels: Tap | None = None
    left: bool = False  # the motorcycle has just left


def echo_of(at: "AtWork", act_ids: "Iterable[str]") -> Echo | None:
    """What acts of this job were understood as; None where none of these ids is of one."""
    own = at.workshop.book.entries(f"job/{at.number}")
    known = {each.sequence for each in own}
    acts = [at.workshop.book.of_act(id_) for id_ in act_ids]
    acts = [entries for entries in acts if any(each.sequence in known for each in entries)]
    if not acts:
        return None
    mine = {each.sequence for entries in acts for each in entries}
    brought = [each.finding for each in at.view.findings if each.finding.entry in mine and not each.concession]
    measured = any(each.what == "measured" for entries in acts for each in entries)  # a note says how far to move
    told = [each for each in brought if (measured or each.weight is not Weight.NOTE) and not _comes_anyway(each)]
    by = acts[0][0].who
    mine_own = by == at.asking.person
    left = _has_left(at, acts)
    return Echo(
        says=tuple(_with_applied(at, answer_of(at.job, at.around, entries, own).says, entries) for entries in acts),
        undo=tuple(entries[0].act for entries in acts) if mine_own and _goes_back(at, mine) else (),
        findings=(*(_said(at, each) for each in together(told)), *_to_follow(at, told)),
        by="" if mine_own else by,
        labels=tap_for(at) if left else None,
        left=left,
    )


def _goes_back(at: "AtWork", mine: "Container[int]") -> bool:
    """Whether the act that one tap would take back now wrote one of these entries."""
    try:
        return last_act(at.workshop, at.number, at.asking.person)[0].sequence in mine
    except Refused:
        return False


def _has_left(at: "AtWork", acts: "Sequence[Sequence[Entry]]") -> bool:
    """Whether one of these acts let the vehicle go, and it is away."""
    left = any(each.what == "handed_over" for entries in acts for each in entries)
    return left and at.view.hand_over is not None and not at.view.presence.here


def last_of(at: "AtWork") -> tuple[str, ...]:
    """The act that was recorded on this job a moment ago, for whoever comes back to it; else none."""
    opened, *acts = at.workshop.book.entries(f"job/{at.number}")
    del opened
    recent = acts and at.workshop.clock() - moment_of(acts[-1].recorded_at) < A_MOMENT
    return (acts[-1].act,) if recent else ()


def _with_applied(at: "AtWork", says: str, entries: "Sequence[Entry]") -> str:
    """What an act was understood as; of a second person's look with what was applied, which is shown only now."""
    looked = {entry.said["position"] for entry in entries if entry.what == "checked"}
    found = [each for each in at.view.fasteners if each.position in looked and each.applied]
    return "; ".join([says, *(f"{each.name}: {each.applied}" for each in found)])


def _comes_anyway(finding: Finding) -> bool:
    """Whether nothing is wrong: the work goes on with what it asks for."""
    return finding.due and finding.answer is not None and finding.answer.act in COMES_ANYWAY


def _to_follow(at: "AtWork", told: "Sequence[Finding]") -> "Iterator[Said]":
    """The way to the job that follows, where an act brought a stop that this job may not put right."""
    found = next((each for each in at.view.to_do if each.answer and each.answer.act is ActName.OPEN), None)
    if found and found.answer and any(each.weight is Weight.STOP for each in told):
        says = f"Do not ride. Then {found.says}"
        yield Said(stop=True, says=says, answer=ANSWERS[ActName.OPEN], address=address_of(at.number, found.answer))


def _said(at: "AtWork", saying: Saying) -> Said:
    if saying.see and saying.see.topic is Topic.OVERLOADED_WRENCH:
        stop = saying.weight is Weight.STOP
        return Said(stop, saying.says, f"Put wrench {saying.see.of} aside", f"w/{saying.see.of}")
    answer = saying.findings[0].answer
    way = answer if answer and answer.act in ANSWERS else None
    return Said(
        stop=saying.weight is Weight.STOP,
        says=saying.says,
        answer=ANSWERS[way.act] if way else "",
        address=address_of(at.number, way) if way else "",
    )
