"""What a re-check finds and may not turn: it is done on a job that follows, of those fasteners alone.

It may turn what its plan names under `torques`. A disturbed mark wants the fastener loosened, which no plan lets it do.
"""

from typing import NamedTuple

from torqueaudit.model.act import See, Topic
from torqueaudit.model.job.facts import Loosening, MarkState, Outcome, Tightening
from torqueaudit.model.job.record import Job
from torqueaudit.model.judged.around import Around
from torqueaudit.model.judged.next import Next
from torqueaudit.model.procedure.procedure import Fastener
from torqueaudit.model.register.permits import ActName


class Following(NamedTuple):
    """On which job a fastener is done: the words that end a sentence on it, what they refer to, and the act."""

    words: str
    see: See | None = None
    answer: Next | None = None


def is_at_recheck(job: Job) -> bool:
    """Whether what is done on a job now is its re-check and no more its work: the vehicle left, and one is planned."""
    return job.record.hand_over is not None and job.procedure.recheck is not None


def may_turn(job: Job, fastener: Fastener) -> bool:
    """Whether a fastener may be turned on its job: while the work lasts, and then where its re-check plans that."""
    plan = job.procedure.recheck
    return not is_at_recheck(job) or (plan is not None and fastener.key in plan.torques)


def turned_since_it_left(job: Job, position: str) -> Tightening | Loosening | None:
    """The last time a fastener was turned on its job since the vehicle left; a click alone turned nothing."""
    left = job.record.hand_over
    turned = [
        event
        for event in job.record.events(position)
        if left and event.noted.order > left.noted.order
        if isinstance(event, Loosening) or event.outcome is not Outcome.CLICKED_ONLY
    ]
    return turned[-1] if turned else None


def on_a_job_that_follows(job: Job, around: Around, key: str) -> Following:
    """Where a fastener of this key is done that its re-check may not turn: on one that is open, or that is to be."""
    if number := taken_up_by(around, key):
        return Following(f" on job {number}, which follows.")
    keys = beyond_recheck(job, around)
    if key not in keys:
        return Following(" on a job that follows.")
    return Following(" on a job that follows", See(Topic.FOLLOW_UP, job.number, keys), Next(ActName.OPEN, key))


def taken_up_by(around: Around, key: str) -> str:
    """The job of some fasteners alone that follows, has this work and is not released yet, "" where none is."""
    taken = [each.job for each in around.followed_by if key in each.work and each.released_at is None]
    return taken[-1] if taken else ""


def beyond_recheck(job: Job, around: Around) -> tuple[str, ...]:
    """The fasteners found on a vehicle that is here, to be done on a job that is not open yet, in their order."""
    if not (is_at_recheck(job) and around.presence.here) or job.record.withdrawn:
        return ()
    found = [
        fastener.key
        for fastener in job.procedure.fasteners()
        if any(_is_beyond(job, around, fastener, position) for position in fastener.positions)
    ]
    return tuple(key for key in found if not taken_up_by(around, key))


def _is_beyond(job: Job, around: Around, fastener: Fastener, position: str) -> bool:
    """Whether its mark is disturbed, or it was turned without being planned, and no later job has done it since."""
    now = job.record.current(position)
    turned = turned_since_it_left(job, position) and not may_turn(job, fastener)
    done = now.tightening or now.loosening
    if done is None or not (turned or now.mark_state is MarkState.DISTURBED):
        return False
    later = around.undone(position, done.noted.happened_at)
    return later is None or not later.job
