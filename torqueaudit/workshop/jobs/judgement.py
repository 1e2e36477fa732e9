"""What a wrench's setting or reading made of a fastener: worked out once, when it is told, and stored with it."""

from decimal import Decimal
from typing import TYPE_CHECKING, Any, NamedTuple

from torqueaudit.model.act import Refused, See, Topic
from torqueaudit.model.job.facts import Outcome
from torqueaudit.model.procedure.procedure import Fastener, Procedure
from torqueaudit.model.register.settings import Settings
from torqueaudit.model.torque.correction import BudgetLine, Correction, Fitted, WrenchUse
from torqueaudit.model.torque.decimals import ratio_text
from torqueaudit.model.torque.units import to_decimal
from torqueaudit.model.torque.verdict import NOT_JUDGED
from torqueaudit.model.wrench.classes import SETTING
from torqueaudit.model.wrench.kind import why_not_told
from torqueaudit.model.wrench.scale import Shown, scale_read
from torqueaudit.model.wrench.uncertainty import DIGITS, Applied, applied_of, trust_of
from torqueaudit.model.wrench.wrench import Wrench
from torqueaudit.read.tightening import read_angle, read_torque
from torqueaudit.workshop.door.attempt import Attempt
from torqueaudit.workshop.door.refusal import refused_if_unreadable
from torqueaudit.workshop.jobs.methods import (
    After,
    Beyond,
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
UNKNOWN = frozenset(  # of a pass that was not read
    {"applied_nm", "expanded_nm", "probability", "budget", "not_proved"}
    | {"deviation", "final_nm", "final_expanded_nm", "final_not_proved", "final_shown_nm"}
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
    final = act.stage in (0, max(len(fastener.stages), 1))
    require_asked(act, fastener, final=final)
    _require_adapter(workshop, attempt, act, fastener)
    with refused_if_unreadable():
        beyond = _beyond(workshop, act)
    judged: dict[str, Any] = {"final": final, "verdict": NOT_JUDGED, **beyond.stored}
    judged.update({name: str(limit) for name, limit in limits_of(fastener.specification, beyond.drag_nm).items()})
    if act.outcome is Outcome.NO_WRENCH or not act.shown:
        if act.outcome in READ and final:
            raise Refused(f"{fastener.name}: say what the wrench was set to or showed, with its unit")
        return judged
    settings = workshop.settings
    wrench = _wrench_of(workshop, attempt, act)
    taken = take(workshop.book, settings, wrench, attempt.happened_at).towards(fastener.direction)
    require_shown_at_end(act, fastener, taken.wrench)
    shown = _shown(workshop, taken, act.shown)
    reached = reach(workshop, settings, taken, shown, act.fitted)
    judged.update(_stored(taken, shown.nm, reached))
    if act.outcome in READ:
        require_above_drag(fastener, reached.applied.nm, beyond.drag_nm)
    if final:
        after, stored = _after(workshop, taken, act)
        if after.at_slot:
            require_on(fastener, taken.wrench, shown.nm, Decimal(stored["slot_shown_nm"]))
        guard = guard_factor_of(settings, procedure)
        judged.update(stored)
        judged.update(judged_as_specified(fastener.specification, beyond, reached.applied, after, guard))
    return judged


def _after(workshop: "Workshop", taken: InHand, act: "Tighten") -> tuple[After, dict[str, Any]]:
    """What was reached after the torque, with what was fitted, and how the entry holds it."""
    reached, stored = dict[str, Applied](), dict[str, Any]()
    for name, text in (("final", act.final_shown), ("slot", act.slot_shown)):
        if text:
            shown = _shown(workshop, taken, text)
            reached[name] = reach(workshop, workshop.settings, taken, shown, act.fitted).applied
            stored |= {f"{name}_shown_nm": str(shown.nm), **stored_after(name, reached[name])}
    below = "slot" in reached and taken.wrench.kind == SETTING
    return After(reached.get("final"), act.slot, reached.get("slot"), below), stored | (
        {"slot_below": True} if below else {}
    )


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


def _beyond(workshop: "Workshop", act: "Tighten") -> Beyond:
    return Beyond(
        read_angle(act.angle) if act.angle else None,
        read_torque(workshop.plugins.units, act.drag) if act.drag else None,
    )


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
        "budget": [_line(line) for line in applied.lines],
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
    return {"budget": [_line(line) for line in correction.budget], **caution}


def _line(line: BudgetLine) -> dict[str, Any]:
    plain = {"name": line.name, "relative": str(line.relative)}
    return {**plain, "adds": True} if line.adds else plain


def _wrench_of(workshop: "Workshop", attempt: Attempt, act: "Tighten") -> Wrench:
    if not act.wrench:
        raise Refused("say which wrench it was", See(Topic.WRENCHES))
    attempt.entries(f"wrench/{act.wrench}")
    wrench = workshop.wrench(act.wrench)
    if wrench is None:
        raise Refused(f"{act.wrench}: no such wrench", See(Topic.WRENCHES))
    if wrench.withdrawn and not wrench.usable_at(workshop.local_day(attempt.happened_at), attempt.happened_at):
        raise Refused(f"wrench {act.wrench} is withdrawn ({wrench.withdrawn}); take another one")
    if why_not := why_not_told(wrench, act.outcome):
        raise Refused(f"wrench {act.wrench} {why_not}; say the outcome as it was")
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
