"""The end of a re-check: the odometer, once every mark and measurement was looked at."""

from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.web.bench.odometer import read_typed_run
from torqueaudit.workshop.recheck.road import recheck

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry
    from torqueaudit.model.act import Say
    from torqueaudit.model.judged.next import Next
    from torqueaudit.web.bench.at_work import AtWork
    from torqueaudit.web.typed import Typed

TEMPLATE = "bench/recheck.html"


class RecheckScreen(NamedTuple):
    """What is still to look at, and what was typed."""

    left: tuple[str, ...]
    odometer: str
    remark: str


def show(at: "AtWork", said: "Next", typed: "Typed") -> RecheckScreen:
    """What was not looked at yet."""
    del said
    left = at.view.recheck.looks if at.view.recheck else ()
    return RecheckScreen(left, typed.one("odometer"), typed.one("remark"))


def act(at: "AtWork", said: "Next", typed: "Typed", say: "Say") -> "list[Entry]":
    """Conclude it."""
    del said
    return recheck(at.workshop, at.number, read_typed_run(typed), typed.one("remark"), say)
