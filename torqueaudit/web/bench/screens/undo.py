"""The last act taken back, while nobody has built on it."""

from functools import partial
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.act import Refused
from torqueaudit.web.bench.at_work import nth, one_by_one
from torqueaudit.workshop.jobs.undo import AT_ONCE, last_act, undo
from torqueaudit.workshop.judged.answer import answer_of

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry
    from torqueaudit.model.act import Say
    from torqueaudit.model.judged.next import Next
    from torqueaudit.web.bench.at_work import AtWork
    from torqueaudit.web.typed import Typed

TEMPLATE = "bench/undo.html"


class UndoScreen(NamedTuple):
    """The act that is taken back, by its id and in words; or why none is, without an id."""

    of: str
    says: str


def show(at: "AtWork", said: "Next", typed: "Typed") -> UndoScreen:
    """What whoever asks would take back, by the rule that the act itself goes by."""
    del said, typed
    try:
        last = last_act(at.workshop, at.number, at.asking.person)
    except Refused as refused:
        return UndoScreen("", f"{refused}.")
    own = at.workshop.book.entries(f"job/{at.number}")
    return UndoScreen(last[0].act, answer_of(at.job, at.around, last, own).says)


def act(at: "AtWork", said: "Next", typed: "Typed", say: "Say") -> "list[Entry]":
    """Take it back; where one form told several acts, all of these, the last one first."""
    del said
    told = list(enumerate(reversed(typed.every("of")), start=1))
    return one_by_one(partial(undo, at.workshop, at.number, AT_ONCE, nth(say, number), seen) for number, seen in told)
