"""A concession: the foreman's written permission in spite of one stop, with basis, limit and expiry."""

from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.act import Refused
from torqueaudit.model.job.acts import Permission
from torqueaudit.model.judged.sentences import together
from torqueaudit.read.day import read_day
from torqueaudit.web.bench.screens.release import stop_of
from torqueaudit.workshop.door.refusal import refused_if_unreadable
from torqueaudit.workshop.jobs.concessions import concede

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry
    from torqueaudit.model.act import Say
    from torqueaudit.model.judged.next import Next
    from torqueaudit.web.bench.at_work import AtWork
    from torqueaudit.web.typed import Typed

TEMPLATE = "bench/concede.html"


class ConcedeScreen(NamedTuple):
    """The stop that is permitted, and what was typed of why."""

    says: str
    rule: str
    subject: str
    basis: str
    limit: str
    until: str


def show(at: "AtWork", said: "Next", typed: "Typed") -> ConcedeScreen:
    """The stop in its own words."""
    del said
    rule, subject = typed.one("rule"), typed.one("subject")
    stops = map(stop_of, together(at.view.stops))
    found = next((each for each in stops if (each.rule, each.subject) == (rule, subject)), None)
    if found is None:
        raise Refused("this stop stands no more; go back to the release")
    return ConcedeScreen(
        says=found.says,
        rule=rule,
        subject=subject,
        basis=typed.one("basis"),
        limit=typed.one("limit"),
        until=typed.one("until"),
    )


def act(at: "AtWork", said: "Next", typed: "Typed", say: "Say") -> "list[Entry]":
    """Record the permission."""
    del said
    if not typed.one("until"):
        raise Refused("say until when it is permitted")
    with refused_if_unreadable():
        until = read_day(typed.one("until"))
    told = Permission(
        rule=typed.one("rule"),
        subject=typed.one("subject"),
        basis=typed.one("basis"),
        limit=typed.one("limit"),
        expires_on=until,
    )
    return concede(at.workshop, at.number, told, say)
