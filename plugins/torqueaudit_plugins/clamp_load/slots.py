"""How far may turning a castle nut on to its next slot have raised its torque, where nobody read it there?

castle nut: turned on to the next slot by up to 60° (30° where the bolt has two holes crossed), which adds about 68 N·m
(34 N·m) by an estimate from its thread and clamped length, never measured; friction alone makes ±30 %. With the 62 N·m
before it that is about 130 N·m; 80 N·m is the most that is specified.
"""

from collections.abc import Iterator

from torqueaudit.plugin import (
    CASTLE_NUT,
    Around,
    Fastener,
    Finding,
    Job,
    Procedure,
    Slot,
    Tightening,
    Weight,
    subject_at,
    torque_text,
)
from torqueaudit_plugins.clamp_load.calc.clamp import SCATTER, percent
from torqueaudit_plugins.clamp_load.calc.turning import added_nm
from torqueaudit_plugins.clamp_load.table.joints import gives_of, joint_of

RULE = "clamp_load/slot-estimate"
ONE_HOLE, CROSSED = 60, 30  # the most a nut of six slots is turned on: one hole through the bolt, or two crossed


def review_slots(job: Job, around: Around) -> Iterator[Finding]:
    """Each castle nut that stands turned on to a slot without the torque there, and of whose joint enough is stated."""
    for fastener in job.procedure.fasteners():
        for position in fastener.positions if fastener.locking == CASTLE_NUT else ():
            done = job.record.current(position).tightening
            if done and done.slot is Slot.TURNED_ON and done.at_slot is None:
                yield from _estimate(job.procedure, fastener, around.as_known(done))


def _estimate(procedure: Procedure, fastener: Fastener, done: Tightening) -> Iterator[Finding]:
    most, before = done.upper_nm, done.applied_nm
    added = _added(procedure, fastener)
    if most is None or before is None or added is None:
        return
    one_hole, crossed = added
    reached = float(before) + one_hole
    says = (
        f"turned on to the next slot by up to {ONE_HOLE}° ({CROSSED}° where the bolt has two holes crossed), which "
        f"adds about {one_hole:.0f} N·m ({crossed:.0f} N·m) by an estimate from its thread and clamped length, never "
        f"measured; friction alone makes ±{percent(SCATTER)}. With the {torque_text(before)} before it that is about "
        f"{reached:.0f} N·m; {torque_text(most)} is the most that is specified."
    )
    yield Finding(
        rule=RULE,
        weight=Weight.CAUTION if reached > most else Weight.NOTE,
        about=subject_at(fastener, done.position),
        words=says,
        entry=done.noted.entry,
    )


def _added(procedure: Procedure, fastener: Fastener) -> tuple[float, float] | None:
    """What the most that it may have been turned on adds, by one hole and by two; None where nothing tells."""
    try:
        gives = gives_of(procedure, fastener)
        joint = joint_of(procedure, fastener)
    except ValueError:  # entered without this plugin, which would have said so
        return None
    return None if gives is None else (added_nm(joint, gives, ONE_HOLE), added_nm(joint, gives, CROSSED))
