"""A photo of work that the procedure asks for, or that somebody takes of their own accord."""

from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.act import Refused
from torqueaudit.model.judged.subject import about_key

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry
    from torqueaudit.model.act import Say
    from torqueaudit.model.judged.next import Next
    from torqueaudit.web.bench.at_work import AtWork
    from torqueaudit.web.typed import Typed

TEMPLATE = "bench/photograph.html"
NO_PHOTO = "no photo was sent; take one, or choose one"


class PhotographScreen(NamedTuple):
    """What is photographed."""

    name: str


def show(at: "AtWork", said: "Next", typed: "Typed") -> PhotographScreen:
    """The work in words."""
    del typed
    at.item(said.key)
    return PhotographScreen(about_key(at.job.procedure, said.key).text)


def act(at: "AtWork", said: "Next", typed: "Typed", say: "Say") -> "list[Entry]":
    """Refuse it: a photo is looked at before it is kept."""
    del at, said, typed, say
    raise Refused(NO_PHOTO)
