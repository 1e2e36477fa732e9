"""Every re-check that is waited for, late ones too, up to some days ahead: the list that somebody calls owners by."""

from datetime import date
from typing import TYPE_CHECKING

from torqueaudit.model.recheck.state import WAITING
from torqueaudit.model.shown.due_list import AHEAD, DueRecheck
from torqueaudit.workshop.night.desk import Desk, Flagged
from torqueaudit.workshop.night.in_full import last_in_full
from torqueaudit.workshop.night.rechecks import pending

if TYPE_CHECKING:
    from torqueaudit.workshop.door.workshop import Workshop


def rechecks_due(workshop: "Workshop", ahead: int = AHEAD) -> list[DueRecheck]:
    """The re-checks that are due within so many days or late, by the day, as *today* judges them."""
    desk = Desk(workshop, workshop.today(), last_in_full(workshop.book), now=True, full=False)
    found = (each for each in pending(desk, ahead) if each.standing.state in WAITING)
    return sorted(map(_due, found), key=lambda each: (each.recheck.due_on or date.min, int(each.job)))


def _due(flagged: Flagged) -> DueRecheck:
    view = flagged.view
    if view.recheck is None:
        raise TypeError(f"job {view.number} waits for a re-check, and has none")
    return DueRecheck(
        job=view.number,
        vehicle=view.vehicle,
        tag=view.vehicle_tag,
        title=view.procedure.title,
        holds=flagged.row.holds or "",
        recheck=view.recheck,
    )
