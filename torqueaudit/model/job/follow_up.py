"""What was found on one job and is put right on the one that follows it."""

from collections.abc import Callable
from datetime import datetime
from typing import NamedTuple

from torqueaudit.model.job.facts import StepDone
from torqueaudit.model.job.record import Job
from torqueaudit.model.job.words import fault_text, measured_text
from torqueaudit.model.procedure.procedure import Step


def faults_found(job: Job) -> tuple[tuple[Step, StepDone], ...]:
    """Every look whose last answer is that a fault was found."""
    looks = [step for step in job.procedure.steps() if step.look]
    answers = [(step, done) for step in looks if (done := job.record.steps(step.key))]
    return tuple((step, done) for step, done in answers if done.answer == "no")


class Carried(NamedTuple):
    """A fault found, a disturbed mark or a value outside its limits, and since when."""

    says: str
    found_at: datetime


def carried_over(before: Job, to: Job, turned_since: Callable[[str, datetime], bool]) -> tuple[Carried, ...]:
    """The faults found, disturbed marks and values outside their limits, each a sentence; nothing of a withdrawn job.

    A job of some fasteners alone takes over what is of its own work. `turned_since`: whether another job turned a
    position after a moment, so that its mark is history.
    """
    if before.record.withdrawn:
        return ()
    own = {item.key for item in (to if to.record.only else before).procedure.work}
    taken = [(item, before.record.measured(item.key)) for item in before.procedure.measurements() if item.key in own]
    outside = [
        Carried(
            f"{item.name}: {measured_text(value, item.lower, item.upper)}; {item.written} is specified.",
            value.noted.happened_at,
        )
        for item, value in taken
        if value and value.inside is False
    ]
    faults = [
        Carried(f"{step.name}: {fault_text(step, done)}", done.noted.happened_at)
        for step, done in faults_found(before)
        if step.key in own
    ]
    marks = [
        Carried(f"{fastener.name_of(position)}: its witness mark is disturbed.", mark.noted.happened_at)
        for fastener in before.procedure.fasteners()
        for position in (fastener.positions if fastener.key in own else ())
        if (mark := before.record.current(position).disturbed) and not turned_since(position, mark.noted.happened_at)
    ]
    return (*faults, *marks, *outside)
