"""What is due, whichever label is read: of its own job, or of another one on the vehicle where that is more urgent."""

from enum import IntEnum
from typing import NamedTuple

from torqueaudit.model.judged.sentences import whole_sentence
from torqueaudit.model.recheck.state import NOT_DONE_HERE, RecheckState, Standing
from torqueaudit.model.shown.job import JobView
from torqueaudit.model.shown.recheck import RecheckView, lateness_words, stands_words, state_words
from torqueaudit.model.shown.vehicle import Riding, VehicleView


class Urgency(IntEnum):
    """How urgent is what is due, the most urgent last."""

    NOTHING = 0
    RECHECK = 1
    RECHECK_NOW = 2
    RECHECK_LATE = 3
    REPAIR = 4


class Due(NamedTuple):
    """What is due, of which job: the large words, how late it is ("" when not), and what to look at then.

    `state` is that of the re-check it is about, None where it is about none.
    """

    urgency: Urgency
    figure: str
    says: str
    late: str = ""
    looks: tuple[str, ...] = ()
    job: str = ""
    state: RecheckState | None = None
    estimate: str = ""  # what it has run by its own history, where that alone makes it due


def due_now(view: JobView, vehicle: VehicleView) -> Due:
    """What is due of a job, or what another job on the vehicle waits for more urgently: any label may be read."""
    others = [(work.number, _due(work)) for work in vehicle.works if work.number != view.number]
    named = [_of_another(number, due) for number, due in others]
    return max([_due(view)._replace(job=view.number), *named], key=lambda due: due.urgency)


def riding_of(vehicle: VehicleView, due: Due) -> Riding:
    """Whether a vehicle may be ridden: one that is away and waits for a repair may not, whatever its jobs say."""
    return Riding.STOPPED if due.urgency is Urgency.REPAIR and not vehicle.presence.here else vehicle.riding


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
    why = _not_waited_for(recheck.standing)
    return _nothing(why) if why else _recheck(recheck)


def _not_waited_for(standing: Standing) -> str:
    """Why nothing is due; "" where something is, also where nobody waits for it here and its day is there."""
    if standing.state is RecheckState.OVERTAKEN:
        return "Every fastener of this job was done by a later job since."
    if standing.state is RecheckState.GONE:
        return "The vehicle will not come back. Its re-check was never done."
    refused = standing.state is RecheckState.REFUSED and not standing.reached
    return "The owner does not want the re-check." if refused else ""


def _nothing(says: str) -> Due:
    return Due(Urgency.NOTHING, "Nothing", says)


def _recheck(view: RecheckView) -> Due:
    standing = view.standing
    late, says = lateness_words(view), state_words(view)
    return Due(
        urgency=_urgency(standing),
        figure="Re-check",
        says=whole_sentence(says),
        late=f"Late by {late}" if late else "",
        looks=view.looks,
        state=standing.state,
        estimate=view.estimate,
    )


def _urgency(standing: Standing) -> Urgency:
    """One that is not done here has no grace: nobody waits behind its day."""
    if standing.state is RecheckState.MISSED or (standing.state in NOT_DONE_HERE and standing.past):
        return Urgency.RECHECK_LATE
    now = standing.state is RecheckState.DUE or (standing.state in NOT_DONE_HERE and standing.reached)
    return Urgency.RECHECK_NOW if now else Urgency.RECHECK
