"""The bench question: for this fastener, with this wrench and these adapters, what do I set?"""

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from torqueaudit.model.act import Refused, See, Topic
from torqueaudit.model.job.record import JobState
from torqueaudit.model.job.words import asked_text
from torqueaudit.model.procedure.in_book import ProcedureInBook
from torqueaudit.model.procedure.procedure import CASTLE_NUT, Fastener
from torqueaudit.model.shown.bench import BenchAnswer, ChoiceView, StageAnswer, StageSetting
from torqueaudit.model.shown.passes import JudgedView
from torqueaudit.model.torque.correction import Fitted
from torqueaudit.model.torque.decimals import decimal_text
from torqueaudit.model.torque.drag import Seat
from torqueaudit.model.torque.fitted import fitted_text
from torqueaudit.model.torque.units import TorqueUnit
from torqueaudit.model.torque.verdict import IN, IN_NOT_PROVED
from torqueaudit.model.torque.words import derived_text, torque_text
from torqueaudit.model.wrench.wrench import Wrench
from torqueaudit.workshop.bench.cautions import cautions_of, doubts_of
from torqueaudit.workshop.bench.choice import (
    Choice,
    Question,
    calibrated_with,
    choose,
    most_at_slot,
    scale_of,
    stage_setting,
    unfit,
)
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.drag import DragTold, told_drag
from torqueaudit.workshop.jobs.job import fastener_in
from torqueaudit.workshop.jobs.judgement import guard_factor_of
from torqueaudit.workshop.wrenches.in_hand import InHand, take
from torqueaudit.workshop.wrenches.wrench import wrenches


def bench_setting(
    workshop: Workshop,
    job: str,
    key: str,
    number: str,
    fitted: tuple[Fitted, ...] = (),
    drag: str = "",
    drag_wrench: str = "",
) -> BenchAnswer:
    """Answer the bench question; `drag` is what a self-locking nut needs to turn at all ("4 N·m", "3 … 5 N·m").

    `drag_wrench` is the number of the wrench that read it, where that was another one.

    Raises Refused for an unknown or withdrawn job, an unknown fastener or wrench, an adapter that cannot be worked out,
    and where the source excludes a drag that is not told.
    """
    asked, in_book = _asked(workshop, job, key, fitted)
    by = _in_hand(workshop, asked, drag_wrench).towards(asked.fastener.direction) if drag_wrench else None
    asked = asked._replace(drag=_drag(workshop, asked.fastener, drag, by))
    taken = _in_hand(workshop, asked, number)
    wrench = taken.wrench
    choice, why_not = choose(workshop, asked, taken)
    if choice and asked.fastener.locking == CASTLE_NUT:
        choice = choice._replace(at_slot=most_at_slot(workshop, asked, taken, choice))
    doubts = tuple(doubts_of(in_book, asked.fastener, workshop.plugins))
    return BenchAnswer(
        job=job,
        fastener=asked.fastener.name,
        specified=asked_text(asked.fastener),
        derived=_derived(asked, wrench),
        wrench=number,
        kind=wrench.kind,
        unit=scale_of(wrench).unit,
        choice=_choice(workshop, asked, taken, choice) if choice else None,
        why_not=why_not,
        instead=() if choice and not taken.overload else tuple(_others(workshop, asked, number)),
        cautions=(*doubts, *cautions_of(asked, taken, choice)) if choice else doubts,
        fitted=tuple(map(fitted_text, fitted)),
    )


def bench_stage(
    workshop: Workshop, job: str, key: str, number: str, stage: int, fitted: tuple[Fitted, ...] = ()
) -> StageAnswer:
    """What to set a wrench to for one stage before the last, which no limits hold for; `stage` counts from 1.

    A wrench that reaches the stage need not reach what follows it. Raises Refused as `bench_setting` does.
    """
    asked, _ = _asked(workshop, job, key, fitted)
    aim_nm = asked.fastener.stage_nm(stage)
    if aim_nm is None:
        raise Refused(f"{asked.fastener.name}: stage {stage} is turned by hand, and no wrench is set for it")
    taken = _in_hand(workshop, asked, number)
    setting, why_not = _stage(workshop, asked, taken, aim_nm)
    others = [each for each in wrenches(workshop) if each.number != number] if setting is None else []
    return StageAnswer(
        wrench=number,
        kind=taken.wrench.kind,
        unit=scale_of(taken.wrench).unit,
        aim_nm=aim_nm,
        setting=setting,
        why_not=why_not,
        instead=tuple(_for_stage(workshop, asked, others, aim_nm)),
    )


def _stage(workshop: Workshop, asked: Question, taken: InHand, aim_nm: Decimal) -> tuple[Decimal | None, str]:
    """The mark for a stage, or why there is none."""
    if why_not := unfit(asked, taken):
        return None, why_not
    setting = stage_setting(workshop, asked, taken, aim_nm)
    return setting, "" if setting is not None else f"its scale does not reach {torque_text(aim_nm)}"


