"""The second person's look: what was applied is shown only after it."""

from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.act import Refused
from torqueaudit.model.job.facts import CheckMethod
from torqueaudit.web.bench.at_work import nth
from torqueaudit.workshop.jobs.checks import check

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry
    from torqueaudit.model.act import Say
    from torqueaudit.model.judged.next import Next
    from torqueaudit.web.bench.at_work import AtWork
    from torqueaudit.web.typed import Typed

TEMPLATE = "bench/check.html"
ALL = ", all"  # behind a method that holds for everything that waits
METHODS = {
    CheckMethod.MARK_SEEN: "I saw the mark whole",
    CheckMethod.WATCHED: "I watched it tightened",
    CheckMethod.CLICKED_ONLY: "I set the wrench: it clicked, nothing turned",
}


class Waiting(NamedTuple):
    """One fastener or group that waits for a second person, without what was applied."""

    key: str
    says: str
    specified: str


class CheckScreen(NamedTuple):
    """What waits for a second person. `own` names why this one cannot be it: they had a hand in it."""

    first: Waiting
    more: tuple[Waiting, ...]  # what waits besides, and may be told with it
    own: str
    alone: bool  # a single-handed workshop, where the same person looks again and says why
    methods: tuple[tuple[str, str], ...]
    why: str


def show(at: "AtWork", said: "Next", typed: "Typed") -> CheckScreen:
    """What to look at."""
    person, own = at.asking.person, at.own(said.key)
    waits = (each.answer for each in at.view.to_do if each.answer and each.answer.act is said.act)
    more = (each.key for each in waits if each.key != said.key and not at.own(each.key))
    return CheckScreen(
        first=_waiting(at, said.key),
        more=() if own else tuple(_waiting(at, key) for key in more),
        own=f"{person} had a hand in it, and nobody checks their own work." if own else "",
        alone=own and at.workshop.settings.single_handed,
        methods=tuple((method.value, says) for method, says in METHODS.items()),
        why=typed.one("why"),
    )


def _waiting(at: "AtWork", key: str) -> Waiting:
    fastener = at.fastener(key)
    group = key == fastener.key and fastener.size > 1
    specified = next(each.specification.says for each in at.view.fasteners if each.position in fastener.positions)
    name = fastener.name if key == fastener.key else fastener.name_of(key)
    return Waiting(key, f"{name}s, all {fastener.size}" if group else name, specified)


def act(at: "AtWork", said: "Next", typed: "Typed", say: "Say") -> "list[Entry]":
    """Record the look."""
    try:
        method = CheckMethod(typed.one("method").removesuffix(ALL))
    except ValueError:
        raise Refused("nothing was chosen; tap how you looked") from None
    entries = check(at.workshop, at.number, said.key, method, typed.one("why"), say)
    for number, key in enumerate(typed.every("also") if typed.one("method").endswith(ALL) else (), start=2):
        entries += check(at.workshop, at.number, key, method, "", nth(say, number))
    return entries
