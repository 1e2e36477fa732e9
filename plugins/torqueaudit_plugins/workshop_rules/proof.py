"""Does what the wrench showed prove that a fastener lies inside its limits?

rear axle nut: 116 N·m ± 5.4 N·m lies inside 97.2 … 118.8 N·m, 85.2 % likely inside, but guard band 1·U does not prove
it. Where proof is wanted, loosen it and tighten again further inside, or with a better wrench.
"""

from collections.abc import Iterator

from torqueaudit.model.around import Around
from torqueaudit.model.facts import Tightening
from torqueaudit.model.finding import Finding, Weight
from torqueaudit.model.job import Job
from torqueaudit.model.verdict import IN, IN_NOT_PROVED, guard_factor_in, provable
from torqueaudit.model.words import applied_text, likely_text, limits_text, torque_text


def review_proof(job: Job, around: Around) -> Iterator[Finding]:
    """In but not proved so, and what no reading of this wrench could prove; what lies outside is a stop elsewhere."""
    for fastener in job.procedure.fasteners():
        for position in fastener.positions:
            done = job.record.current(position).tightening
            if done and done.verdict in {IN, IN_NOT_PROVED}:
                yield from _proof(fastener.name_of(position), done, around)


def _proof(name: str, done: Tightening, around: Around) -> Iterator[Finding]:
    if done.applied_nm is None or done.expanded_nm is None:
        if _was_in_calibration(done, around):
            says = f"{name}: not proved, for {done.not_proved}. Where proof is wanted, use a wrench calibrated there."
            yield Finding("not-proved", Weight.CAUTION, name, says, done.noted.entry)
        return
    guard_factor = guard_factor_in(done.rule)
    if not provable(done.expanded_nm, done.lower_nm, done.upper_nm, guard_factor):
        says = (
            f"{name}: nothing wrench {done.wrench} shows can prove it inside {_limits(done)}, for its torque is known "
            f"to ± {torque_text(done.expanded_nm)} only. Where proof is wanted, take a better wrench."
        )
        weight = Weight.CAUTION if guard_factor else Weight.NOTE
        yield Finding("cannot-be-proved", weight, name, says, done.noted.entry)
    elif done.verdict == IN_NOT_PROVED:
        says = (
            f"{name}: {applied_text(done.applied_nm, done.expanded_nm)} lies inside {_limits(done)}{_likely(done)}, "
            f"but {done.rule} does not prove it. Where proof is wanted, loosen it and tighten again further inside, or "
            "with a better wrench."
        )
        yield Finding("not-proved", Weight.CAUTION, name, says, done.noted.entry)


def _was_in_calibration(done: Tightening, around: Around) -> bool:
    """Whether the wrench was to be trusted on the day; where it was not, a rule on wrenches says so."""
    wrench = around.wrenches.get(done.wrench)
    day = done.noted.happened_at.astimezone(around.settings.timezone).date()
    worn = done.cycles is not None and done.cycles >= around.settings.calibration_cycles
    return wrench is not None and not worn and not wrench.in_force(day).why_not


def _limits(done: Tightening) -> str:
    return limits_text(done.lower_nm, done.upper_nm)


def _likely(done: Tightening) -> str:
    return "" if done.probability is None else f", {likely_text(done.probability)}"
