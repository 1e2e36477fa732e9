"""What a mechanic tells beyond a torque (angle, torque at its end, slot, drag), and what becomes of the verdict."""

from collections.abc import Iterator
from decimal import Decimal
from typing import TYPE_CHECKING, Any, NamedTuple

from torqueaudit.model.act import Refused
from torqueaudit.model.procedure.procedure import CASTLE_NUT, Fastener
from torqueaudit.model.torque.decimals import decimal_text
from torqueaudit.model.torque.specification import TORQUE_AND_ANGLE, Specification, within
from torqueaudit.model.torque.verdict import (
    IN,
    IN_NOT_PROVED,
    NOT_JUDGED,
    OUT,
    OUT_NOT_PROVED,
    Verdict,
    rule_text,
    verdict_of,
)
from torqueaudit.model.torque.words import torque_text
from torqueaudit.model.wrench.uncertainty import Applied
from torqueaudit.model.wrench.wrench import SETTING, Wrench

if TYPE_CHECKING:
    from torqueaudit.model.job.acts import Tighten

_WORST_FIRST = (OUT, NOT_JUDGED, OUT_NOT_PROVED, IN_NOT_PROVED, IN)


class Beyond(NamedTuple):
    """What was told beyond the torque: degrees turned after it, and the drag of a self-locking nut in N·m."""

    angle_deg: Decimal | None = None
    drag_nm: Decimal | None = None

    @property
    def stored(self) -> dict[str, str]:
        """As the entry holds it."""
        numbers = {"angle_deg": self.angle_deg, "drag_nm": self.drag_nm}
        return {name: decimal_text(number) for name, number in numbers.items() if number is not None}


def require_asked(act: "Tighten", fastener: Fastener, *, final: bool) -> None:
    """Raise Refused for anything told that this fastener, or this stage of it, is not specified by."""
    specification, name = fastener.specification, fastener.name
    angled = specification.method == TORQUE_AND_ANGLE
    for word, told in (("angle", act.angle), ("torque at the end of an angle", act.final_shown)):
        if told and not angled:
            raise Refused(f"{name}: {specification.written} is specified, without an angle; leave the {word} out")
    if act.slot and fastener.locking != CASTLE_NUT:
        raise Refused(f"{name}: is no castle nut; leave the slot out")
    if act.drag and not specification.drag_excluded:
        says = f"{specification.written} is what to set, as the source prints it; no drag is added, leave it out"
        raise Refused(f"{name}: {says}")
    if not final and (act.angle or act.final_shown or act.slot):
        raise Refused(f"{name}: angle and slot belong to the last stage; say them there")


def require_shown_at_end(act: "Tighten", fastener: Fastener, wrench: Wrench) -> None:
    """Raise Refused for a torque at the end of an angle that the wrench cannot have shown."""
    if act.final_shown and wrench.kind == SETTING:
        says = f"wrench {wrench.number} clicks and shows no torque at the end of an angle, so none can be read on it"
        raise Refused(
            f"{fastener.name}: {says}; leave it out, or do torque and angle with a wrench that shows values, and tell "
            "that one"
        )


def limits_of(specification: Specification, drag_nm: Decimal | None) -> dict[str, Decimal]:
    """The limits that hold for what the wrench applies, with the drag on top where the source excludes it.

    Empty where that drag was not told: then nothing is known to hold.
    """
    if specification.drag_excluded and drag_nm is None:
        return {}
    limits = {"lower_nm": specification.lower_nm, "upper_nm": specification.upper_nm}
    return {name: limit + (drag_nm or 0) for name, limit in limits.items() if limit is not None}


def stored_at_end(at_end: Applied) -> dict[str, str]:
    """What was applied at the end of an angle, as the entry holds it."""
    if at_end.expanded_nm is None:
        return {"final_nm": str(at_end.nm), "final_not_proved": at_end.why_not}
    return {"final_nm": str(at_end.nm), "final_expanded_nm": str(at_end.expanded_nm)}


def require_above_drag(fastener: Fastener, applied_nm: Decimal, drag_nm: Decimal | None) -> None:
    """Raise Refused where the drag alone is as much as was applied."""
    if drag_nm is not None and drag_nm >= applied_nm:
        says = f"a drag of {torque_text(drag_nm)} leaves nothing of the {torque_text(applied_nm)} applied"
        raise Refused(f"{fastener.name}: {says}; look at both")


def judged_as_specified(
    specification: Specification, beyond: Beyond, applied: Applied, at_end: Applied | None, guard_factor: Decimal
) -> dict[str, Any]:
    """The verdict over everything that is specified, with its rule; an angle is never judged by its torque alone."""
    limits = limits_of(specification, beyond.drag_nm)
    if not limits:
        return {"verdict": NOT_JUDGED}
    torque = _verdict(applied, limits.get("lower_nm"), limits.get("upper_nm"), guard_factor)
    if specification.method == TORQUE_AND_ANGLE:
        rest = _after_threshold(specification, beyond.angle_deg, at_end, guard_factor)
        words = {torque.word, *rest} if beyond.angle_deg is not None else {NOT_JUDGED}
        word = next(word for word in _WORST_FIRST if word in words)
        return {"verdict": word, "decision_rule": rule_text(guard_factor)}
    judged = {"verdict": torque.word, "decision_rule": torque.rule}
    return judged if torque.probability is None else {**judged, "probability": str(torque.probability)}


def _after_threshold(
    specification: Specification, angle_deg: Decimal | None, at_end: Applied | None, guard_factor: Decimal
) -> Iterator[str]:
    window = specification.angle_window
    yield NOT_JUDGED if window is None or angle_deg is None else IN if within(angle_deg, *window) else OUT
    if specification.final_written:
        lower, upper = specification.final_lower_nm, specification.final_upper_nm
        yield _verdict(at_end, lower, upper, guard_factor).word if at_end else NOT_JUDGED


def _verdict(applied: Applied, lower: Decimal | None, upper: Decimal | None, guard_factor: Decimal) -> Verdict:
    return verdict_of(applied.exact, applied.expanded_nm, lower, upper, guard_factor)
