"""What a wrench's setting or reading made of a fastener: worked out once, when it is told, and stored with it."""

from decimal import Decimal
from typing import TYPE_CHECKING, Any, NamedTuple

from torqueaudit.model.act import Refused, See, Topic
from torqueaudit.model.job.facts import Outcome
from torqueaudit.model.procedure.procedure import Fastener, Procedure
from torqueaudit.model.register.settings import Settings
from torqueaudit.model.torque.correction import Correction, Fitted, WrenchUse, plain_line
from torqueaudit.model.torque.decimals import decimal_text, ratio_text
from torqueaudit.model.torque.units import to_decimal
from torqueaudit.model.torque.verdict import NOT_JUDGED
from torqueaudit.model.wrench.classes import SETTING
from torqueaudit.model.wrench.kind import why_not_told
from torqueaudit.model.wrench.scale import Shown, scale_read
from torqueaudit.model.wrench.seat import at_seat
from torqueaudit.model.wrench.uncertainty import DIGITS, Applied, applied_of, trust_of
from torqueaudit.model.wrench.wrench import Wrench
from torqueaudit.read.tightening import read_angle, read_torque
from torqueaudit.workshop.door.attempt import Attempt
from torqueaudit.workshop.door.refusal import refused_if_unreadable
from torqueaudit.workshop.jobs.drag import DragTold, drag_of, stored_drag, told_drag
from torqueaudit.workshop.jobs.methods import (
    After,
    Torques,
    judged_as_specified,
    limits_of,
    require_above_drag,
    require_asked,
    require_on,
    require_shown_at_end,
    stored_after,
)
from torqueaudit.workshop.wrenches.in_hand import InHand, take

if TYPE_CHECKING:
    from torqueaudit.model.job.acts import Tighten
    from torqueaudit.workshop.door.workshop import Workshop

READ = frozenset({Outcome.TURNED_CLICKED, Outcome.VALUE_SHOWN})
NOT_BY_WRENCH = frozenset({Outcome.NO_WRENCH, Outcome.BY_HAND})
UNKNOWN = frozenset(  # of a pass that was not read
    {"applied_nm", "expanded_nm", "probability", "budget", "not_proved"}
    | {"deviation", "final_nm", "final_expanded_nm", "final_not_proved", "final_shown_nm"}
    | {"seat_nm", "seat_expanded_nm", "seat_not_proved"}
    | {"slot_nm", "slot_expanded_nm", "slot_not_proved", "slot_shown_nm", "slot_below"}
)


class Reached(NamedTuple):
    """What a setting or reading makes at the fastener, and the corrections that say so, each with its plugin."""

    applied: Applied
    corrections: tuple[tuple[str, Correction], ...]


def judge(workshop: "Workshop", attempt: Attempt, act: "Tighten", fastener: Fastener, procedure: Procedure) -> Any:
    """What was applied, with its uncertainty, and how it compares by the decision rule in force.

    Raises Refused for a wrench that is unknown, withdrawn or of the other kind, and for a torque that cannot be read.
    """
    final = act.stage in (0, fastener.last_stage)
    require_asked(act, fastener, final=final)
    _require_adapter(workshop, attempt, act, fastener)
    specification = fastener.specification
    with refused_if_unreadable():
        angle_deg = read_angle(act.angle) if act.angle else None
    told = _drag(workshop, attempt, act, fastener)
    judged: dict[str, Any] = {"final": final, "verdict": NOT_JUDGED, **limits_of(specification, dragged=bool(told))}
    judged |= {"angle_deg": decimal_text(angle_deg)} if angle_deg is not None else {}
    judged |= {"drag_nm": str(told.mean_nm)} if told else {}
    if act.outcome in NOT_BY_WRENCH or not act.shown:
        if act.outcome in READ and final:
            raise Refused(f"{fastener.name}: say what the wrench was set to or showed, with its unit")
        return judged
    wrench = _wrench_of(workshop, attempt, act)
    taken = take(workshop.book, workshop.settings, wrench, attempt.happened_at).towards(fastener.direction)
    require_shown_at_end(act, fastener, taken.wrench)
    shown = _shown(workshop, taken, act.shown)
    reached = reach(workshop, workshop.settings, taken, shown, act.fitted)
    judged.update(_stored(taken, shown.nm, reached))
    drag = drag_of(workshop, told, taken, reached.applied, shown.nm) if told else None
    held = at_seat(reached.applied, drag) if drag and specification.drag_excluded else reached.applied
    if drag:
        judged.update(stored_drag(drag))
    if drag and specification.drag_excluded:
        require_above_drag(fastener, reached.applied.nm, drag.nm if act.outcome in READ else None)
        judged.update(stored_after("seat", held))
    if final:
        after, stored = _after(workshop, taken, act)
        if after.at_slot:
            require_on(fastener, taken.wrench, shown.nm, Decimal(stored["slot_shown_nm"]))
        guard = guard_factor_of(workshop.settings, procedure)
        judged.update(stored)
        judged.update(judged_as_specified(specification, Torques(held, angle_deg, after), guard, dragged=bool(drag)))
    return judged