def _for_stage(workshop: Workshop, asked: Question, others: list[Wrench], aim_nm: Decimal) -> Iterator[str]:
    """The wrenches that reach a stage, each with its setting."""
    for wrench in others:
        try:
            setting, _ = _stage(workshop, asked, take(workshop.book, asked.settings, wrench, asked.at), aim_nm)
        except Refused:  # its lever is not known, so it cannot be asked with this adapter
            continue
        if setting is not None:
            yield f"{wrench.number} ({wrench.tag}) at {decimal_text(setting)} {scale_of(wrench).unit}"


def _choice(workshop: Workshop, asked: Question, taken: InHand, choice: Choice) -> ChoiceView:
    applied, verdict, held = choice.reached.applied, choice.verdict, choice.held
    return ChoiceView(
        setting=choice.setting,
        applied_nm=applied.nm,
        expanded_nm=applied.expanded_nm,
        judged=JudgedView(verdict.word, verdict.rule, verdict.probability, held.why_not),
        budget=applied.budget,
        calibrated_with=calibrated_with(taken),
        stages=tuple(_stages(workshop, asked, taken)),
        at_slot=choice.at_slot,
        drag=choice.drag,
        seat=Seat(held.nm, held.expanded_nm, held.why_not) if choice.drag else None,
    )


def _derived(asked: Question, wrench: Wrench) -> str:
    """A help for the eye only: what is judged is the printed value."""
    specification, scale = asked.fastener.specification, scale_of(wrench)
    if scale.unit == specification.unit:
        return ""
    return derived_text(specification, TorqueUnit(scale.unit, Fraction(scale.unit_nm)))


def _in_hand(workshop: Workshop, asked: Question, number: str) -> InHand:
    wrench = workshop.wrench(number)
    if wrench is None:
        raise Refused(f"{number}: no such wrench", See(Topic.WRENCHES))
    return take(workshop.book, asked.settings, wrench, asked.at)


def _asked(workshop: Workshop, job: str, key: str, fitted: tuple[Fitted, ...]) -> tuple[Question, ProcedureInBook]:
    record = workshop.record(job)
    if record.state is JobState.WITHDRAWN:
        raise Refused(f"job {job} was withdrawn ({record.strikes[-1].why}); open a new one")
    in_book = workshop.procedure(record.digest)._replace(procedure=workshop.procedure_of(record))
    fastener, _ = fastener_in(in_book.procedure, record, key)
    settings = workshop.settings
    asked = Question(
        fastener=fastener,
        aim_nm=_aim_nm(fastener),
        lower_nm=fastener.specification.lower_nm,
        upper_nm=fastener.specification.upper_nm,
        guard_factor=guard_factor_of(settings, in_book.procedure),
        fitted=fitted,
        settings=settings,
        at=workshop.clock(),
    )
    return asked, in_book


def _aim_nm(fastener: Fastener) -> Decimal:
    """A castle nut begins at its lower limit, so that there is room to turn on to the next slot."""
    lower = fastener.specification.lower_nm
    return lower if fastener.locking == CASTLE_NUT and lower is not None else fastener.specification.target_nm


def _drag(workshop: Workshop, fastener: Fastener, drag: str, by: InHand | None) -> DragTold | None:
    """The drag that comes on top, None where the source asks for none."""
    excluded = fastener.specification.drag_excluded
    if excluded and not drag:
        raise Refused(
            f"{fastener.name}: the source excludes the drag of this self-locking nut, so it comes on top; turn the nut "
            "before it seats, read the torque",
            See(Topic.DRAG),
        )
    if drag and not excluded:
        raise Refused(f"{fastener.name}: the source's torque is what to set; no drag is added, leave it out")
    return told_drag(workshop, drag, by)


def _stages(workshop: Workshop, asked: Question, taken: InHand) -> Iterator[StageSetting]:
    """The stages before the last, on the same scale."""
    fastener = asked.fastener
    for number, written in enumerate(fastener.stages[:-1], start=1):
        aim = fastener.stage_nm(number)
        setting = None if aim is None else stage_setting(workshop, asked, taken, aim)
        yield StageSetting(written, aim, setting)


def _others(workshop: Workshop, asked: Question, number: str) -> Iterator[str]:
    """The other wrenches that can, the proved ones first; last those that were overloaded and not looked at since."""
    found: list[tuple[bool, bool, str]] = []
    for wrench in (each for each in wrenches(workshop) if each.number != number):
        taken = take(workshop.book, asked.settings, wrench, asked.at)
        try:
            choice, _ = choose(workshop, asked, taken)
        except Refused:  # its lever is not known, so it cannot be asked with this adapter
            continue
        if choice:
            said = f"{wrench.number} ({wrench.tag}) at {decimal_text(choice.setting)} {scale_of(wrench).unit}"
            said += f", {calibrated_with(taken)}" if calibrated_with(taken) else ""
            said += ", not proved" if choice.verdict.word == IN_NOT_PROVED else ""
            said += ", overloaded and not looked at since" if taken.overload else ""
            found.append((taken.overload is not None, choice.verdict.word != IN, said))
    return iter([said for *_, said in sorted(found, key=lambda each: each[:2])])
