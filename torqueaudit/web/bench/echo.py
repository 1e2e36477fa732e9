"""What the last act was understood as, and what the rules say of it, above the screen that comes next."""

from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.judged.finding import Weight
from torqueaudit.model.judged.sentences import together
from torqueaudit.workshop.judged.answer import answer_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from torqueaudit.web.bench.at_work import AtWork


class Said(NamedTuple):
    """One finding that an act brought."""

    stop: bool
    says: str


class Echo(NamedTuple):
    """The acts of one form in words, the findings that they brought, and how many of them one tap takes back."""

    says: tuple[str, ...]
    undo: int
    findings: tuple[Said, ...]


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
    told = [each for each in brought if each.weight is not Weight.NOTE and not each.due]
    last = own[-1].sequence in mine and not any(each.what == "struck" for entries in acts for each in entries)
    return Echo(
        says=tuple(answer_of(at.job, at.around, entries, own).says for entries in acts),
        undo=len(acts) if last else 0,
        findings=tuple(Said(each.weight is Weight.STOP, each.says) for each in together(told)),
    )
