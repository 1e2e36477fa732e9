"""The witness mark: painted after tightening, or looked at later, one by one."""

from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.act import Refused
from torqueaudit.model.job.facts import MarkState
from torqueaudit.workshop.jobs.fasteners import see_mark

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry
    from torqueaudit.model.act import Say
    from torqueaudit.model.judged.next import Next
    from torqueaudit.web.bench.at_work import AtWork
    from torqueaudit.web.typed import Typed

TEMPLATE = "bench/mark.html"
SEEN = {
    MarkState.DISTURBED: "Turned: the line is broken",
    MarkState.UNREADABLE: "Cannot tell",
    MarkState.NOT_SEEN: "Not seen",
}


class MarkScreen(NamedTuple):
    """The mark of a fastener, to be painted, or to be `looked` at; `many` where it is a group's."""

    name: str
    look: bool
    many: int
    others: tuple[tuple[str, str], ...]  # what is sent, and what stands on the button
    why: str


def show(at: "AtWork", said: "Next", typed: "Typed") -> MarkScreen:
    """The nut with its line."""
    fastener = at.fastener(said.key)
    group = said.key == fastener.key
    return MarkScreen(
        name=fastener.name if group else fastener.name_of(said.key),
        look=said.look,
        many=fastener.size if group else 1,
        others=tuple((state.value, says) for state, says in SEEN.items()),
        why=typed.one("why"),
    )


def act(at: "AtWork", said: "Next", typed: "Typed", say: "Say") -> "list[Entry]":
    """Record what was painted or seen."""
    fastener = at.fastener(said.key)
    try:
        state = MarkState(typed.one("state"))
    except ValueError:
        raise Refused(f"{fastener.name}: nothing was chosen; tap what the mark is like") from None
    return see_mark(at.workshop, at.number, said.key, state, typed.one("why"), say)
