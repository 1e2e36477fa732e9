"""The owner's page of a label: the vehicle as it stands over all its jobs, in an owner's words."""

from collections import Counter
from collections.abc import Iterable
from datetime import date
from typing import TYPE_CHECKING

from torqueaudit.model.job.facts import MarkState
from torqueaudit.model.recheck.arranged import rests_on
from torqueaudit.model.recheck.due import sequence_of
from torqueaudit.model.recheck.state import NOT_DONE_HERE, WAITING, RecheckState
from torqueaudit.model.shown.due import Due, Urgency, due_now, riding_of
from torqueaudit.model.shown.owner import ExpectedBack, NoDay, OwnerView, Place, Safety
from torqueaudit.model.shown.recheck import RecheckView
from torqueaudit.model.shown.vehicle import Riding, VehicleView
from torqueaudit.workshop.judged.job_view import look_at
from torqueaudit.workshop.recheck.asking import last_day
from torqueaudit.workshop.register.labels import vehicle_of
from torqueaudit.workshop.vehicles.present import vehicle_view

if TYPE_CHECKING:
    from torqueaudit.model.shown.job import JobView
    from torqueaudit.workshop.door.workshop import Workshop

# What is said of a vehicle that is not to be ridden, and of one that is to come back.
_NOT_RIDDEN = {
    Riding.IN_THE_WORKSHOP: "It is in the workshop, and the work on it is not finished.",
    Riding.STOPPED: "Something on it has to be looked at first. Call us.",
    Riding.NOT_SIGNED: "Nobody has signed the work on it yet. Call us.",
}
_COME_BACK = {
    Urgency.RECHECK_NOW: "It is time for the re-check. Ride to us, and make no tour before it.",
    Urgency.RECHECK_LATE: "The re-check is overdue. Call us, and ride no farther than to us.",
}
# Where nobody has read how far it was ridden.
_ESTIMATED = (
    "It may be time for the re-check: by an estimate from its history it has run {run}. Tell us what the {called} "
    "shows, and make no tour before it."
)
# The same of a re-check that nobody does here.
_NOT_HERE = {
    RecheckState.REFUSED: {
        Urgency.RECHECK_NOW: "It is time for the re-check. Call us, or have it done by another workshop.",
        Urgency.RECHECK_LATE: "The re-check was not done and is overdue. Call us, or have it done by another workshop, "
        "before you ride on.",
    },
    RecheckState.REFERRED: {
        Urgency.RECHECK_NOW: "It is time for the re-check at the other workshop. Make no tour before it.",
        Urgency.RECHECK_LATE: "The re-check at the other workshop is overdue: ride no farther than there.",
    },
}
_NOT_OURS = "We no longer look after it, so we do not say that you may ride."
_NEVER_DONE = "We no longer look after it, and its re-check was never done. Have it done by a workshop before you ride."
_RIDE = "Nothing speaks against it, as far as we know. Look first, as shown below."
# What a vehicle is waited for with, the most urgent last.
_URGENCY = (RecheckState.POSTPONED, RecheckState.NOT_YET_DUE, RecheckState.DUE, RecheckState.MISSED)
# Why nobody waits for the owner.
_NOTHING = "Nothing is due"
_NO_DAY = {
    RecheckState.DONE: NoDay(_NOTHING, "The re-check was done.", settled=True),
    RecheckState.OVERTAKEN: NoDay(_NOTHING, "Later work has taken its place.", settled=True),
    RecheckState.REFUSED: NoDay("No re-check", "You told us that you do not want it. You may come all the same."),
    RecheckState.REFERRED: NoDay("At another workshop", "They do the re-check. Tell us what they found."),
    RecheckState.GONE: NoDay("Not with us", "Its re-check was never done, and we no longer look after it."),
}
_NONE_ASKED = NoDay(_NOTHING, "You need not come back for a re-check.")
_WITHDRAWN = NoDay(_NOTHING, "The work of this label was withdrawn. Another label of the motorcycle may say more.")
_WITH_US = NoDay("We tell you then", "The day is set when you fetch it.")


def owner_view(workshop: "Workshop", number: str) -> OwnerView:
    """The vehicle of a job as its owner needs to know it. Raises Refused when there is no such job."""
    return _view_of(workshop, vehicle_view(workshop, vehicle_of(workshop, number)), number)


def owner_views(workshop: "Workshop", vehicle: str) -> dict[str, OwnerView]:
    """The same of every job on a vehicle, by number: each has a label. Raises Refused for an unknown vehicle."""
    shown = vehicle_view(workshop, vehicle)
    return {each.job: _view_of(workshop, shown, each.job) for each in shown.jobs}


