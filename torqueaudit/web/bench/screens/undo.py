"""The last act taken back, while nobody has built on it."""

from functools import partial
from typing import TYPE_CHECKING

from torqueaudit.web.bench.at_work import nth, one_by_one
from torqueaudit.workshop.jobs.undo import AT_ONCE, undo

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry
    from torqueaudit.model.act import Say
    from torqueaudit.model.judged.next import Next
    from torqueaudit.web.bench.at_work import AtWork
    from torqueaudit.web.typed import Typed

TEMPLATE = "bench/undo.html"
MOST = 40  # acts that one form tells


def show(at: "AtWork", said: "Next", typed: "Typed") -> str:
    """The number of the job whose last act is taken back."""
    del said, typed
    return at.number


def act(at: "AtWork", said: "Next", typed: "Typed", say: "Say") -> "list[Entry]":
    """Take it back; where one form told several acts, all of these, the last one first."""
    del said
    numbers = range(1, min(typed.number("acts") or 1, MOST) + 1)
    return one_by_one(partial(undo, at.workshop, at.number, AT_ONCE, nth(say, number)) for number in numbers)