def _drag(workshop: "Workshop", attempt: Attempt, act: "Tighten", fastener: Fastener) -> DragTold | None:
    """The drag that was told, with the wrench that read it where one was."""
    if not act.drag_wrench:
        return told_drag(workshop, act.drag)
    by = _usable(workshop, attempt, act.drag_wrench)
    taken = take(workshop.book, workshop.settings, by, attempt.happened_at)
    return told_drag(workshop, act.drag, taken.towards(fastener.direction))


def _after(workshop: "Workshop", taken: InHand, act: "Tighten") -> tuple[After, dict[str, Any]]:
    """What was reached after the torque, with what was fitted, and how the entry holds it."""
    reached, stored = dict[str, Applied](), dict[str, Any]()
    for name, text in (("final", act.final_shown), ("slot", act.slot_shown)):
        if text:
            shown = _shown(workshop, taken, text)
            reached[name] = reach(workshop, workshop.settings, taken, shown, act.fitted).applied
            stored |= {f"{name}_shown_nm": str(shown.nm), **stored_after(name, reached[name])}
    below = "slot" in reached and taken.wrench.kind == SETTING
    if below:
        stored["slot_below"] = True
    return After(reached.get("final"), act.slot, reached.get("slot"), below), stored


def _require_adapter(workshop: "Workshop", attempt: Attempt, act: "Tighten", fastener: Fastener) -> None:
    """Refuse a pass without an adapter where one is needed, unless the wrench was calibrated with its own fitted."""
    if act.no_adapter and act.fitted:
        raise Refused(f"{fastener.name}: an adapter was told, and that none was on the wrench; leave one of them out")
    if not fastener.adapter or not act.wrench or act.fitted or act.no_adapter:
        return
    wrench = workshop.wrench(act.wrench)
    in_force = wrench.in_force(workshop.local_day(attempt.happened_at)) if wrench else None
    if in_force and not (in_force.calibration and in_force.calibration.adapters):
        says = "the procedure says that a wrench reaches it with an adapter only, and none was told. Say which"
        raise Refused(f"{fastener.name}: {says}", See(Topic.ADAPTER))


def for_outcome(judged: dict[str, Any], outcome: Outcome, nth: int = 0) -> dict[str, Any]:
    """What is stored of one pass, the nth of its act from 0, for each pass of a wrench counts.

    A wrench that did not turn the fastener, or did not reach its torque, applied no known torque.
    """
    if "cycles" in judged:
        judged = {**judged, "cycles": judged["cycles"] + nth}
    if outcome in READ:
        return judged
    return {**{key: value for key, value in judged.items() if key not in UNKNOWN}, "verdict": NOT_JUDGED}


