"""The job that follows, opened for just what was found: the motorcycle stays here until it is put right."""

from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.job.acts import Opening
from torqueaudit.model.judged.subject import subject_of
from torqueaudit.workshop.jobs.job import open_job

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry
    from torqueaudit.model.act import Say
    from torqueaudit.model.judged.next import Next
    from torqueaudit.web.bench.at_work import AtWork
    from torqueaudit.web.typed import Typed

TEMPLATE = "bench/follow.html"


class FollowScreen(NamedTuple):
    """The fasteners that the job will be of: each by its key and in words."""

    keys: tuple[str, ...]
    names: tuple[str, ...]


def show(at: "AtWork", said: "Next", typed: "Typed") -> FollowScreen:
    """What is found and not put right here."""
    del typed
    keys = _keys(at, said)
    items = [item for key in keys if (item := at.job.procedure.item(key) or at.job.procedure.fastener_at(key))]
    return FollowScreen(keys, tuple(subject_of(item).text for item in items))


def act(at: "AtWork", said: "Next", typed: "Typed", say: "Say") -> "list[Entry]":
    """Open it; what comes next is found on its own pages."""
    keys = typed.every("only") or _keys(at, said)
    number = open_job(at.workshop, Opening("", "", follows=at.number, only=keys), say)
    return at.workshop.book.entries(f"job/{number}")[:1]


def _keys(at: "AtWork", said: "Next") -> tuple[str, ...]:
    """The fasteners that the job itself says are to be done on one that follows, else the one that is named."""
    asked = (each.answer for each in at.view.to_do if each.answer)
    found = next((each.only for each in asked if each.act is said.act and each.only), ())
    return found or ((said.key,) if said.key else ())
