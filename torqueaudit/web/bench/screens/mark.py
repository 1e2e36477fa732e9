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
    """The mark of a fastener, to be painted, or to be `looked` at; of a group with its `bolts`."""

    name: str
    look: bool
    bolts: tuple[tuple[str, str], ...]  # of a group: each position, and its number
    others: tuple[tuple[str, str], ...]  # what is sent, and what stands on the button
    why: str


def show(at: "AtWork", said: "Next", typed: "Typed") -> MarkScreen:
    """The nut with its line."""
    fastener = at.fastener(said.key)
    group = said.key == fastener.key and fastener.size > 1
    numbered = ((position, str(number)) for number, position in enumerate(fastener.positions, start=1))
    return MarkScreen(
        name=fastener.name if said.key == fastener.key else fastener.name_of(said.key),
        look=said.look,
        bolts=tuple(numbered) if group else (),
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
    group = said.key == fastener.key and fastener.size > 1
    key = said.key if state is MarkState.INTACT or not group else typed.chosen("of", fastener.positions)
    return see_mark(at.workshop, at.number, key, state, typed.one("why"), say)
