"""A numbered group of bolts as it is drawn: each number in its place on the circle, and which one is next."""

import math
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Callable

    from torqueaudit.model.procedure.procedure import Fastener

CENTRE, RADIUS = 60, 44  # of the drawing, in its own units


class GroupLine(NamedTuple):
    """One bolt: where it is drawn, its turn in the order, whether it has reached the stage, and whether it is next."""

    position: str
    number: int
    turn: int
    x: int
    y: int
    done: bool
    next: bool


def group_lines(fastener: "Fastener", reached: "Callable[[str], bool]") -> tuple[GroupLine, ...]:
    """The bolts of a group by their numbers, clockwise from the top, and which have `reached` the stage.

    Nothing of a single fastener.
    """
    if fastener.size == 1:
        return ()
    order = fastener.turning_order
    left = [position for position in order if not reached(position)]
    return tuple(
        GroupLine(
            position=position,
            number=number,
            turn=order.index(position) + 1,
            x=round(CENTRE + RADIUS * math.sin(math.tau * (number - 1) / fastener.size)),
            y=round(CENTRE - RADIUS * math.cos(math.tau * (number - 1) / fastener.size)),
            done=position not in left,
            next=position in left[:1],
        )
        for number, position in enumerate(fastener.positions, start=1)
    )
