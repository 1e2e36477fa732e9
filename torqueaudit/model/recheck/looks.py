"""What the look after the first ride still has to look at."""

from collections.abc import Iterator
from typing import NamedTuple

from torqueaudit.model.job.facts import MarkSeen, MarkState
from torqueaudit.model.job.noted import Noted
from torqueaudit.model.job.record import JobRecord
from torqueaudit.model.job.road import RecheckAnswered
from torqueaudit.model.procedure.procedure import Fastener, Procedure
from torqueaudit.model.register.permits import OWNER

UNSEEN = (MarkState.NOT_SEEN, MarkState.NOT_MARKED)


class Look(NamedTuple):
    """One thing to look at: "mark", "torque" or "measurement", of which fastener or measurement, and in words."""

    kind: str
    key: str
    position: str  # of a fastener, "" of a measurement
    says: str


def looks_left(procedure: Procedure, of: JobRecord) -> list[Look]:
    """Each look that the re-check plan asks for and nobody has made since the vehicle left.

    Nor since another workshop found a fault: then all of it is looked at anew.
    """
    left, fault = of.first_ride, fault_elsewhere(of)
    if left is None:
        return []
    since = (left.noted, *([fault.noted] if fault and fault.of == left.noted.entry else []))
    return looks_since(procedure, of, max(since, key=lambda noted: noted.order))


def fault_elsewhere(of: JobRecord) -> RecheckAnswered | None:
    """The fault that another workshop found last; None where it found none, or everything in order since."""
    answer = of.last_of(RecheckAnswered)
    return None if answer is None or answer.in_order else answer


def looks_since(procedure: Procedure, of: JobRecord, since: Noted) -> list[Look]:
    """Each look that the re-check plan asks for and nobody has made since a moment."""
    plan = procedure.recheck
    if plan is None:
        return []
    missing: list[Look] = []
    for fastener in procedure.fasteners():
        missing += _marks_left(fastener, of, since) if fastener.key in plan.marks else ()
        missing += _torques_left(fastener, of, since) if fastener.key in plan.torques else ()
    for measurement in procedure.measurements():
        taken = of.measured(measurement.key)
        if measurement.key in plan.measurements and (taken is None or taken.noted.order < since.order):
            missing.append(Look("measurement", measurement.key, "", measurement.name))
    return missing


def _marks_left(fastener: Fastener, of: JobRecord, since: Noted) -> Iterator[Look]:
    for position in fastener.positions:
        mark = _seen_here(of, position)
        if mark is None or mark.state in UNSEEN or mark.noted.order < since.order:
            yield Look("mark", fastener.key, position, f"mark on the {fastener.name_of(position)}")


def _seen_here(of: JobRecord, position: str) -> MarkSeen | None:
    """What was last seen of a mark: that it is whole counts where somebody who works here has seen it."""
    now = of.current(position)
    if now.mark is None or now.mark.noted.by != OWNER or now.disturbed:
        return now.mark
    marks = (fact for fact in of.by_position[position] if isinstance(fact, MarkSeen) and fact.of == now.standing)
    own = [mark for mark in marks if mark.noted.by != OWNER]
    return own[-1] if own else None


def _torques_left(fastener: Fastener, of: JobRecord, since: Noted) -> Iterator[Look]:
    for position in fastener.positions:
        if not any(event.noted.order > since.order for event in of.events(position)):
            yield Look("torque", fastener.key, position, f"torque of the {fastener.name_of(position)}")
