"""Facts withdrawn: nothing is erased, a strike says why an earlier fact no longer counts."""

from torqueaudit.ledger.entry import Draft, Entry
from torqueaudit.ledger.words import FreeWords
from torqueaudit.model.act import Refused, Say, See, Topic
from torqueaudit.model.job.photo import ERASED as PHOTO_ERASED
from torqueaudit.model.job.record import JobState
from torqueaudit.model.register.permits import ActName
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.job import live_record

RELIED_ON = ("released", "conceded")


def strike(workshop: Workshop, job: str, entry: int, why: str, say: Say) -> list[Entry]:
    """Withdraw one fact of a job; striking its opening withdraws the job.

    Raises Refused without a reason, for an entry that is not this job's, struck already, or itself a strike, and for a
    release or concession struck by anybody but a foreman, as all else once the job is released or the vehicle left
    (decision 0007).
    """
    if not why.strip():
        raise Refused(f"entry {entry}: say why it is struck")
    said = {"entry": entry, "why": FreeWords(why)}

    def build(attempt: Attempt) -> list[Draft]:
        of = live_record(attempt, job)
        target = next((each for each in attempt.entries(f"job/{job}") if each.sequence == entry), None)
        if target is None:
            raise Refused(f"entry {entry} is not one of job {job}", See(Topic.ENTRIES_OF_JOB, job))
        if target.what == "struck":
            raise Refused(f"entry {entry} is itself a strike; say the fact again instead")
        if target.kind == PHOTO_ERASED:
            raise Refused(f"entry {entry} erased a photo, which does not come back; take one anew instead")
        if any(done.entry == entry for done in of.strikes):
            raise Refused(f"entry {entry} is struck already")
        if target.what in RELIED_ON or of.state is not JobState.OPEN:
            attempt.permit(ActName.STRIKE_RELIED_ON)
        return [attempt.draft(f"job/{job}", "struck.2", said, {"kind": target.kind})]

    return record(workshop, say, ActName.STRIKE, f"job/{job}", said, build)
