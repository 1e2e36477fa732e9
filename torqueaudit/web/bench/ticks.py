"""What a refusal asks back is told by a tick beside the same form, sent once more with all that were set before."""

from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.act import Refused, Topic
from torqueaudit.web.bench.at_work import NotSure, OutOfDate, Partly

if TYPE_CHECKING:
    from torqueaudit.web.typed import Typed

HERE, AGAIN, SECOND = ("here", "It is here again"), ("again", "It was done again"), ("second", "This is another job")
ASKED_BACK = {
    Topic.ARRIVAL: HERE,
    Topic.AGAIN: AGAIN,
    Topic.SECOND: SECOND,
    Topic.SURE: ("sure", "I am sure of the odometer"),
    Topic.EXCHANGED: ("sure", "I am sure: I looked again"),
}
# A tick that was set before, beside a form that is refused for something else.
KEPT = (HERE, AGAIN, SECOND, ("sure", "I am sure: I looked again"))


class Tick(NamedTuple):
    """A box beside a form: what is sent, what stands beside it, and whether it was set before."""

    name: str
    says: str
    told: bool


def ticks_of(refused: Refused | None, typed: "Typed") -> tuple[Tick, ...]:
    """The boxes beside a form that was refused: those that were set, and the one that answers why."""
    if refused is None or isinstance(refused.why if isinstance(refused, Partly) else refused, OutOfDate):
        return ()
    asked = asked_back(refused)
    kept = [Tick(name, says, told=True) for name, says in KEPT if typed.one(name) == "yes"]
    new = [Tick(*asked, told=False)] if asked and typed.one(asked[0]) != "yes" else []
    return (*kept, *new)


def asked_back(refused: Refused) -> tuple[str, str] | None:
    """The name of the tick that answers a refusal, and what stands beside it; None where none does."""
    if isinstance(refused, NotSure):
        return "sure", "It is so: I looked again"
    return ASKED_BACK.get(refused.see.topic) if refused.see else None
