"""What did a wrench do before a look found it outside its permissible deviation?

rear axle nut: wrench W-1 was found out at its calibration on 2031-04-20 (+12 % at this setting), so 96.4 N·m ± 1.1 N·m
reached it; 97.2 … 118.8 N·m is specified. Loosen it and tighten again with another wrench.
"""

from collections.abc import Iterator
from decimal import Decimal

from torqueaudit.plugin import (
    IN,
    NOT_JUDGED,
    TORQUE_AND_ANGLE,
    Around,
    Doubt,
    Finding,
    Weight,
    applied_text,
    digits_apart,
    limits_text,
    percent_text,
)
from torqueaudit_plugins.workshop_rules.rules.use import Use


def found_out(around: Around, use: Use, doubt: Doubt | None) -> Iterator[Finding]:
    """A look after the pass found the wrench outside its permissible deviation: what it did is judged again.

    Of a torque and angle this is the threshold torque, and the one at the end of the angle where that is specified.
    """
    if doubt is None:
        return
    if doubt.applied is None or doubt.verdict == NOT_JUDGED:
        yield _beyond(around, use, doubt)
        return
    mean = "" if abs(doubt.deviation) > use.wrench.permissible else " in the mean"
    found = (
        f"wrench {use.wrench.number} was found out at its {doubt.look.what} on {doubt.look.on} "
        f"({percent_text(doubt.deviation)}{mean} at this setting), so {_reached_now(use, doubt)}"
    )
    limits = _limits_now(use, doubt)
    if doubt.verdict == IN:
        yield use.finding("workshop_rules/wrench-found-out", Weight.NOTE, f"{found}; that is still inside {limits}.")
    elif doubt.inside:
        says = f"{found}; that lies inside {limits}, but {use.done.rule} does not prove it. Where proof is wanted,"
        says += " loosen it and tighten again with another wrench."
        yield use.finding("workshop_rules/wrench-found-out", Weight.CAUTION, says)
    else:
        says = f"{found}; {limits} is specified. {_undo(around)} it and tighten again with another wrench."
        yield use.finding("workshop_rules/wrench-found-out", Weight.STOP, says)


def _undo(around: Around) -> str:
    return "Loosen" if around.presence.here else "Call the vehicle back, loosen"


def _reached_now(use: Use, doubt: Doubt) -> str:
    """What reached it by what was found: "104.2 N·m ± 1.1 N·m reached it"."""
    done, at_end = use.done, doubt.at_end
    if doubt.applied is None:
        return "nobody knows what reached it"
    reached = applied_text(doubt.applied.nm, doubt.applied.expanded_nm, done.lower_nm, done.upper_nm)
    if doubt.at_slot and done.at_slot:
        most = "at most " if done.at_slot.below else ""
        at_slot = applied_text(doubt.at_slot.nm, doubt.at_slot.expanded_nm, done.upper_nm)
        return f"{reached} reached it, and {most}{at_slot} at the slot"
    if use.fastener.specification.method != TORQUE_AND_ANGLE:
        return f"{reached} reached {'the seat' if done.seat else 'it'}"
    end = applied_text(at_end.nm, at_end.expanded_nm, *_end_limits(use)) if at_end else ""
    return f"{reached} reached it as threshold torque{f', and {end} at the end of the angle' if end else ''}"


def _end_limits(use: Use) -> tuple[Decimal | None, Decimal | None]:
    return use.fastener.specification.final_lower_nm, use.fastener.specification.final_upper_nm


def _limits_now(use: Use, doubt: Doubt) -> str:
    done, applied = use.done, doubt.applied
    bounds = (done.lower_nm, done.upper_nm)
    further = digits_apart(applied.nm, *bounds, expanded_nm=applied.expanded_nm) if applied else 0
    limits = limits_text(*bounds, further=further)
    at_end = doubt.at_end
    if at_end is None or not use.fastener.specification.final_written:
        return limits
    further = digits_apart(at_end.nm, *_end_limits(use), expanded_nm=at_end.expanded_nm)
    return f"{limits}, and at the end {limits_text(*_end_limits(use), further=further)},"


def _beyond(around: Around, use: Use, doubt: Doubt) -> Finding:
    """A look found the wrench out, and a setting lies beyond its points: nobody knows what the pass was worth."""
    near = f" ({percent_text(doubt.deviation)} at {doubt.nearest.at}, the nearest)" if doubt.nearest else ""
    after = "at the slot" if use.done.at_slot else "at the end of the angle"
    which = "this setting" if doubt.applied is None else f"the torque {after}"
    says = (
        f"wrench {use.wrench.number} was found out at its {doubt.look.what} on {doubt.look.on}, and {which} lies "
        f"beyond the points of that{near}, so nobody knows what reached it; {_limits_now(use, doubt)} is specified. "
        f"{_undo(around)} it and tighten again with another wrench."
    )
    return use.finding("workshop_rules/wrench-found-out-elsewhere", Weight.STOP, says)
