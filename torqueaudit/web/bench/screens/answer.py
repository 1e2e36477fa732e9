"""What another workshop found at a re-check that was handed to it."""

from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.job.acts import RecheckResult
from torqueaudit.model.job.entries import FAULT_FOUND, IN_ORDER
from torqueaudit.web.bench.odometer import read_typed_run
from torqueaudit.workshop.recheck.arranging import answer_recheck

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry
    from torqueaudit.model.act import Say
    from torqueaudit.model.judged.next import Next
    from torqueaudit.web.bench.at_work import AtWork
    from torqueaudit.web.typed import Typed

TEMPLATE = "bench/answer.html"


class AnswerScreen(NamedTuple):
    """To whom it was handed, and what was typed."""

    whom: str
    odometer: str
    remark: str


def show(at: "AtWork", said: "Next", typed: "Typed") -> AnswerScreen:
    """Whom the answer is from."""
    del said
    agreed = at.view.recheck.arranged if at.view.recheck else None
    return AnswerScreen(agreed.to_whom if agreed else "", typed.one("odometer"), typed.one("remark"))


def act(at: "AtWork", said: "Next", typed: "Typed", say: "Say") -> "list[Entry]":
    """Record it."""
    del said
    found = typed.chosen("found", (IN_ORDER, FAULT_FOUND))
    odometer = read_typed_run(typed)
    return answer_recheck(at.workshop, at.number, RecheckResult(found == IN_ORDER, odometer, typed.one("remark")), say)
