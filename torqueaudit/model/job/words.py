"""How values are said to people, the same at every door."""

from decimal import Decimal

from torqueaudit.model.job.facts import AtSlot, Input, Measured, Slot, StepDone, Tightening
from torqueaudit.model.procedure.procedure import HAND, Fastener, Step
from torqueaudit.model.torque.decimals import told_beside
from torqueaudit.model.torque.specification import Specification
from torqueaudit.model.torque.units import format_number
from torqueaudit.model.torque.words import applied_text, digits_apart, specified_text, torque_text

DERIVED_DIGITS = 5
WITH_ADAPTER = "with an adapter"


def asked_text(fastener: Fastener) -> str:
    """All that is specified of a fastener: "30 N·m, then 60 N·m (57 … 63)", "60 … 80 N·m, castle nut"."""
    printed = "".join(f"{stage}, then " for stage in fastener.stages if not stage.endswith("%") and stage != HAND)
    locking = f", {fastener.locking}" if fastener.locking else ""
    adapter = f", {WITH_ADAPTER}" if fastener.adapter else ""
    return f"{printed}{specified_text(fastener.specification)}{locking}{adapter}"


def beyond_text(done: Tightening, specification: Specification) -> str:
    """What follows the torque that was applied: " + 92°, then 74 N·m", ", slot aligned", ", drag 8 N·m".

    Of a castle nut that was turned on what was reached there: ", then 47.0 N·m ± 2.1 N·m at the slot". A drag that was
    taken off is left out: it is said with the torque at the seat. A torque at the end of an angle has the digits that
    tell it from the limits that are specified there.
    """
    said = f" + {done.angle_deg:f}°" if done.angle_deg is not None else ""
    if done.final_nm is not None:
        further = digits_apart(done.final_nm, specification.final_lower_nm, specification.final_upper_nm)
        said += f", then {torque_text(done.final_nm, further=further)}"
    if done.at_slot:
        said += f", then {at_slot_text(done.at_slot, done.upper_nm)}"
    else:
        said += f", slot {done.slot}" if done.slot is Slot.ALIGNED else f", {done.slot}" if done.slot else ""
    return said + (f", drag {torque_text(done.drag.nm)}" if done.drag and not done.seat else "")


def most_shown_text(done: Tightening) -> str:
    """The most that the wrench of a pass was set to or showed: "66 lbf·ft", "61 N·m at the end of the angle"."""
    most = done.most_shown_nm
    if most is None or most == done.shown_nm:
        return done.shown
    return f"{done.at_slot.shown} at the slot" if done.at_slot else f"{done.final_shown} at the end of the angle"


def at_slot_text(at_slot: AtSlot, upper_nm: Decimal | None) -> str:
    """What was reached at the slot: "47.0 N·m ± 2.1 N·m at the slot", "not above 60.0 N·m ± 2.8 N·m at the slot"."""
    below = "not above " if at_slot.below else ""
    return f"{below}{applied_text(at_slot.nm, at_slot.expanded_nm, upper_nm)} at the slot"


def measured_text(taken: Measured, *limits: Decimal | None) -> str:
    """A measured value with its uncertainty and what it rests on: "25 mm", "0.44 % ± 0.1 % (pins 19, length 287 mm)".

    A derived value is said to five significant digits, and to more beside a limit that it would read as equal to.
    """
    value = told_beside(taken.value, DERIVED_DIGITS, *limits) if taken.inputs else f"{taken.value:f}"
    spread = f" ± {format_number(taken.expanded, 2)} {taken.unit}" if taken.expanded else ""
    told = f" ({', '.join(map(input_text, taken.inputs))})" if taken.inputs else ""
    return f"{value} {taken.unit}{spread}{told}"


def input_text(told: Input) -> str:
    """One reading as it was told: "pins 19", "length 287.6 mm at link 40"."""
    return f"{told.name} {told.value:f}{' ' * bool(told.unit)}{told.unit}{f' at {told.place}' if told.place else ''}"


def conditions_text(taken: Measured) -> str:
    """The conditions a value was taken under: "posture: side stand, tyres: cold (as the procedure says)"."""
    assumed = " (as the procedure says)"
    return ", ".join(f"{name}: {value}{assumed if name in taken.not_told else ''}" for name, value in taken.conditions)


def fault_text(step: Step, done: StepDone) -> str:
    """A fault that a look found, and what it means: "fault found (teeth hooked). Fit all three new"."""
    remark = f" ({done.remark})" if done.remark else ""
    return f"fault found{remark}.{f' {step.means}' if step.means else ''}"
