"""Fasteners of a job: tightened, loosened, marked."""

from collections.abc import Mapping
from datetime import datetime
from decimal import Decimal
from typing import Any, NamedTuple

from torqueaudit.ledger.entry import Draft
from torqueaudit.model.correction import Correction, Fitted, WrenchUse
from torqueaudit.model.facts import MarkState, Outcome, Tightening
from torqueaudit.model.job import FastenerState, JobRecord, current_of
from torqueaudit.model.procedure import TORQUE, Fastener
from torqueaudit.workshop.acting import Reading, Refused, Say, record
from torqueaudit.workshop.jobs import fastener_of, live_record
from torqueaudit.workshop.workshop import Workshop

READ = {Outcome.TURNED_CLICKED, Outcome.VALUE_SHOWN}
RECORDERS = ("mechanic", "trainee", "foreman")


class Tighten(NamedTuple):
    """What a mechanic says of one pass; `stage` counts from 1, 0 is the last. Outcomes may differ by group number."""

    outcome: Outcome
    wrench: str = ""
    shown: str = ""
    fitted: tuple[Fitted, ...] = ()
    stage: int = 0
    thread_ok: bool = True
    helpers: tuple[str, ...] = ()
    differing: Mapping[int, Outcome] = {}


def tighten(workshop: Workshop, job: str, key: str, act: Tighten, say: Say) -> None:
    """Record one tightening, or one stage of a numbered group, bolt by bolt in its pattern.

    Raises Refused when nothing may be recorded (withdrawn job, unknown fastener, wrench unknown or withdrawn).
    """
    said = _said(act)

    def build(reading: Reading) -> list[Draft]:
        reading.person(*RECORDERS)
        of = live_record(reading, job)
        fastener, positions = fastener_of(workshop, of, key)
        stage, final = _stage(fastener, act.stage)
        _require_known(workshop, act, fastener)
        judged = {"final": final, **_judge(workshop, reading, act, fastener, final=final)}
        drafts = []
        for position in positions:
            outcome = act.differing.get(fastener.positions.index(position) + 1, act.outcome)
            words = {**said, "position": position, "stage": stage, "outcome": outcome.value}
            drafts.append(reading.draft(f"job/{job}", "tightened.1", words, _for_outcome(judged, outcome)))
        return drafts

    differing = {str(number): outcome.value for number, outcome in act.differing.items()}
    words = {**said, "stage": act.stage, "outcome": act.outcome.value, "differing": differing}
    record(workshop, say, "tighten", f"job/{job}/{key}", words, build)


def loosen(workshop: Workshop, job: str, key: str, why: str, say: Say) -> None:
    """Record that a fastener was undone, and why. What was recorded of it before becomes history."""
    if not why.strip():
        raise Refused(f"{key}: say why it was loosened")

    def build(reading: Reading) -> list[Draft]:
        reading.person(*RECORDERS)
        _, positions = fastener_of(workshop, live_record(reading, job), key)
        return [reading.draft(f"job/{job}", "loosened.1", {"position": p, "why": why}) for p in positions]

    record(workshop, say, "loosen", f"job/{job}/{key}", {"why": why}, build)


def see_mark(workshop: Workshop, job: str, key: str, state: MarkState, why: str, say: Say) -> None:
    """Record a witness mark painted or looked at. It belongs to the tightening that stands.

    Raises Refused when the fastener is not tightened, or a mark not seen comes without its reason.
    """
    if state is MarkState.NOT_SEEN and not why.strip():
        raise Refused(f"{key}: say why the mark was not seen")
    said = {"state": state.value, **({"why": why} if why else {})}

    def build(reading: Reading) -> list[Draft]:
        reading.person(*RECORDERS, "owner")
        of = live_record(reading, job)
        _, positions = fastener_of(workshop, of, key)
        stood = {p: standing(of, p, reading.happened_at).noted.entry for p in positions}
        subject = f"job/{job}"
        return [reading.draft(subject, "mark_seen.1", {"position": p, **said}, {"of": stood[p]}) for p in positions]

    record(workshop, say, "mark", f"job/{job}/{key}", said, build)


def standing(of: JobRecord, position: str, at: datetime) -> Tightening:
    """The tightening that stood on a position at a moment. Refused when none did.

    A mark or check told late belongs to what stood when it was seen, not to what was tightened since.
    """
    then = current_of(position, (fact for fact in of.facts if fact.noted.happened_at <= at))
    if then.state is not FastenerState.TIGHTENED or then.tightening is None:
        raise Refused(f"{position}: {then.state} at that time, so there is nothing to mark or check; tighten it first")
    return then.tightening


