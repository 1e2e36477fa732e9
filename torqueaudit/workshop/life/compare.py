"""Two jobs asked for at once, side by side."""

from typing import TYPE_CHECKING

from torqueaudit.model.act import Refused
from torqueaudit.model.shown.compared import ComparedJobs, compared
from torqueaudit.workshop.judged.job_view import look_at

if TYPE_CHECKING:
    from torqueaudit.workshop.door.workshop import Workshop


def compare_jobs(workshop: "Workshop", one: str, other: str) -> ComparedJobs:
    """Two jobs as each stands now. Raises Refused for one that there is not, and for one job named twice."""
    if one == other:
        raise Refused(f"job {one}: name two jobs, to see them side by side")
    return compared(look_at(workshop, one).view, look_at(workshop, other).view)
