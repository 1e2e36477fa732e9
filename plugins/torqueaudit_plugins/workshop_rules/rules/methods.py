"""Was a fastener that is specified by more than a torque tightened as specified: angle, stages, castle nut, drag?

caliper bolt: turned 80° after the torque; 85 … 95° is specified. Loosen it and tighten again from the start.
"""

from collections.abc import Iterator
from decimal import Decimal

from torqueaudit.plugin import (
    CASTLE_NUT,
    TORQUE_AND_ANGLE,
    Around,
    Fastener,
    Finding,
    Job,
    Outcome,
    Slot,
    Specification,
    Tightening,
    Weight,
    asked_text,
    digits_apart,
    drag_caution,
    limits_text,
    subject_at,
    torque_text,
)


def too_much(fastener: Fastener, done: Tightening) -> str:
    """What of one pass lies above what is specified, and that limit: "121 N·m was applied; 118.8 N·m"; else ""."""
    specification, window = fastener.specification, fastener.specification.angle_window
    if done.held_nm is not None and done.upper_nm is not None and done.held_nm > done.upper_nm:
        return _apart(done.held_nm, reached_it(done), done.upper_nm)
    if done.angle_deg is not None and window and done.angle_deg > window[1]:
        return f"it was turned {done.angle_deg:f}° after the torque; {window[1]:f}°"
    at_slot = done.at_slot
    if at_slot and done.upper_nm is not None and not at_slot.below and at_slot.nm > done.upper_nm:
        return _apart(at_slot.nm, "was reached at the slot", done.upper_nm)
    most = specification.final_upper_nm
    if done.final_nm is not None and most is not None and done.final_nm > most:
        return _apart(done.final_nm, "was reached at the end of the angle", most)
    return ""


def reached_it(done: Tightening) -> str:
    """How the torque that its limits hold for is told: "was applied"; of a drag taken off, with what was applied."""
    if done.seat is None or done.applied_nm is None or done.drag_nm is None:
        return "was applied"
    return f"reached the seat ({torque_text(done.applied_nm)} with a drag of {torque_text(done.drag_nm)})"


def _apart(nm: Decimal, what: str, limit: Decimal) -> str:
    further = digits_apart(nm, limit)
    return f"{torque_text(nm, further=further)} {what}; {torque_text(limit, further=further)}"


def review_method(fastener: Fastener, done: Tightening) -> Iterator[Finding]:
    """What is missing or short of a last pass, beyond its torque."""
    about = subject_at(fastener, done.position)
    said = []
    if fastener.specification.method == TORQUE_AND_ANGLE:
        said += [*_angle(fastener, done), *_end(fastener.specification, done)]
    if fastener.locking == CASTLE_NUT:
        said += [*_slot(done)]
    if fastener.specification.drag_excluded and done.drag_nm is None:
        says = (
            f"the source's {fastener.specification.written} excludes the drag of the self-locking nut, and none was "
            "told. Loosen it, measure the drag while it runs down, and tighten to both together."
        )
        said.append(("workshop_rules/drag-not-told", Weight.STOP, says))
    if caution := drag_caution(fastener.specification, done.drag_nm):
        said.append(("workshop_rules/drag-large", Weight.CAUTION, caution))
    said += [*_locks(fastener.specification, done)]
    yield from (
        Finding(rule=rule, weight=weight, about=about, words=says, entry=done.noted.entry)
        for rule, weight, says in said
    )


def _locks(specification: Specification, done: Tightening) -> Iterator[tuple[str, Weight, str]]:
    """Source: FAA AC 43.13-1B, 7-64 and table 7-2; ISO 2320 (from memory): a nut that drags by less holds no more."""
    least = specification.drag_min_nm
    if least is None:
        return
    asked = f"at least {torque_text(least)} is asked of a nut that is used again"
    if done.drag is None and not specification.drag_excluded:
        says = f"its drag was not told, and {asked}. Measure it before it seats, or fit a new nut."
        yield "workshop_rules/drag-not-measured", Weight.CAUTION, says
    elif done.drag and done.drag.least_nm < least:
        drags = torque_text(done.drag.least_nm, further=digits_apart(done.drag.least_nm, least))
        says = f"it drags by {drags} only; {asked}. The nut no longer locks: fit a new one."
        yield "workshop_rules/drag-below-minimum", Weight.STOP, says


