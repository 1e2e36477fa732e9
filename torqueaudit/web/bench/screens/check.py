"""The second person's look: what was applied is shown only after it."""

from functools import partial
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.act import Refused
from torqueaudit.model.job.facts import CheckMethod, MarkState
from torqueaudit.model.procedure.procedure import THREADLOCKER
from torqueaudit.model.register.permits import ActName
from torqueaudit.web.bench.at_work import nth, one_by_one
from torqueaudit.workshop.jobs.checks import check

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry
    from torqueaudit.model.act import Say
    from torqueaudit.model.judged.next import Next
    from torqueaudit.web.bench.at_work import AtWork
    from torqueaudit.web.typed import Typed

TEMPLATE = "bench/check.html"
ALL = ", all"  # behind a method that holds for everything that waits
MARK_SEEN = CheckMethod.MARK_SEEN
METHODS = {
    MARK_SEEN: "I saw the mark whole",
    CheckMethod.WATCHED: "I watched it tightened",
    CheckMethod.CLICKED_ONLY: "I set the wrench: it clicked, nothing turned",
}


class Waiting(NamedTuple):
    """One fastener or group that waits for a second person, without what was applied."""

    key: str
    says: str
    specified: str


class CheckScreen(NamedTuple):
    """What waits for a second person. `why_not` says why this one cannot be it."""

    first: Waiting
    more: tuple[Waiting, ...]  # what waits besides, and may be told with it
    why_not: str
    alone: bool  # a single-handed workshop, where the same person looks again and says why
    methods: tuple[tuple[str, str], ...]
    why: str


def show(at: "AtWork", said: "Next", typed: "Typed") -> CheckScreen:
    """What to look at."""
    own, why_not, whole = at.own(said.key), _why_not(at, said.key), _is_whole(at, said.key)
    waits = (each.answer for each in at.view.to_do if each.answer and each.answer.act is said.act)
    more = (each.key for each in waits if each.key != said.key and not at.own(each.key) and _is_whole(at, each.key))
    return CheckScreen(
        first=_waiting(at, said.key),
        more=tuple(_waiting(at, key) for key in more) if whole and not why_not else (),
        why_not=why_not,
        alone=own and at.workshop.settings.single_handed,
        methods=tuple((each.value, says) for each, says in METHODS.items() if each not in _barred(at, said.key, whole)),
        why=typed.one("why"),
    )


def _why_not(at: "AtWork", key: str) -> str:
    """Why somebody may not look as the second person; "" where they may."""
    if not at.may(ActName.CHECK):
        return f"{at.asking.person} checks nobody's work: a mechanic or a foreman does."
    return f"{at.asking.person} had a hand in it, and nobody checks their own work." if at.own(key) else ""


def _barred(at: "AtWork", key: str, whole: bool) -> tuple[CheckMethod, ...]:  # noqa: FBT001  # how its mark stands
    """How nobody looks at it: by a mark that is not whole, or by a wrench where it breaks what threadlocker holds."""
    locked = at.fastener(key).condition == THREADLOCKER
    return (*(() if whole else (MARK_SEEN,)), *((CheckMethod.CLICKED_ONLY,) if locked else ()))


def _is_whole(at: "AtWork", key: str) -> bool:
    """Whether a whole mark is recorded of a fastener, or of each one of a group: no other is seen to be whole."""
    fastener = at.fastener(key)
    positions = fastener.positions if key == fastener.key else (key,)
    return all(at.job.record.current(position).mark_state is MarkState.INTACT for position in positions)


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
    if method is CheckMethod.SELF and not at.workshop.settings.single_handed:
        raise Refused("nobody checks their own work here; somebody else looks")
    also = typed.every("also") if typed.one("method").endswith(ALL) else ()
    keys = (said.key, *(key for key in also if at.fastener(key).check))
    told = list(enumerate(keys, start=1))
    why = typed.one("why")
    return one_by_one(
        partial(check, at.workshop, at.number, key, method, why, nth(say, number)) for number, key in told
    )
