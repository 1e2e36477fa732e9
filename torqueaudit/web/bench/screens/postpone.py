"""A re-check put off by the foreman: to a day, an odometer, or both, and why."""

from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.job.acts import Postponement
from torqueaudit.read.day import read_day
from torqueaudit.web.bench.odometer import read_typed_run
from torqueaudit.workshop.door.refusal import refused_if_unreadable
from torqueaudit.workshop.recheck.arranging import postpone_recheck

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry
    from torqueaudit.model.act import Say
    from torqueaudit.model.judged.next import Next
    from torqueaudit.web.bench.at_work import AtWork
    from torqueaudit.web.typed import Typed

TEMPLATE = "bench/postpone.html"


class PostponeScreen(NamedTuple):
    """How the re-check stands, and what was typed."""

    says: str
    until: str
    odometer: str
    why: str


def show(at: "AtWork", said: "Next", typed: "Typed") -> PostponeScreen:
    """When it is due as it is."""
    del said
    return PostponeScreen(at.recheck_stands, typed.one("until"), typed.one("odometer"), typed.one("why"))


def act(at: "AtWork", said: "Next", typed: "Typed", say: "Say") -> "list[Entry]":
    """Put it off."""
    del said
    with refused_if_unreadable():
        until = read_day(typed.one("until")) if typed.one("until") else None
    odometer = read_typed_run(typed)
    return postpone_recheck(at.workshop, at.number, Postponement(until, odometer, typed.one("why")), say)
