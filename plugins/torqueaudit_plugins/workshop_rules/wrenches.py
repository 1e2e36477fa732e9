"""May the wrench that was used be trusted, then and by what is known of it since?

rear axle nut: 201 N·m on wrench W-1, which reaches 20 … 200 N·m. Take one that reaches it.
"""

from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from decimal import Decimal
from typing import NamedTuple

from torqueaudit.model.around import Around
from torqueaudit.model.facts import Tightening
from torqueaudit.model.finding import Finding, Weight
from torqueaudit.model.job import Job
from torqueaudit.model.procedure import Fastener
from torqueaudit.model.specification import TORQUE
from torqueaudit.model.words import limits_text, torque_text
from torqueaudit.model.wrench import BOTH, Wrench, percent_text
from torqueaudit.model.wrench_doubt import doubt_of

NEAR_CYCLES = Decimal("0.95")  # of the cycles allowed: from there a calibration is due soon
SAME = Decimal("0.005")  # two torques that a scale cannot tell apart, as a share


class Use(NamedTuple):
    """The tightening that stands on one position, where it is final, and the wrench it was done with."""

    fastener: Fastener
    done: Tightening
    wrench: Wrench
    day: date

    @property
    def name(self) -> str:
        """The position in words."""
        return self.fastener.name_of(self.done.position)

    def finding(self, rule: str, weight: Weight, says: str) -> Finding:
        """What a rule says of this tightening."""
        return Finding(rule, weight, self.name, f"{self.name}: {says}", self.done.noted.entry)


def review_wrenches(job: Job, around: Around) -> Iterator[Finding]:
    """Of the tightenings that stand: one done again with another wrench is answered."""
    for fastener in job.procedure.fasteners():
        for position in fastener.positions:
            done = job.record.current(position).tightening
            if done is None or not done.final or not done.wrench:
                continue
            wrench = around.wrenches.get(done.wrench)
            if wrench is None:
                yield _unknown(fastener, done)
                continue
            day = done.noted.happened_at.astimezone(around.settings.timezone).date()
            use = Use(fastener, done, wrench, day)
            yield from _withdrawn(job, use)
            yield from _in_calibration(use)
            yield from _cycles(use, around)
            yield from _reach(use)
            yield from _direction(use)
            yield from _adapter(use)
            yield from _found_out(job, use)
    if job.record.hand_over is None and not job.record.withdrawn:
        yield from _due_soon(job, around)


def _unknown(fastener: Fastener, done: Tightening) -> Finding:
    name = fastener.name_of(done.position)
    says = f"{name}: nobody knows wrench {done.wrench}. Tighten with one that the book knows."
    return Finding("wrench-unknown", Weight.STOP, name, says, done.noted.entry)


def _withdrawn(job: Job, use: Use) -> Iterator[Finding]:
    if use.wrench.withdrawn:
        says = (
            f"wrench {use.wrench.number} was withdrawn since ({use.wrench.withdrawn}). Tighten with another "
            "one, or have the foreman judge what it did."
        )
        yield use.finding("wrench-withdrawn", Weight.NOTE if job.record.hand_over else Weight.STOP, says)


def _in_calibration(use: Use) -> Iterator[Finding]:
    """By date, as of the day of the work."""
    wrench, in_force = use.wrench, use.wrench.in_force(use.day)
    if in_force.why_not and in_force.due_on is None:
        says = f"nothing shows that wrench {wrench.number} is in calibration. Enter its calibration, or take another."
        yield use.finding("wrench-not-calibrated", Weight.CAUTION, says)
    elif in_force.why_not:
        yield use.finding("wrench-overdue", Weight.STOP, f"{in_force.why_not}. Tighten with one that is in.")


def _cycles(use: Use, around: Around) -> Iterator[Finding]:
    """By use, as counted then: silent where a calibration was told since that the count did not know of."""
    allowed, counted = around.settings.calibration_cycles, use.done.cycles
    calibration = use.wrench.calibrated_before(use.day)
    told_since = calibration is not None and calibration.entry > use.done.noted.entry
    if counted is not None and counted >= allowed and not told_since:
        says = (
            f"wrench {use.wrench.number} had done at least {counted} cycles since its calibration; {allowed} are "
            "allowed. Tighten with one that is in."
        )
        yield use.finding("wrench-worn", Weight.STOP, says)


def _reach(use: Use) -> Iterator[Finding]:
    """What is held against the wrench's range is its setting or reading, not the torque behind an adapter."""
    wrench, shown_nm = use.wrench, use.done.shown_nm
    if shown_nm is None or wrench.min_nm is None or wrench.max_nm is None:
        return
    if not wrench.min_nm <= shown_nm <= wrench.max_nm:
        reach = f"{torque_text(wrench.min_nm, bare=True)} … {torque_text(wrench.max_nm)}"
        says = f"{use.done.shown} on wrench {wrench.number}, which reaches {reach}. Take one that reaches it."
        yield use.finding("wrench-out-of-range", Weight.STOP, says)


