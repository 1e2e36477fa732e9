"""What is due, whichever label is read: of its own job, or of another one on the vehicle where that is more urgent."""

from enum import IntEnum
from typing import NamedTuple

from torqueaudit.model.recheck.state import RecheckState
from torqueaudit.model.shown.job import JobView
from torqueaudit.model.shown.recheck import RecheckView, due_words, lateness_words, stands_words
from torqueaudit.model.shown.vehicle import VehicleView

NOT_WAITED_FOR = {
    RecheckState.OVERTAKEN: "Every fastener of this job was done by a later job since.",
    RecheckState.REFUSED: "The owner does not want the re-check.",
    RecheckState.GONE: "The vehicle will not come back.",
}


class Urgency(IntEnum):
    """How urgent is what is due, the most urgent last."""

    NOTHING = 0
    RECHECK = 1
    RECHECK_NOW = 2
    RECHECK_LATE = 3
    REPAIR = 4


URGENCY = {RecheckState.DUE: Urgency.RECHECK_NOW, RecheckState.MISSED: Urgency.RECHECK_LATE}


class Due(NamedTuple):
    """What is due, of which job: the large words, how late it is ("" when not), and what to look at then."""

    urgency: Urgency
    figure: str
    says: str
    late: str = ""
    looks: tuple[str, ...] = ()
    job: str = ""


def due_now(view: JobView, vehicle: VehicleView) -> Due:
    """What is due of a job, or what another job on the vehicle waits for more urgently: any label may be read."""
    others = [(work.number, _due(work)) for work in vehicle.works if work.number != view.number]
    named = [_of_another(number, due) for number, due in others]
    return max([_due(view)._replace(job=view.number), *named], key=lambda due: due.urgency)


def _of_another(number: str, due: Due) -> Due:
    return due._replace(says=f"Of job {number}: {due.says[:1].lower()}{due.says[1:]}", job=number)


def _due(view: JobView) -> Due:
    recheck = view.recheck
    if view.withdrawn or not view.recheck_wanted:
        return _nothing("The job was withdrawn." if view.withdrawn else "The procedure asks for no re-check.")
    if recheck is None:
        return Due(Urgency.NOTHING, "Nothing yet", "A re-check counts from the day the vehicle leaves.")
    if recheck.done_on and view.stops:
        says = f"The re-check of {recheck.done_on} left a stop standing: do not ride, call the workshop."
        return Due(Urgency.REPAIR, "A repair", says)
    if recheck.done_on:
        return _nothing(f"The re-check was {stands_words(recheck)}.")
    if why := NOT_WAITED_FOR.get(recheck.standing.state):
        return _nothing(why)
    return _recheck(recheck)


def _nothing(says: str) -> Due:
    return Due(Urgency.NOTHING, "Nothing", says)


def _recheck(view: RecheckView) -> Due:
    state = view.standing.state
    late, says = lateness_words(view.standing), due_words(view)
    return Due(
        urgency=URGENCY.get(state, Urgency.RECHECK),
        figure="Re-check",
        says=f"{says[:1].upper()}{says[1:]}.",
        late=f"Late by {late}" if late else "",
        looks=view.looks,
    )
