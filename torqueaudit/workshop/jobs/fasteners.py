"""Fasteners of a job: tightened, loosened, marked."""

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from torqueaudit.ledger.entry import Draft, Entry
from torqueaudit.ledger.words import FreeWords
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.acts import Tighten
from torqueaudit.model.job.facts import MarkState, Tightening
from torqueaudit.model.job.record import FastenerState, JobRecord, current_of
from torqueaudit.model.procedure.procedure import Fastener
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.torque.correction import plain_fitted
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.again import require_new
from torqueaudit.workshop.jobs.job import fastener_in, fastener_of, live_record
from torqueaudit.workshop.jobs.judgement import for_outcome, judge
from torqueaudit.workshop.vehicles.visits import arrival


def tighten(workshop: Workshop, job: str, key: str, act: Tighten, say: Say) -> list[Entry]:
    """Record one tightening, or one stage of a numbered group, bolt by bolt in its pattern.

    Raises Refused when nothing may be recorded (withdrawn job, unknown fastener, wrench unknown or withdrawn), and asks
    back what was told within minutes.
    """
    said = said_of(act)

    def build(attempt: Attempt) -> list[Draft]:
        of = live_record(attempt, job)
        drafts = arrival(attempt, of.vehicle)
        procedure = workshop.procedure_of(of)
        fastener, positions = fastener_in(procedure, of, key)
        stage = stage_of(fastener, act.stage)
        require_helpers(attempt, act.helpers)
        beyond = [str(number) for number in act.differing if not 1 <= number <= fastener.size]
        if beyond:
            raise Refused(f"{fastener.name}: has no number {', '.join(beyond)}; it has {fastener.size}")
        judged = judge(workshop, attempt, act, fastener, procedure)
        for nth, position in enumerate(positions):
            outcome = act.differing.get(fastener.positions.index(position) + 1, act.outcome)
            words = {**said, "position": position, "stage": stage, "outcome": outcome.value}
            drafts.append(attempt.draft(f"job/{job}", "tightened.2", words, for_outcome(judged, outcome, nth)))
        require_new(attempt, of, procedure, drafts)
        return drafts

    differing = {str(number): outcome.value for number, outcome in act.differing.items()}
    words = {**said, "stage": act.stage, "outcome": act.outcome.value, "differing": differing}
    return record(workshop, say, ActName.TIGHTEN, f"job/{job}/{key}", words, build)


def loosen(workshop: Workshop, job: str, key: str, why: str, say: Say) -> list[Entry]:
    """Record that a fastener was undone, and why. What was recorded of it before becomes history."""
    if not why.strip():
        raise Refused(f"{key}: say why it was loosened")

    said = {"why": FreeWords(why)}

    def build(attempt: Attempt) -> list[Draft]:
        of = live_record(attempt, job)
        _, positions = fastener_of(workshop, of, key)
        subject = f"job/{job}"
        undone = (attempt.draft(subject, "loosened.2", {"position": p, **said}) for p in positions)
        return [*arrival(attempt, of.vehicle), *undone]

    return record(workshop, say, ActName.LOOSEN, f"job/{job}/{key}", said, build)


def see_mark(workshop: Workshop, job: str, key: str, state: MarkState, why: str, say: Say) -> list[Entry]:
    """Record a witness mark painted or looked at. It belongs to the tightening that stands.

    Raises Refused when the fastener is not tightened, or a mark not seen comes without its reason.
    """
    if state is MarkState.NOT_SEEN and not why.strip():
        raise Refused(f"{key}: say why the mark was not seen")
    said = {"state": state.value, **({"why": FreeWords(why)} if why else {})}

    def build(attempt: Attempt) -> list[Draft]:
        of = live_record(attempt, job)
        _, positions = fastener_of(workshop, of, key)
        stood = {p: standing(of, p, attempt.happened_at).noted.entry for p in positions}
        subject = f"job/{job}"
        seen = (attempt.draft(subject, "mark_seen.2", {"position": p, **said}, {"of": stood[p]}) for p in positions)
        return [*arrival(attempt, of.vehicle, look=True), *seen]

    return record(workshop, say, ActName.MARK, f"job/{job}/{key}", said, build)


def standing(of: JobRecord, position: str, at: datetime) -> Tightening:
    """The tightening that stood on a position at a moment. Refused when none did.

    A mark or check told late belongs to what stood when it was seen, not to what was tightened since.
    """
    then = current_of(position, (fact for fact in of.facts if fact.noted.happened_at <= at))
    if then.state is not FastenerState.TIGHTENED or then.tightening is None:
        raise Refused(f"{position}: {then.state} at that time, so there is nothing to mark or check; tighten it first")
    return then.tightening


def require_helpers(attempt: Attempt, numbers: Iterable[str]) -> None:
    """Refuse helpers who are not known or were not here then, and whoever says it themselves."""
    helpers = {number: attempt.workshop.person(number) for number in numbers}
    if attempt.say.by in helpers:
        raise Refused(f"{attempt.say.by} says this, and so did it; name as helper whoever else had a hand in it")
    unknown = [number for number, helper in helpers.items() if helper is None]
    if unknown:
        raise Refused(f"{', '.join(unknown)}: nobody of that number works here, so they cannot have helped")
    day = attempt.workshop.local_day(attempt.happened_at)
    for helper in filter(None, helpers.values()):
        if away := helper.away_at(day, attempt.happened_at):
            raise Refused(f"{helper.number} {away}, so they cannot have helped with this; name who did")


def said_of(act: Tighten) -> dict[str, Any]:
    """What a pass tells of itself, as its entry holds it; position, stage and outcome come from whoever records it."""
    said: dict[str, Any] = {"thread_ok": act.thread_ok}
    if act.wrench:
        said["wrench"] = act.wrench
    if act.shown:
        said["shown"] = act.shown
    beyond = {"angle": act.angle, "final_shown": act.final_shown, "drag": act.drag, "drag_wrench": act.drag_wrench}
    beyond |= {"slot": act.slot or "", "slot_shown": act.slot_shown}
    said.update({name: str(words) for name, words in beyond.items() if words})
    if act.helpers:
        said["helpers"] = list(act.helpers)
    if act.fitted:
        said["fitted"] = [plain_fitted(each) for each in act.fitted]
    return said


def stage_of(fastener: Fastener, stage: int) -> int:
    """The number of a stage, where 0 is the last. Raises Refused for one that the fastener has not."""
    if not 0 <= stage <= fastener.last_stage:
        raise Refused(f"{fastener.name}: has no stage {stage}; it has {fastener.last_stage}")
    return stage or fastener.last_stage