def _direction(use: Use) -> Iterator[Finding]:
    side, wrench = use.fastener.direction, use.wrench
    if wrench.direction not in (BOTH, side):
        says = (
            f"a {side}-hand thread, and wrench {wrench.number} measures to the {wrench.direction} only. Tighten with "
            f"one that measures to the {side}."
        )
        yield use.finding("wrench-wrong-direction", Weight.STOP, says)


def _adapter(use: Use) -> Iterator[Finding]:
    """An adapter corrected for although the wrench was calibrated with one fitted, or a correction forgotten."""
    calibration = use.wrench.in_force(use.day).calibration
    adapter = calibration.adapter if calibration else None
    fitted = [each["attributes"] for each in use.done.fitted if adapter and each["kind"] == adapter.kind]
    if adapter and fitted and any(_same(adapter.attributes, each) for each in fitted):
        says = (
            f"wrench {use.wrench.number} was calibrated with this adapter fitted, and it was corrected for again. Ask "
            "for the setting without the adapter, and tighten again."
        )
        yield use.finding("adapter-corrected-twice", Weight.STOP, says)
    elif fitted:
        says = (
            f"wrench {use.wrench.number} was calibrated with another adapter fitted, so nothing is known of it with "
            "this one. Take another wrench, and tighten again."
        )
        yield use.finding("adapter-not-calibrated", Weight.STOP, says)
    elif _forgotten(use):
        says = (
            f"{use.done.shown} was set with an adapter, as is specified without one, so {_applied(use.done)} reached "
            "it. Was the correction forgotten? `torqueaudit setting` gives the setting."
        )
        yield use.finding("adapter-not-corrected", Weight.CAUTION, says)


def _same(fitted: Mapping[str, str], other: Mapping[str, str]) -> bool:
    """Whether two adapters are of one length and angle, however these were written."""
    names = ("length_mm", "angle_deg")
    return [_number(fitted.get(name)) for name in names] == [_number(other.get(name)) for name in names]


def _number(text: str | None) -> Decimal | None:
    return None if text is None else Decimal(text.replace(",", "."))


def _forgotten(use: Use) -> bool:
    done, nominal_nm = use.done, use.fastener.specification.nominal_nm
    if nominal_nm is None or done.shown_nm is None or abs(done.corrected_by - 1) <= SAME:
        return False
    return abs(done.shown_nm - nominal_nm) <= SAME * nominal_nm


def _applied(done: Tightening) -> str:
    return torque_text(done.applied_nm) if done.applied_nm is not None else "another torque"


def _found_out(job: Job, use: Use) -> Iterator[Finding]:
    """The look after the pass found the wrench outside its permissible deviation: what it did is judged again."""
    specification = use.fastener.specification
    doubt = doubt_of(use.wrench, use.day, use.done) if specification.method == TORQUE else None
    if doubt is None:
        return
    found = (
        f"wrench {use.wrench.number} was found out at its {doubt.look.what} on {doubt.look.on} "
        f"({percent_text(doubt.deviation)} at this setting), so {torque_text(doubt.applied_nm)} reached it"
    )
    limits = limits_text(use.done.lower_nm, use.done.upper_nm)
    if doubt.inside:
        yield use.finding("wrench-found-out", Weight.NOTE, f"{found}; that is still inside {limits}.")
    else:
        act = "Call the vehicle back, loosen" if job.record.hand_over else "Loosen"
        says = f"{found}; {limits} is specified. {act} it and tighten again with another wrench."
        yield use.finding("wrench-found-out", Weight.STOP, says)


def _due_soon(job: Job, around: Around) -> Iterator[Finding]:
    """Of every wrench the job has used, while it is still here."""
    allowed, soon = around.settings.calibration_cycles, timedelta(days=around.settings.wrench_due_soon_days)
    used = {done.wrench: done for done in job.record.of(Tightening) if done.wrench in around.wrenches}
    for number, done in sorted(used.items()):
        wrench = around.wrenches[number]
        cycles, left = around.cycles.get(number, 0), wrench.due - around.today if wrench.due else None
        if wrench.withdrawn:
            continue
        if left is not None and timedelta(0) <= left <= soon:
            says = f"wrench {number}: its calibration ends on {wrench.due}. Send it to be calibrated in time."
            yield Finding("wrench-due-soon", Weight.NOTE, f"wrench {number}", says, done.noted.entry)
        elif NEAR_CYCLES * allowed <= cycles < allowed:
            says = f"wrench {number}: at least {cycles} of {allowed} cycles are done. Send it to be calibrated in time."
            yield Finding("wrench-due-soon", Weight.NOTE, f"wrench {number}", says, done.noted.entry)
