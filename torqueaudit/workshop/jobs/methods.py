"""What a mechanic tells beyond a torque (angle, torque at its end, slot, drag), and what becomes of the verdict."""

from collections.abc import Iterator
from decimal import Decimal
from typing import TYPE_CHECKING, Any, NamedTuple

from torqueaudit.model.act import Refused
from torqueaudit.model.job.facts import Outcome, Slot
from torqueaudit.model.procedure.procedure import CASTLE_NUT, HAND, Fastener
from torqueaudit.model.torque.specification import TORQUE_AND_ANGLE, Specification
from torqueaudit.model.torque.verdict import (
    NOT_JUDGED,
    Verdict,
    rule_text,
    verdict_of,
    word_as_read,
    worst_of,
)
from torqueaudit.model.torque.words import torque_text
from torqueaudit.model.wrench.classes import SETTING
from torqueaudit.model.wrench.uncertainty import Applied, slot_word
from torqueaudit.model.wrench.wrench import Wrench

if TYPE_CHECKING:
    from torqueaudit.model.job.acts import Tighten


class After(NamedTuple):
    """What was reached after the torque: at the end of an angle, and at the slot of a castle nut.

    `below`: the wrench was set to the torque at the slot and did not click.
    """

    at_end: Applied | None = None
    slot: Slot | None = None
    at_slot: Applied | None = None
    below: bool = False


class Torques(NamedTuple):
    """What is judged of one pass: the torque held against the limits, degrees turned after it, what was reached then.

    Of a self-locking nut whose drag the source excludes, `held` is the torque at its seat.
    """

    held: Applied
    angle_deg: Decimal | None
    after: After


def require_asked(act: "Tighten", fastener: Fastener, *, final: bool) -> None:
    """Raise Refused for anything told that this fastener, or this stage of it, is not specified by."""
    specification, name = fastener.specification, fastener.name
    angled = specification.method == TORQUE_AND_ANGLE
    for word, told in (("angle", act.angle), ("torque at the end of an angle", act.final_shown)):
        if told and not angled:
            raise Refused(f"{name}: {specification.written} is specified, without an angle; leave the {word} out")
    if act.slot and fastener.locking != CASTLE_NUT:
        raise Refused(f"{name}: is no castle nut; leave the slot out")
    if act.slot_shown and act.slot is not Slot.TURNED_ON:
        says = f"a torque at the slot belongs to a nut that was {Slot.TURNED_ON}; say so, or leave it out"
        raise Refused(f"{name}: {says}")
    if act.drag and not specification.drag_excluded and specification.drag_min_nm is None:
        says = f"{specification.written} is what to set, as the source prints it; no drag is added, leave it out"
        raise Refused(f"{name}: {says}")
    _require_by_hand(act, fastener)
    if not final and (act.angle or act.final_shown or act.slot):
        raise Refused(f"{name}: angle and slot belong to the last stage; say them there")


def _require_by_hand(act: "Tighten", fastener: Fastener) -> None:
    """Refuse what is told as turned by hand of anything but a stage that is done so, and a wrench told with it."""
    if Outcome.BY_HAND not in (act.outcome, *act.differing.values()):
        return
    if HAND not in fastener.stages[act.stage - 1 : act.stage]:
        stages = f"stage {fastener.stages.index(HAND) + 1} alone is" if HAND in fastener.stages else "no stage of it is"
        raise Refused(f"{fastener.name}: {stages} turned by hand; tell the wrench and what it was set to or showed")
    if act.wrench or act.shown:
        raise Refused(f"{fastener.name}: a wrench was told, and that it was turned by hand; leave one of them out")


def require_shown_at_end(act: "Tighten", fastener: Fastener, wrench: Wrench) -> None:
    """Raise Refused for a torque at the end of an angle that the wrench cannot have shown."""
    if act.final_shown and wrench.kind == SETTING:
        says = f"wrench {wrench.number} clicks and shows no torque at the end of an angle, so none can be read on it"
        raise Refused(
            f"{fastener.name}: {says}; leave it out, or do torque and angle with a wrench that shows values, and tell "
            "that one"
        )


