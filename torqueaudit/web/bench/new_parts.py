"""Parts that hold once and go in with a fastener itself: told by a tick beside its tightening."""

from functools import partial
from typing import TYPE_CHECKING

from torqueaudit.model.job.acts import Part
from torqueaudit.model.procedure.procedure import Fastener, Fit
from torqueaudit.web.bench.at_work import nth
from torqueaudit.workshop.jobs.steps_and_parts import fit

if TYPE_CHECKING:
    from collections.abc import Callable

    from torqueaudit.ledger.entry import Entry
    from torqueaudit.model.act import Say
    from torqueaudit.web.bench.at_work import AtWork
    from torqueaudit.web.typed import Typed


def own_parts(at: "AtWork", fastener: Fastener) -> tuple[str, ...]:
    """The parts that hold once and that the procedure fits with the fastener itself, in no work of their own."""
    return tuple(key for key in fastener.single_use if not isinstance(at.job.procedure.item(key), Fit))


def new_parts(at: "AtWork", fastener: Fastener) -> tuple[tuple[str, str], ...]:
    """Each of them by its key, and in words."""
    return tuple((key, _words(key)) for key in own_parts(at, fastener))


def fitted_new(
    at: "AtWork", fastener: Fastener, typed: "Typed", say: "Say", *, first: int
) -> "list[Callable[[], list[Entry]]]":
    """The acts that tell those that were ticked, the first of them under the `first` id of the form."""
    own = own_parts(at, fastener)
    new = [key for key in typed.every("new") if key in own]
    return [
        partial(fit, at.workshop, at.number, key, Part(_words(key)), nth(say, number))
        for number, key in enumerate(new, start=first)
    ]


def _words(key: str) -> str:
    return key.replace("-", " ")
