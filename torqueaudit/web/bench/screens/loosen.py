"""Undoing a fastener, with why: its tightening, mark and check become history."""

from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.workshop.jobs.fasteners import loosen

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry
    from torqueaudit.model.act import Say
    from torqueaudit.model.judged.next import Next
    from torqueaudit.web.bench.at_work import AtWork
    from torqueaudit.web.typed import Typed

TEMPLATE = "bench/loosen.html"


class LoosenScreen(NamedTuple):
    """What is undone, and why."""

    name: str
    why: str


def show(at: "AtWork", said: "Next", typed: "Typed") -> LoosenScreen:
    """The fastener or group."""
    fastener = at.fastener(said.key)
    name = fastener.name if said.key == fastener.key else fastener.name_of(said.key)
    return LoosenScreen(name, typed.one("why"))


def act(at: "AtWork", said: "Next", typed: "Typed", say: "Say") -> "list[Entry]":
    """Record that it was undone."""
    return loosen(at.workshop, at.number, said.key, typed.one("why"), say)