def reach(workshop: "Workshop", settings: Settings, taken: InHand, shown: Shown, fitted: tuple[Fitted, ...]) -> Reached:
    """What a wrench at one setting makes at the fastener. Raises Refused where a correction cannot be worked out."""
    wrench = taken.wrench
    corrections = _corrections(workshop, wrench.use(shown.nm, fitted))
    trust = trust_of(wrench, taken.in_force, shown, correct_deviation=settings.correct_deviation)
    return Reached(applied_of(shown.nm, trust, [each for _, each in corrections]), tuple(corrections))


def _shown(workshop: "Workshop", taken: InHand, text: str) -> Shown:
    """A torque told of a wrench, with the scale that it was read on."""
    with refused_if_unreadable():
        nm = read_torque(workshop.plugins.units, text)
    return Shown(nm, scale_read(taken.wrench, text, nm))


def guard_factor_of(settings: Settings, procedure: Procedure) -> Decimal:
    """The decision rule in force: the procedure's own, else the workshop's."""
    return settings.guard_factor if procedure.guard_factor is None else procedure.guard_factor


def _stored(taken: InHand, shown_nm: Decimal, reached: Reached) -> dict[str, Any]:
    """What was worked out, with everything it was worked out from."""
    applied, calibration = reached.applied, taken.in_force.calibration
    stored: dict[str, Any] = {
        "shown_nm": str(shown_nm),
        "applied_nm": str(applied.nm),
        "corrections": [
            {"plugin": plugin, "name": each.name, "factor": ratio_text(each.factor), **_told_of(each)}
            for plugin, each in reached.corrections
        ],
        "budget": [plain_line(line) for line in applied.lines],
        "cycles": taken.cycles,
    }
    if applied.corrected is not None:
        stored["deviation"] = str(to_decimal(applied.corrected, DIGITS))
    if calibration:
        stored["calibration"] = calibration.entry
    if applied.expanded_nm is None:
        return {**stored, "not_proved": applied.why_not}
    return {**stored, "expanded_nm": str(applied.expanded_nm)}


def _told_of(correction: Correction) -> dict[str, Any]:
    caution = {"caution": correction.caution} if correction.caution else {}
    return {"budget": [plain_line(line) for line in correction.budget], **caution}


def _wrench_of(workshop: "Workshop", attempt: Attempt, act: "Tighten") -> Wrench:
    if not act.wrench:
        raise Refused("say which wrench it was", See(Topic.WRENCHES))
    wrench = _usable(workshop, attempt, act.wrench)
    if why_not := why_not_told(wrench, act.outcome):
        raise Refused(f"wrench {act.wrench} {why_not}; say the outcome as it was")
    return wrench


def _usable(workshop: "Workshop", attempt: Attempt, number: str) -> Wrench:
    attempt.entries(f"wrench/{number}")
    wrench = workshop.wrench(number)
    if wrench is None:
        raise Refused(f"{number}: no such wrench", See(Topic.WRENCHES))
    if wrench.withdrawn and not wrench.usable_at(workshop.local_day(attempt.happened_at), attempt.happened_at):
        raise Refused(f"wrench {number} is withdrawn ({wrench.withdrawn}); take another one")
    return wrench


def _corrections(workshop: "Workshop", use: WrenchUse) -> list[tuple[str, Correction]]:
    found: list[tuple[str, Correction]] = []
    for plugin, given, fault in workshop.plugins.corrections(use):
        if isinstance(fault, ValueError):
            raise Refused(str(fault))
        if fault:
            raise Refused(f"plugin {plugin} broke while it worked out the torque ({fault}); nothing was recorded")
        for correction in given:
            if any(correction.name == each.name for _, each in found):
                raise Refused(f"two plugins correct for “{correction.name}”; block one of them, nothing was recorded")
            found.append((plugin, correction))
    unused = {each.kind for each in use.fitted} - {each.name for _, each in found}
    if unused:
        raise Refused(f"no plugin knows how to correct for {', '.join(sorted(unused))}; nothing was recorded")
    return found
