"""The last act taken back, while nobody has built on it."""

from functools import partial
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.act import Refused
from torqueaudit.web.bench.at_work import nth, one_by_one
from torqueaudit.workshop.jobs.undo import AT_ONCE, undo
from torqueaudit.workshop.judged.answer import answer_of

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry
    from torqueaudit.model.act import Say
    from torqueaudit.model.judged.next import Next
    from torqueaudit.web.bench.at_work import AtWork
    from torqueaudit.web.typed import Typed

TEMPLATE = "bench/undo.html"


class UndoScreen(NamedTuple):
    """The act that is taken back, by its id and in words."""

    of: str
    says: str


def show(at: "AtWork", said: "Next", typed: "Typed") -> UndoScreen:
    """What was recorded last."""
    del said, typed
    of = _last_standing(at)
    own = at.workshop.book.entries(f"job/{at.number}")
    return UndoScreen(of, answer_of(at.job, at.around, at.workshop.book.of_act(of), own).says)


def act(at: "AtWork", said: "Next", typed: "Typed", say: "Say") -> "list[Entry]":
    """Take it back; where one form told several acts, all of these, the last one first."""
    del said
    told = list(enumerate(reversed(typed.every("of")), start=1))
    return one_by_one(partial(_taken_back, at, act_id, nth(say, number)) for number, act_id in told)


def _taken_back(at: "AtWork", act_id: str, say: "Say") -> "list[Entry]":
    """Take back one act, and no other that was recorded since the page was shown."""
    if not at.workshop.book.of_act(say.id) and act_id != _last_standing(at):
        raise Refused("something was recorded since this page was shown, or it was taken back; look at it first")
    return undo(at.workshop, at.number, AT_ONCE, say, act_id)


def _last_standing(at: "AtWork") -> str:
    """The id of the last act on the job of which something stands."""
    own = at.workshop.book.entries(f"job/{at.number}")
    struck = {strike.entry for strike in at.workshop.record(at.number).strikes}
    return next((each.act for each in reversed(own) if each.what != "struck" and each.sequence not in struck), "")
