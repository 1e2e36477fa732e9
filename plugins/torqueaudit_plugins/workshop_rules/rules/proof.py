"""Does what the wrench showed prove that a fastener lies inside its limits?

rear axle nut: 116.0 N·m ± 5.4 N·m lies inside 97.2 … 118.8 N·m, 85.2 % likely inside, but guard band 1·U does not prove
it. Where proof is wanted, loosen it and tighten again further inside, or with a better wrench.
"""

from collections.abc import Iterator
from decimal import Decimal
from typing import NamedTuple

from torqueaudit.plugin import (
    IN,
    IN_NOT_PROVED,
    SIMPLE,
    Around,
    Fastener,
    Finding,
    Job,
    Subject,
    Tightening,
    Weight,
    applied_text,
    digits_apart,
    guard_factor_in,
    likely_text,
    limits_text,
    provable,
    spread_text,
    subject_at,
    verdict_of,
)

BETTER = "Where proof is wanted, take a better wrench."


class Part(NamedTuple):
    """One torque of a pass that has to be proved: what it is, "" where it is the whole of it, and its limits."""

    what: str
    nm: Decimal | None
    expanded_nm: Decimal | None
    not_proved: str
    lower_nm: Decimal | None
    upper_nm: Decimal | None

    @property
    def limits(self) -> str:
        """Its limits in words, with as many digits as its torque takes beside them."""
        bounds = (self.lower_nm, self.upper_nm)
        further = digits_apart(self.nm, *bounds, expanded_nm=self.expanded_nm) if self.nm is not None else 0
        return limits_text(*bounds, further=further)


def review_proof(job: Job, around: Around) -> Iterator[Finding]:
    """In but not proved so, and what no reading of this wrench could prove; what lies outside is a stop elsewhere."""
    for fastener in job.procedure.fasteners():
        for position in fastener.positions:
            done = job.record.current(position).tightening
            if done and done.verdict in {IN, IN_NOT_PROVED}:
                for part in _parts(fastener, around.as_known(done)):
                    yield from _proof(subject_at(fastener, position), part, done, around)
                yield from _angle(fastener, done)


def _parts(fastener: Fastener, done: Tightening) -> Iterator[Part]:
    """The torque; of torque and angle the one it begins with, and the one at its end where that is specified.

    Of a castle nut that was turned on the one at its slot as well.
    """
    specification, angled = fastener.specification, done.angle_deg is not None
    what = "the torque before the angle, " if angled else "the torque at the seat, " if done.seat else ""
    yield Part(
        what=what,
        nm=done.held_nm,
        expanded_nm=done.held_expanded_nm,
        not_proved=done.held_not_proved,
        lower_nm=done.lower_nm,
        upper_nm=done.upper_nm,
    )
    if done.at_slot:
        yield Part(
            what="what the wrench was set to at the slot without a click, "
            if done.at_slot.below
            else "the torque at the slot, ",
            nm=done.at_slot.nm,
            expanded_nm=done.at_slot.expanded_nm,
            not_proved=done.at_slot.not_proved,
            lower_nm=None,
            upper_nm=done.upper_nm,
        )
    if angled and specification.final_written:
        yield Part(
            what="the torque at the end of the angle, ",
            nm=done.final_nm,
            expanded_nm=done.final_expanded_nm,
            not_proved=done.final_not_proved,
            lower_nm=specification.final_lower_nm,
            upper_nm=specification.final_upper_nm,
        )


def _angle(fastener: Fastener, done: Tightening) -> Iterator[Finding]:
    """Nobody tells how sure an angle is, so behind a guard band it is not proved (decision 0021)."""
    window = fastener.specification.angle_window
    if done.angle_deg is None or window is None or done.rule == SIMPLE:
        return
    says = (
        f"the angle of {done.angle_deg:f}° lies inside {window[0]:f} … {window[1]:f}°, but how sure it is was not "
        f"told, so {done.rule} proves nothing of it."
    )
    yield Finding(
        rule="workshop_rules/not-proved",
        weight=Weight.CAUTION,
        about=subject_at(fastener, done.position),
        words=says,
        entry=done.noted.entry,
    )


def _proof(about: Subject, part: Part, done: Tightening, around: Around) -> Iterator[Finding]:
    entry, guard_factor = done.noted.entry, guard_factor_in(done.rule)
    if part.nm is None or part.expanded_nm is None:
        if _was_in_calibration(done, around):
            says = f"{part.what}not proved, for {part.not_proved or done.not_proved}. Where proof is wanted,"
            yield Finding(
                rule="workshop_rules/not-proved",
                weight=Weight.CAUTION,
                about=about,
                words=f"{says} use a wrench calibrated there.",
                entry=entry,
            )
    elif not provable(part.expanded_nm, part.lower_nm, part.upper_nm, guard_factor):
        weight = Weight.NOTE if done.rule == SIMPLE else Weight.CAUTION
        yield Finding(
            rule="workshop_rules/cannot-be-proved",
            weight=weight,
            about=about,
            words=f"{_never(part, done)}",
            entry=entry,
        )
    else:
        verdict = verdict_of(part.nm, part.expanded_nm, part.lower_nm, part.upper_nm, guard_factor)
        if verdict.word == IN_NOT_PROVED:
            likely = "" if verdict.probability is None else f", {likely_text(verdict.probability)}"
            reached = applied_text(part.nm, part.expanded_nm, part.lower_nm, part.upper_nm)
            both = part.lower_nm is not None and part.upper_nm is not None
            says = (
                f"{part.what}{reached} lies inside {'' if both else 'its limit, '}{part.limits}{likely}, but "
                f"{done.rule} does not prove it. Where proof is wanted, loosen it and tighten again further inside, or "
                "with a better wrench."
            )
            yield Finding(rule="workshop_rules/not-proved", weight=Weight.CAUTION, about=about, words=says, entry=entry)


def _never(part: Part, done: Tightening) -> str:
    """Simple acceptance asks for no proof, so it is told what proof would take."""
    known = f"for that is known to {spread_text(part.expanded_nm or Decimal(0))} only. {BETTER}"
    shows = f"nothing wrench {done.wrench} shows"
    if done.rule != SIMPLE:
        return f"{part.what}{shows} can prove it inside {part.limits} by {done.rule}, {known}"
    return (
        f"{part.what}by simple acceptance it is in; {shows} could prove it inside {part.limits} with a guard band of "
        f"1·U, {known}"
    )


def _was_in_calibration(done: Tightening, around: Around) -> bool:
    """Whether the wrench was to be trusted on the day; where it was not, a rule on wrenches says so."""
    wrench = around.wrenches.get(done.wrench)
    day = done.noted.happened_at.astimezone(around.settings.timezone).date()
    worn = done.cycles is not None and done.cycles >= around.settings.calibration_cycles
    return wrench is not None and not worn and not wrench.in_force(day).why_not
