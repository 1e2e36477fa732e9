"""Another workshop does the re-check: which one, and why."""

from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.workshop.recheck.arranging import refer_recheck

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry
    from torqueaudit.model.act import Say
    from torqueaudit.model.judged.next import Next
    from torqueaudit.web.bench.at_work import AtWork
    from torqueaudit.web.typed import Typed

TEMPLATE = "bench/refer.html"


class ReferScreen(NamedTuple):
    """How the re-check stands, and what was typed."""

    says: str
    whom: str
    why: str


def show(at: "AtWork", said: "Next", typed: "Typed") -> ReferScreen:
    """When it is due as it is."""
    del said
    return ReferScreen(at.recheck_stands, typed.one("whom"), typed.one("why"))


def act(at: "AtWork", said: "Next", typed: "Typed", say: "Say") -> "list[Entry]":
    """Hand it to them."""
    del said
    return refer_recheck(at.workshop, at.number, typed.one("whom"), typed.one("why"), say)