def _angle(fastener: Fastener, done: Tightening) -> Iterator[tuple[str, Weight, str]]:
    specification, turned, window = fastener.specification, done.angle_deg, fastener.specification.angle_window
    if turned is None:
        says = (
            f"{asked_text(fastener)} is specified, and no angle was told; its torque alone says nothing. Loosen it, "
            "tighten again and turn the angle."
        )
        yield "workshop_rules/angle-not-told", Weight.STOP, says
    elif window is None:
        says = f"turned {turned:f}° after the torque, {specification.angle:f}° is specified; not judged: the source"
        yield "workshop_rules/angle-not-judged", Weight.NOTE, f"{says} prints no tolerance."
    elif turned < window[0]:
        says = f"turned {turned:f}° after the torque; {window[0]:f} … {window[1]:f}° is specified. Loosen it and"
        yield "workshop_rules/angle-outside", Weight.STOP, f"{says} tighten again from the start."


def _end(specification: Specification, done: Tightening) -> Iterator[tuple[str, Weight, str]]:
    """The torque at the end of the angle, where the source prints what it may be."""
    lower, upper = specification.final_lower_nm, specification.final_upper_nm
    if not specification.final_written or done.angle_deg is None:
        return
    if done.final_nm is None:
        says = f"{limits_text(lower, upper)} is specified at the end of the angle, and no torque was told. Loosen it"
        yield (
            "workshop_rules/final-torque-not-told",
            Weight.STOP,
            f"{says}, tighten again and read the wrench at the end.",
        )
    elif lower is not None and done.final_nm < lower:
        further = digits_apart(done.final_nm, lower)
        limits = limits_text(lower, upper, further=further)
        says = f"{torque_text(done.final_nm, further=further)} at the end of the angle; {limits} is specified. Loosen"
        yield (
            "workshop_rules/final-torque-outside",
            Weight.STOP,
            f"{says} it, look at bolt and thread, and tighten again.",
        )


def _slot(done: Tightening) -> Iterator[tuple[str, Weight, str]]:
    if done.slot is None:
        says = "a castle nut, and its slot was not told. Look whether the pin goes through; never back off to it."
        yield "workshop_rules/slot-not-told", Weight.STOP, says
    elif done.slot is Slot.TURNED_ON:
        yield from _at_slot(done)
    elif done.slot is Slot.NONE:
        says = "no slot came to the hole within the maximum. Never back off: change the washer or the nut, and tighten"
        yield "workshop_rules/no-slot-within-maximum", Weight.STOP, f"{says} again."


def _at_slot(done: Tightening) -> Iterator[tuple[str, Weight, str]]:
    """Source: FAA AC 43.13-1B, 7-40: from the minimum on to the next slot, never beyond the maximum (from memory)."""
    at_slot, most = done.at_slot, done.upper_nm
    if most is None or (at_slot and not (at_slot.below and at_slot.nm > most)):
        return
    says, further = "turned on to the next slot, and the torque there was not told", 0
    if at_slot:
        further = digits_apart(at_slot.nm, most)
        reached = torque_text(at_slot.nm, further=further)
        set_to = "" if at_slot.shown_nm == at_slot.nm else f" ({at_slot.shown} on the wrench)"
        says = f"turned on, the wrench did not click at {reached}{set_to}, above the maximum"
    says += f", so nothing shows that it stayed within {torque_text(most, further=further)}. Loosen it, tighten it from"
    says += " the minimum and read the torque at the slot, or set the wrench to the maximum, where it must not click."
    yield "workshop_rules/slot-torque-not-known", Weight.CAUTION, says


def review_stages(job: Job, around: Around, fastener: Fastener, position: str) -> Iterator[Finding]:
    """A printed stage done at another torque: no limit is printed for it, so the workshop's own tolerance tells."""
    if not fastener.stage_torques:
        return
    share = around.settings.own_tolerance_percent / 100
    for done in job.record.passes(position):
        aim = fastener.stage_nm(done.stage)
        if done.final or aim is None or not _off(done, aim, share):
            continue
        about = subject_at(fastener, position)
        says = (
            f"stage {done.stage} was done at {torque_text(done.held_nm or Decimal(0))}; "
            f"{fastener.stages[done.stage - 1]} is specified. Go through the stages again if the source insists."
        )
        yield Finding(
            rule="workshop_rules/stage-torque-off",
            weight=Weight.CAUTION,
            about=about,
            words=says,
            entry=done.noted.entry,
        )


def _off(done: Tightening, aim: Decimal, share: Decimal) -> bool:
    read = done.outcome in (Outcome.TURNED_CLICKED, Outcome.VALUE_SHOWN)
    return read and done.held_nm is not None and abs(done.held_nm - aim) > aim * share
