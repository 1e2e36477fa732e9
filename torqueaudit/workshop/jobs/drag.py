"""The drag of a self-locking nut as it is told: read, and what is known of it by the wrench that read it."""

from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING, Any, NamedTuple

from torqueaudit.model.act import Refused, See, Topic
from torqueaudit.model.torque.correction import plain_line
from torqueaudit.model.torque.drag import Drag
from torqueaudit.model.wrench.classes import INDICATING, SETTING
from torqueaudit.model.wrench.scale import Shown, division_lines, scale_read
from torqueaudit.model.wrench.seat import NOT_TOLD, of_drag, own_lines, turn_line
from torqueaudit.model.wrench.uncertainty import Applied, permissible_line, trust_of
from torqueaudit.model.wrench.wrench import Wrench
from torqueaudit.read.tightening import read_drag
from torqueaudit.workshop.door.refusal import refused_if_unreadable
from torqueaudit.workshop.wrenches.in_hand import InHand

if TYPE_CHECKING:
    from torqueaudit.workshop.door.workshop import Workshop


class DragTold(NamedTuple):
    """A drag as it was told, the least and the most over a turn in N·m, and the wrench that read it where one was."""

    written: str
    least_nm: Decimal
    most_nm: Decimal
    by: InHand | None = None

    @property
    def mean_nm(self) -> Decimal:
        """What it drags by in the middle of a turn."""
        return (self.least_nm + self.most_nm) / 2

    def shown_on(self, wrench: Wrench) -> Shown:
        """It as a reading of a wrench."""
        return Shown(self.mean_nm, scale_read(wrench, self.written, self.least_nm))


def told_drag(workshop: "Workshop", written: str, by: InHand | None = None) -> DragTold | None:
    """A drag as it is written, "6 N·m" or "5 … 7 N·m"; None for "". Raises Refused, also for a wrench that clicks."""
    if not written:
        if by:
            raise Refused("a wrench for the drag was told, and no drag; say both")
        return None
    if by and by.wrench.kind == SETTING:
        says = f"wrench {by.wrench.number} clicks and shows no drag; say the one that it was read on"
        raise Refused(says, See(Topic.WRENCHES))
    with refused_if_unreadable():
        least_nm, most_nm = read_drag(workshop.plugins.units, written)
    return DragTold(written, least_nm, most_nm, by)


def drag_of(workshop: "Workshop", told: DragTold, taken: InHand, applied: Applied, shown_nm: Decimal) -> Drag:
    """The drag at the nut, by the wrench that read it; where none was told that is the one that tightens, if it shows.

    That wrench's readings are corrected alike, with what is fitted to it. Of a drag of which nobody told the wrench,
    the permissible deviation of an indicating one is taken (ISO 6789, from memory).
    """
    by = told.by or (taken if taken.wrench.kind == INDICATING else None)
    if by is None:
        return _drag(told, Fraction(1), (NOT_TOLD,))
    if by.wrench.number == taken.wrench.number:
        lines = own_lines(by.wrench, applied, told.shown_on(by.wrench))
        return _drag(told, applied.exact / Fraction(shown_nm), lines)._replace(same=True)
    shown = told.shown_on(by.wrench)
    trust = trust_of(by.wrench, by.in_force, shown, correct_deviation=workshop.settings.correct_deviation)
    lines = trust.lines
    if trust.why_not and not by.in_force.why_not:
        class_line = permissible_line(by.wrench)
        beyond = class_line._replace(name=f"{class_line.name}, for it lies beyond its calibrated points")
        lines = (beyond, *division_lines(by.wrench, shown))
    return _drag(told, trust.factor, of_drag(lines))._replace(not_proved=by.in_force.why_not)


def _drag(told: DragTold, factor: Fraction, lines: tuple[Any, ...]) -> Drag:
    return Drag(
        exact=Fraction(told.mean_nm) * factor,
        least_nm=told.least_nm,
        most_nm=told.most_nm,
        lines=(*lines, *turn_line(told.least_nm, told.most_nm)),
    )


def stored_drag(drag: Drag) -> dict[str, Any]:
    """A drag as the entry holds it."""
    stored: dict[str, Any] = {"drag_nm": str(drag.nm)}
    if drag.least_nm != drag.most_nm:
        stored |= {"drag_least_nm": str(drag.least_nm), "drag_most_nm": str(drag.most_nm)}
    if drag.lines:
        stored["drag_budget"] = [plain_line(line) for line in drag.lines]
    if drag.same:
        stored["drag_same"] = True
    if drag.not_proved:
        stored["drag_not_proved"] = drag.not_proved
    return stored