def _view_of(workshop: "Workshop", vehicle: VehicleView, number: str) -> OwnerView:
    shown = {work.number: work for work in vehicle.works}
    view = shown.get(number) or look_at(workshop, number).view
    works = [*shown.values(), view]
    safety, says = _safety(vehicle, due_now(view, vehicle), works)
    settings = workshop.settings
    return OwnerView(
        job=number,
        token=view.token,
        tag=vehicle.tag,
        workshop=workshop.book.site,
        telephone=settings.telephone,
        demo=settings.demo,
        asked_on=workshop.today(),
        left_on=max((work.hand_over.on for work in works if work.hand_over), default=None),
        safety=safety,
        says=says,
        limits=() if safety is Safety.DO_NOT_RIDE else _limits(vehicle),
        back=_back(workshop, works),
        no_day=_no_day(view, vehicle, works),
        marks=tuple(_marks(vehicle)),
        places=tuple(_places(vehicle)),
        away=vehicle.presence.with_owner,
        instrument=vehicle.instrument,
    )


def _safety(vehicle: VehicleView, due: Due, works: "Iterable[JobView]") -> tuple[Safety, str]:
    """What the owner does now, and the sentence that says why: what stands against a ride comes before what is due."""
    riding = riding_of(vehicle, due)
    if riding is not Riding.NO_STOP:
        return Safety.DO_NOT_RIDE, _NOT_RIDDEN[riding]
    if vehicle.presence.gone:
        return Safety.NOT_KNOWN, _NEVER_DONE if _not_done_here(works) else _NOT_OURS
    if due.estimate:
        return Safety.COME_BACK, _ESTIMATED.format(run=due.estimate, called=vehicle.instrument.called)
    says = _NOT_HERE.get(due.state, _COME_BACK) if due.state else _COME_BACK
    if due.urgency in says:
        return Safety.COME_BACK, says[due.urgency]
    return Safety.RIDE, _RIDE


def _not_done_here(works: "Iterable[JobView]") -> RecheckView | None:
    """The re-check that was not done and that nobody waits for here; of several one whose day is past, or the first."""
    found = [each.recheck for each in works if each.recheck and each.recheck.standing.state in NOT_DONE_HERE]
    return min(
        found,
        key=lambda each: (not each.standing.past, not each.standing.reached, each.due_on or date.max),
        default=None,
    )


def _back(workshop: "Workshop", works: "Iterable[JobView]") -> ExpectedBack | None:
    """What the owner is waited for with: of several re-checks the first day, and the shortest distance."""
    waiting = [(work, work.recheck) for work in works if work.recheck and work.recheck.standing.state in WAITING]
    if not waiting:
        return None
    work, first = min(waiting, key=lambda each: each[1].due_on or date.max)
    record = workshop.record(work.number)
    left = record.first_ride
    return ExpectedBack(
        job=work.number,
        token=work.token,
        leaving=left.noted.entry if left else 0,
        target=rests_on(record),
        sequence=sequence_of(record),
        due_on=first.due_on,
        due_distance_m=_first(recheck.due_distance_m for _, recheck in waiting),
        due_min=_first(recheck.due_min for _, recheck in waiting),
        instrument=first.instrument,
        last_day=last_day(first.due_on, workshop.today()),
        asked=first.asked,
        state=max((recheck.standing.state for _, recheck in waiting), key=_URGENCY.index),
        far=any(recheck.standing.far and not recheck.standing.estimated for _, recheck in waiting),
    )


def _first(due: "Iterable[int | None]") -> int | None:
    return min((each for each in due if each is not None), default=None)


def _no_day(view: "JobView", vehicle: VehicleView, works: "Iterable[JobView]") -> NoDay:
    if vehicle.presence.here:
        return _WITH_US
    if elsewhere := _not_done_here(works):
        why = _NO_DAY[elsewhere.standing.state]
        return why._replace(
            due_on=elsewhere.due_on,
            due_distance_m=elsewhere.due_distance_m,
            due_min=elsewhere.due_min,
            instrument=elsewhere.instrument,
        )
    if view.withdrawn:
        return _WITHDRAWN
    return _NO_DAY.get(view.recheck.standing.state, _NONE_ASKED) if view.recheck else _NONE_ASKED


def _limits(vehicle: VehicleView) -> tuple[str, ...]:
    return tuple(dict.fromkeys(each.limit for work in vehicle.works for each in work.findings if each.limit))


def _marks(vehicle: VehicleView) -> Iterable[str]:
    """The names of what carries a painted line; of the bolts of a group how many do: "5 × rear sprocket bolt"."""
    painted = (MarkState.INTACT, MarkState.DISTURBED, MarkState.UNREADABLE)
    standing = [each.fastener for each in vehicle.fasteners if not each.fastener.undone]
    many = Counter(each.subject.name for each in standing if each.mark.state in painted)
    return (f"{count} × {name}" if count > 1 else name for name, count in many.items())


def _places(vehicle: VehicleView) -> Iterable[Place]:
    """The fasteners that somebody may have undone, each group once."""
    subjects = (each.fastener.subject for each in vehicle.fasteners)
    return (Place(key, name) for key, name in {each.key: each.name for each in subjects}.items())
