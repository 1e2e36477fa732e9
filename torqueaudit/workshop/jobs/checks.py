"""The second person's look at a fastener."""

from datetime import timedelta

from torqueaudit.ledger.entry import Draft, Entry
from torqueaudit.ledger.words import FreeWords
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.facts import CheckMethod, MarkState
from torqueaudit.model.register.permits import ActName
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.fasteners import standing
from torqueaudit.workshop.jobs.job import fastener_of, live_record
from torqueaudit.workshop.vehicles.visits import arrival

LEAST_APART = timedelta(minutes=30)  # of one's own work and a second look at it; ours, no source


def check(workshop: Workshop, job: str, key: str, method: CheckMethod, why: str, say: Say) -> list[Entry]:
    """Record the independent check of what stands on a fastener.

    Raises Refused when it is not tightened, when the checker had a hand in it, or when a self re-inspection gives no
    reason.
    """
    if method is CheckMethod.SELF and not why.strip():
        raise Refused("a self re-inspection says why nobody else could look")
    said = {"method": method.value, **({"why": FreeWords(why)} if why else {})}

    def build(attempt: Attempt) -> list[Draft]:
        of = live_record(attempt, job)
        _, positions = fastener_of(workshop, of, key)
        drafts = arrival(attempt, of.vehicle, look=True)
        for position in positions:
            done = standing(of, position, attempt.happened_at)
            if method is not CheckMethod.SELF and say.by in of.hands_on(position):
                raise Refused(
                    f"{position}: {say.by} had a hand in it, and nobody checks their own work; somebody else looks"
                )
            if method is CheckMethod.SELF and attempt.happened_at - done.noted.happened_at < LEAST_APART:
                raise Refused(
                    f"{position}: tightened less than {LEAST_APART.seconds // 60} minutes ago; whoever looks again at "
                    "their own work does so with fresh eyes, later"
                )
            if method is CheckMethod.MARK_SEEN and of.current(position).mark_state is not MarkState.INTACT:
                raise Refused(f"{position}: no whole mark is recorded, so none was seen; mark it first")
            drafts.append(
                attempt.draft(f"job/{job}", "checked.2", {"position": position, **said}, {"of": done.noted.entry})
            )
        return drafts

    return record(workshop, say, ActName.CHECK, f"job/{job}/{key}", said, build)