def _require_known(workshop: Workshop, act: Tighten, fastener: Fastener) -> None:
    unknown = [number for number in act.helpers if workshop.person(number) is None]
    if unknown:
        raise Refused(f"{', '.join(unknown)}: nobody of that number works here, so they cannot have helped")
    beyond = [str(number) for number in act.differing if not 1 <= number <= fastener.size]
    if beyond:
        raise Refused(f"{fastener.name}: has no number {', '.join(beyond)}; it has {fastener.size}")


def _said(act: Tighten) -> dict[str, Any]:
    said: dict[str, Any] = {"thread_ok": act.thread_ok}
    if act.wrench:
        said["wrench"] = act.wrench
    if act.shown:
        said["shown"] = act.shown
    if act.helpers:
        said["helpers"] = list(act.helpers)
    if act.fitted:
        said["fitted"] = [{"kind": each.kind, "attributes": each.attributes} for each in act.fitted]
    return said


def _stage(fastener: Fastener, stage: int) -> tuple[int, bool]:
    last = max(len(fastener.stages), 1)
    if not 0 <= stage <= last:
        raise Refused(f"{fastener.name}: has no stage {stage}; it has {last}")
    return stage or last, stage in (0, last)


def _judge(workshop: Workshop, reading: Reading, act: Tighten, fastener: Fastener, *, final: bool) -> dict[str, Any]:
    """What was applied and how it compares, by simple acceptance (JCGM 106:2012 8.2), worked out once and stored."""
    specification = fastener.specification
    limits = {"lower_nm": str(specification.lower_nm), "upper_nm": str(specification.upper_nm)}
    if act.outcome is Outcome.NO_WRENCH or not act.shown:
        if act.outcome in READ and final:
            raise Refused(f"{fastener.name}: say what the wrench was set to or showed, with its unit")
        return {**limits, "verdict": "not judged"}
    wrench = _wrench(workshop, reading, act)
    shown = _torque(workshop, act.shown)
    corrections = _corrections(workshop, WrenchUse(wrench[0], shown, act.fitted, wrench[1]))
    applied = shown
    for _, each in corrections:
        applied *= each.factor
    verdict = "not judged"
    if final and specification.method == TORQUE:
        verdict = "in" if specification.lower_nm <= applied <= specification.upper_nm else "out"
    factors = [{"plugin": plugin, "name": each.name, "factor": str(each.factor)} for plugin, each in corrections]
    return {
        **limits,
        "shown_nm": str(shown),
        "applied_nm": str(applied),
        "corrections": factors,
        "verdict": verdict,
        "decision_rule": "simple acceptance",
    }


def _for_outcome(judged: dict[str, Any], outcome: Outcome) -> dict[str, Any]:
    """A wrench that did not turn the fastener, or did not reach its torque, applied no known torque."""
    if outcome in READ:
        return judged
    return {**{key: value for key, value in judged.items() if key != "applied_nm"}, "verdict": "not judged"}


def _wrench(workshop: Workshop, reading: Reading, act: Tighten) -> tuple[str, Decimal | None]:
    if not act.wrench:
        raise Refused("say which wrench it was; `torqueaudit wrench list` shows them")
    reading.entries(f"wrench/{act.wrench}")
    wrench = workshop.wrench(act.wrench)
    if wrench is None:
        raise Refused(f"{act.wrench}: no such wrench; `torqueaudit wrench list` shows them")
    if wrench.withdrawn:
        raise Refused(f"wrench {act.wrench} is withdrawn ({wrench.withdrawn}); take another one")
    wanted = Outcome.TURNED_CLICKED if wrench.kind == "indicating" else Outcome.VALUE_SHOWN
    if act.outcome is wanted:
        says = "shows values and does not click" if wrench.kind == "indicating" else "clicks and shows no value"
        raise Refused(f"wrench {act.wrench} {says}; say the outcome as it was")
    return wrench.number, wrench.lever_mm


def _torque(workshop: Workshop, text: str) -> Decimal:
    try:
        return workshop.plugins.units.parse(text).nm
    except ValueError as error:
        raise Refused(str(error)) from None


def _corrections(workshop: Workshop, use: WrenchUse) -> list[tuple[str, Correction]]:
    found: list[tuple[str, Correction]] = []
    for plugin, answer in workshop.plugins.ask("correct_setting", use=use):
        if isinstance(answer, ValueError):
            raise Refused(str(answer))
        if not isinstance(answer, Correction):
            raise Refused(f"plugin {plugin} broke while it worked out the torque ({answer}); nothing was recorded")
        if any(answer.name == each.name for _, each in found):
            raise Refused(f"two plugins correct for “{answer.name}”; block one of them, nothing was recorded")
        found.append((plugin, answer))
    unused = {each.kind for each in use.fitted} - {each.name for _, each in found}
    if unused:
        raise Refused(f"no plugin knows how to correct for {', '.join(sorted(unused))}; nothing was recorded")
    return found
