"""The hand-over: the vehicle leaves at an odometer, released, or for a reason with the stops that stand."""

from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.judged.sentences import together
from torqueaudit.model.register.distance import distance_text
from torqueaudit.web.bench.odometer import read_typed_odometer
from torqueaudit.workshop.jobs.release import hand_over

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry
    from torqueaudit.model.act import Say
    from torqueaudit.model.judged.next import Next
    from torqueaudit.web.bench.at_work import AtWork
    from torqueaudit.web.typed import Typed

TEMPLATE = "bench/hand_over.html"


class HandOverScreen(NamedTuple):
    """What stands against it, and the odometer that was read last."""

    stops: tuple[str, ...]
    signed: bool
    before: str  # the odometer at the opening, in words
    odometer: str
    why: str


def show(at: "AtWork", said: "Next", typed: "Typed") -> HandOverScreen:
    """What whoever lets it go reads first."""
    del said
    opened = at.view.opening.odometer_m
    return HandOverScreen(
        stops=tuple(each.says for each in together(at.view.stops)),
        signed=at.view.release is not None and not at.view.unsigned,
        before="" if opened is None else distance_text(opened),
        odometer=typed.one("odometer"),
        why=typed.one("why"),
    )


def act(at: "AtWork", said: "Next", typed: "Typed", say: "Say") -> "list[Entry]":
    """Record that it left."""
    del said
    odometer_m = read_typed_odometer(typed)
    return hand_over(at.workshop, at.number, odometer_m, say, typed.one("why"))
