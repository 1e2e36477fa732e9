"""What the look after the first ride still has to look at."""

from collections.abc import Iterator
from typing import NamedTuple

from torqueaudit.model.job.facts import HandOver, MarkState
from torqueaudit.model.job.record import JobRecord
from torqueaudit.model.procedure.procedure import Fastener, Procedure

UNSEEN = (MarkState.NOT_SEEN, MarkState.NOT_MARKED)


class Look(NamedTuple):
    """One thing to look at: "mark", "torque" or "measurement", of which fastener or measurement, and in words."""

    kind: str
    key: str
    position: str  # of a fastener, "" of a measurement
    says: str


def looks_left(procedure: Procedure, of: JobRecord) -> list[Look]:
    """Each look that the re-check plan asks for and nobody has made since the vehicle left."""
    plan, left = procedure.recheck, of.first_ride
    if plan is None or left is None:
        return []
    missing: list[Look] = []
    for fastener in procedure.fasteners():
        missing += _marks_left(fastener, of, left) if fastener.key in plan.marks else ()
        missing += _torques_left(fastener, of, left) if fastener.key in plan.torques else ()
    for measurement in procedure.measurements():
        taken = of.measured(measurement.key)
        if measurement.key in plan.measurements and (taken is None or taken.noted.order < left.noted.order):
            missing.append(Look("measurement", measurement.key, "", measurement.name))
    return missing


def _marks_left(fastener: Fastener, of: JobRecord, left: HandOver) -> Iterator[Look]:
    for position in fastener.positions:
        mark = of.current(position).mark
        if mark is None or mark.state in UNSEEN or mark.noted.order < left.noted.order:
            yield Look("mark", fastener.key, position, f"mark on the {fastener.name_of(position)}")


def _torques_left(fastener: Fastener, of: JobRecord, left: HandOver) -> Iterator[Look]:
    for position in fastener.positions:
        if not any(event.noted.order > left.noted.order for event in of.events(position)):
            yield Look("torque", fastener.key, position, f"torque of the {fastener.name_of(position)}")
