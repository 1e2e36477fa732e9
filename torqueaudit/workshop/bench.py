"""The bench question: for this fastener, with this wrench and this adapter, what do I set?"""

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from torqueaudit.model.correction import BudgetLine, Fitted
from torqueaudit.model.job import JobState
from torqueaudit.model.procedure import CASTLE_NUT, Fastener, decimal_text
from torqueaudit.model.units import TorqueUnit
from torqueaudit.model.verdict import IN, provable
from torqueaudit.model.words import angle_text, asked_text, derived_text, torque_text
from torqueaudit.model.wrench import Wrench
from torqueaudit.workshop.acting import Refused
from torqueaudit.workshop.bench_choice import Asked, Choice, choose, scale_of
from torqueaudit.workshop.jobs import fastener_in
from torqueaudit.workshop.judging import guard_factor_of, torque_of
from torqueaudit.workshop.listing import wrenches
from torqueaudit.workshop.methods import limits_of
from torqueaudit.workshop.taking import Taken, take
from torqueaudit.workshop.workshop import Workshop


class Answer(NamedTuple):
    """What to set a wrench to, on its own scale; without a `setting` where it cannot be done, for `why_not`.

    `instead` names other wrenches of the workshop that can, each with its setting.
    """

    job: str
    fastener: str
    specified: str
    derived: str  # the specified torque on the wrench's own scale, "" where the document prints that unit
    wrench: str
    kind: str
    possible: bool
    setting: Decimal | None
    unit: str
    applied_nm: Decimal | None
    expanded_uncertainty_nm: Decimal | None
    verdict: str
    decision_rule: str
    probability: Decimal | None
    budget: tuple[BudgetLine, ...]
    cautions: tuple[str, ...]
    why_not: str
    instead: tuple[str, ...]


def bench_setting(
    workshop: Workshop, job: str, key: str, number: str, fitted: tuple[Fitted, ...] = (), drag: str = ""
) -> Answer:
    """Answer the bench question; `drag` is what a self-locking nut needs to turn at all ("4 N·m").

    Raises Refused for an unknown or withdrawn job, an unknown fastener or wrench, an adapter that cannot be worked out,
    and where the source excludes a drag that is not told.
    """
    asked = _asked(workshop, job, key, fitted, drag)
    wrench = workshop.wrench(number)
    if wrench is None:
        raise Refused(f"{number}: no such wrench; `torqueaudit wrench list` shows them")
    taken = take(workshop.book, asked.settings, wrench, asked.at)
    choice, why_not = choose(workshop, asked, taken)
    return Answer(
        job=job,
        fastener=asked.fastener.name,
        specified=asked_text(asked.fastener),
        derived=_derived(asked, wrench),
        wrench=number,
        kind=wrench.kind,
        possible=choice is not None,
        setting=choice.setting if choice else None,
        unit=scale_of(wrench).unit,
        applied_nm=choice.reached.applied.nm if choice else None,
        expanded_uncertainty_nm=choice.reached.applied.expanded_nm if choice else None,
        verdict=choice.verdict.word if choice else "",
        decision_rule=choice.verdict.rule if choice else "",
        probability=choice.verdict.probability if choice else None,
        budget=choice.reached.applied.lines if choice else (),
        cautions=tuple(_cautions(asked, taken, choice)) if choice else (),
        why_not=why_not,
        instead=() if choice else tuple(_others(workshop, asked)),
    )


def _derived(asked: Asked, wrench: Wrench) -> str:
    """A help for the eye only: what is judged is the printed value."""
    specification, scale = asked.fastener.specification, scale_of(wrench)
    if scale.unit == specification.unit:
        return ""
    return derived_text(specification, TorqueUnit(scale.unit, Fraction(scale.unit_nm)))


def _asked(workshop: Workshop, job: str, key: str, fitted: tuple[Fitted, ...], drag: str) -> Asked:
    record = workshop.record(job)
    if record.state is JobState.WITHDRAWN:
        raise Refused(f"job {job} was withdrawn ({record.strikes[-1].why}); open a new one")
    procedure = workshop.procedure(record.digest).procedure
    fastener, _ = fastener_in(procedure, record, key)
    drag_nm = _drag(workshop, fastener, drag)
    limits = limits_of(fastener.specification, drag_nm)
    settings = workshop.settings
    return Asked(
        fastener,
        _aim_nm(fastener) + (drag_nm or 0),
        limits.get("lower_nm"),
        limits.get("upper_nm"),
        guard_factor_of(settings, procedure),
        fitted,
        settings,
        workshop.clock(),
    )


def _aim_nm(fastener: Fastener) -> Decimal:
    """A castle nut begins at its lower limit, so that there is room to turn on to the next slot."""
    lower = fastener.specification.lower_nm
    return lower if fastener.locking == CASTLE_NUT and lower is not None else fastener.specification.target_nm


def _drag(workshop: Workshop, fastener: Fastener, drag: str) -> Decimal | None:
    """The drag in N·m that comes on top, None where the source asks for none."""
    excluded = fastener.specification.drag_excluded
    if excluded and not drag:
        raise Refused(
            f"{fastener.name}: the source excludes the drag of this self-locking nut, so it comes on top; turn the nut "
            "before it seats, read the torque, and give it as --drag"
        )
    if drag and not excluded:
        raise Refused(f"{fastener.name}: the source's torque is what to set; no drag is added, leave it out")
    return torque_of(workshop, drag) if drag else None


def _cautions(asked: Asked, taken: Taken, choice: Choice) -> Iterator[str]:
    """What a mechanic should know before turning."""
    applied = choice.reached.applied
    if applied.expanded_nm is None:
        yield f"Nothing is proved: {applied.why_not}."
    elif not provable(applied.expanded_nm, asked.lower_nm, asked.upper_nm, asked.guard_factor):
        yield (
            f"Nothing this wrench shows could prove it: its uncertainty of {torque_text(applied.expanded_nm)} to each "
            "side is too wide for the tolerance. Take a better wrench where proof is wanted."
        )
    if not taken.wrench.scales:
        yield f"The division of wrench {taken.wrench.number} is not known; set it as near as its scale shows."
    if asked.fastener.specification.angle is not None:
        yield f"The torque is only where it begins: turn it on by {angle_text(asked.fastener.specification)}."
    if asked.fastener.locking == CASTLE_NUT and asked.upper_nm is not None:
        yield (
            f"A castle nut: begin here, turn on to the next slot within {torque_text(asked.upper_nm)}, never back. No "
            "slot within it: change the washer or the nut. A new pin each time."
        )
    if asked.fastener.condition:
        yield f"The specification holds for this condition of the thread: {asked.fastener.condition}."


def _others(workshop: Workshop, asked: Asked) -> Iterator[str]:
    """The other wrenches that can, the proved ones first."""
    found: list[tuple[bool, str]] = []
    for wrench in wrenches(workshop):
        try:
            choice, _ = choose(workshop, asked, take(workshop.book, asked.settings, wrench, asked.at))
        except Refused:  # its lever is not known, so it cannot be asked with this adapter
            continue
        if choice:
            said = f"{wrench.number} ({wrench.tag}) at {decimal_text(choice.setting)} {scale_of(wrench).unit}"
            found.append((choice.verdict.word != IN, said))
    return iter([said for _, said in sorted(found, key=lambda each: each[0])])
