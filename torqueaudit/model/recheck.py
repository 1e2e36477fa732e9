"""What the look after the first ride still has to look at."""

from torqueaudit.model.facts import MarkState
from torqueaudit.model.job import JobRecord
from torqueaudit.model.procedure import Procedure

UNSEEN = (MarkState.NOT_SEEN, MarkState.NOT_MARKED)


def not_looked_at(procedure: Procedure, of: JobRecord) -> list[str]:
    """What the re-check plan asks for and nobody has looked at since the vehicle left, in words."""
    plan, left = procedure.recheck, of.hand_over
    if plan is None or left is None:
        return []
    missing = []
    for fastener in procedure.fasteners():
        for position in fastener.positions if fastener.key in plan.marks else ():
            mark = of.current(position).mark
            if mark is None or mark.state in UNSEEN or mark.noted.order < left.noted.order:
                missing.append(f"mark on the {fastener.name_of(position)}")
        for position in fastener.positions if fastener.key in plan.torques else ():
            if not any(event.noted.order > left.noted.order for event in of.events(position)):
                missing += [f"torque of the {fastener.name_of(position)}"]
    for measurement in procedure.measurements():
        taken = of.measured(measurement.key)
        if measurement.key in plan.measurements and (taken is None or taken.noted.order < left.noted.order):
            missing.append(measurement.name)
    return missing
