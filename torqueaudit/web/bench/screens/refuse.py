"""The owner does not want the re-check: in whose words."""

from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.workshop.recheck.arranging import refuse_recheck

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry
    from torqueaudit.model.act import Say
    from torqueaudit.model.judged.next import Next
    from torqueaudit.web.bench.at_work import AtWork
    from torqueaudit.web.typed import Typed

TEMPLATE = "bench/refuse.html"


class RefuseScreen(NamedTuple):
    """How the re-check stands, and what was typed."""

    says: str
    why: str


def show(at: "AtWork", said: "Next", typed: "Typed") -> RefuseScreen:
    """When it is due as it is."""
    del said
    return RefuseScreen(at.recheck_stands, typed.one("why"))


def act(at: "AtWork", said: "Next", typed: "Typed", say: "Say") -> "list[Entry]":
    """Record what the owner says."""
    del said
    return refuse_recheck(at.workshop, at.number, typed.one("why"), say)