def require_on(fastener: Fastener, wrench: Wrench, shown_nm: Decimal, slot_nm: Decimal) -> None:
    """Raise Refused for a torque at the slot that the wrench would have clicked at before the nut was turned on."""
    if wrench.kind == SETTING and slot_nm <= shown_nm:
        says = (
            f"wrench {wrench.number} clicked at {torque_text(shown_nm)} already, so that it did not click at "
            f"{torque_text(slot_nm)} shows nothing; say the setting, above that, at which it did not click at the slot"
        )
        raise Refused(f"{fastener.name}: {says}")


def limits_of(specification: Specification, *, dragged: bool) -> dict[str, str]:
    """The limits of the specification, as the entry holds them: of the torque at the seat where drag is excluded.

    Empty where the drag of such a nut was not told: then nothing is known to hold.
    """
    if specification.drag_excluded and not dragged:
        return {}
    limits = {"lower_nm": specification.lower_nm, "upper_nm": specification.upper_nm}
    return {name: str(limit) for name, limit in limits.items() if limit is not None}


def stored_after(name: str, reached: Applied) -> dict[str, str]:
    """What was reached after the torque, as the entry holds it under the name: "final" or "slot"."""
    if reached.expanded_nm is None:
        return {f"{name}_nm": str(reached.nm), f"{name}_not_proved": reached.why_not}
    return {f"{name}_nm": str(reached.nm), f"{name}_expanded_nm": str(reached.expanded_nm)}


def require_above_drag(fastener: Fastener, applied_nm: Decimal, drag_nm: Decimal | None) -> None:
    """Raise Refused where the drag alone is as much as was applied."""
    if drag_nm is not None and drag_nm >= applied_nm:
        says = f"a drag of {torque_text(drag_nm)} leaves nothing of the {torque_text(applied_nm)} applied"
        raise Refused(f"{fastener.name}: {says}; look at both")


def judged_as_specified(
    specification: Specification, torques: Torques, guard_factor: Decimal, *, dragged: bool
) -> dict[str, Any]:
    """The verdict over everything that is specified, with its rule: the worst of all that was reached.

    Neither an angle nor a castle nut that was turned on is judged by the torque before it alone, nor one of which a
    drag is wanted and was not told.
    """
    if specification.drag_excluded and not dragged:
        return {"verdict": NOT_JUDGED}
    torque = _verdict(torques.held, specification.lower_nm, specification.upper_nm, guard_factor)
    words = {torque.word, *_rest(specification, torques, guard_factor)}
    if specification.method == TORQUE_AND_ANGLE and torques.angle_deg is None:
        words = {NOT_JUDGED}
    if specification.method == TORQUE_AND_ANGLE or torques.after.slot is Slot.TURNED_ON:
        return {"verdict": worst_of(words), "decision_rule": rule_text(guard_factor)}
    judged = {"verdict": torque.word, "decision_rule": torque.rule}
    return judged if torque.probability is None else {**judged, "probability": str(torque.probability)}


def _rest(specification: Specification, torques: Torques, guard_factor: Decimal) -> Iterator[str]:
    after = torques.after
    if specification.method == TORQUE_AND_ANGLE:
        yield from _after_threshold(specification, torques.angle_deg, after.at_end, guard_factor)
    if after.slot is Slot.TURNED_ON:
        yield slot_word(after.at_slot, specification.upper_nm, guard_factor, below=after.below)


def _after_threshold(
    specification: Specification, angle_deg: Decimal | None, at_end: Applied | None, guard_factor: Decimal
) -> Iterator[str]:
    window = specification.angle_window
    yield NOT_JUDGED if window is None or angle_deg is None else word_as_read(angle_deg, *window, guard_factor)
    if specification.final_written:
        lower, upper = specification.final_lower_nm, specification.final_upper_nm
        yield _verdict(at_end, lower, upper, guard_factor).word if at_end else NOT_JUDGED


def _verdict(applied: Applied, lower: Decimal | None, upper: Decimal | None, guard_factor: Decimal) -> Verdict:
    return verdict_of(applied.exact, applied.expanded_nm, lower, upper, guard_factor)
