"""What was found on one job and is put right on the one that follows it."""

from torqueaudit.model.facts import StepDone
from torqueaudit.model.job import Job
from torqueaudit.model.procedure import Step
from torqueaudit.model.words import fault_text, measured_text


def faults_found(job: Job) -> tuple[tuple[Step, StepDone], ...]:
    """Every look whose last answer is that a fault was found."""
    looks = [step for step in job.procedure.steps() if step.look]
    answers = [(step, done) for step in looks if (done := job.record.steps(step.key))]
    return tuple((step, done) for step, done in answers if done.answer == "no")


def carried_over(before: Job) -> tuple[str, ...]:
    """The faults found and the values outside their limits, each a sentence; nothing of a withdrawn job."""
    if before.record.withdrawn:
        return ()
    taken = [(item, before.record.measured(item.key)) for item in before.procedure.measurements()]
    outside = [
        f"{item.name}: {measured_text(value)}; {item.written} is specified."
        for item, value in taken
        if value and value.inside is False
    ]
    return (*(fault_text(step, done) for step, done in faults_found(before)), *outside)
