"""The last act of a job is taken back, before anybody has built on it: a strike of each of its entries, in one act."""

from collections.abc import Sequence
from datetime import timedelta

from torqueaudit.ledger.entry import Draft, Entry, moment_of
from torqueaudit.ledger.words import FreeWords
from torqueaudit.model.act import Refused, Say, See, Topic
from torqueaudit.model.job.built_on import built_on
from torqueaudit.model.job.facts import (
    Check,
    Concession,
    Fact,
    Logged,
    Loosening,
    MarkSeen,
    Measured,
    PartFitted,
    PhotoErased,
    Photographed,
    Release,
    StepDone,
    Tightening,
)
from torqueaudit.model.job.photo import ERASED as PHOTO_ERASED
from torqueaudit.model.job.record import JobRecord
from torqueaudit.model.job.road import (
    DayAsked,
    HandOver,
    Recheck,
    RecheckAnswered,
    RecheckPostponed,
    RecheckReferred,
    RecheckRefused,
    Ride,
)
from torqueaudit.model.judged.unsigned import worked_on
from torqueaudit.model.procedure.procedure import Procedure
from torqueaudit.model.register.permits import ActName, acts_of
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.job import live_record

REMINDED = "reminded"
SHIFT = timedelta(hours=12)  # what lies longer back is known by its number better than as the last one
AT_ONCE = "taken back at once"

_DONE: dict[type[Fact], str] = {
    Tightening: "tightened {}",
    Logged: "read a log that names {}",
    Loosening: "loosened {}",
    MarkSeen: "looked at the mark of {}",
    Check: "checked {}",
    Measured: "measured {}",
    StepDone: "answered {}",
    PartFitted: "fitted {}",
    Concession: "granted a concession for it",
    Release: "released the job",
    HandOver: "handed the vehicle over",
    DayAsked: "asked for a day",
    Ride: "reported a ride",
    Recheck: "concluded the re-check",
    RecheckPostponed: "put the re-check off",
    RecheckRefused: "recorded that the owner refuses the re-check",
    RecheckReferred: "handed the re-check to another workshop",
    RecheckAnswered: "recorded what another workshop found",
    Photographed: "photographed the work",
    PhotoErased: "erased a photo",
}


def undo(workshop: Workshop, job: str, why: str, say: Say, seen: str = "") -> list[Entry]:
    """Take back the last act that somebody told of a job, a whole group as one; a foreman takes back anybody's.

    With `seen`, the id of the act that a page showed, no other one is taken back. Raises Refused where there is none or
    another one, where it was told more than a shift ago, and where somebody has built on it. The arrival of the vehicle
    that an act told as well is another fact, and stays.
    """
    said = {"why": FreeWords(why.strip() or AT_ONCE)}

    def build(attempt: Attempt) -> list[Draft]:
        last = _to_take_back(attempt, job, seen)
        words = {**said, "undone": True}
        return [
            attempt.draft(each.subject, "struck.2", {**words, "entry": each.sequence}, {"kind": each.kind})
            for each in last
        ]

    return record(workshop, say, ActName.UNDO, f"job/{job}", said, build)


def last_act(workshop: Workshop, job: str, by: str) -> Sequence[Entry]:
    """The entries of the act that `undo` would take back for a person now. Raises Refused where it takes none."""
    return _to_take_back(Attempt(workshop, Say(by)), job)


def _to_take_back(attempt: Attempt, job: str, seen: str = "") -> Sequence[Entry]:
    of = live_record(attempt, job)
    last = _last_act(attempt, of)
    if seen and last[0].act != seen:
        says = "is not what the page showed, which somebody else told, or which was recorded since"
        raise Refused(f"job {job}: your last act {says}; look at it again")
    _require_recent(attempt.workshop, job, last[0])
    _require_bare(attempt.workshop, of, last)
    return last


def _last_act(attempt: Attempt, of: JobRecord) -> Sequence[Entry]:
    """What still stands of the last act. Raises Refused where nothing is left, and where it was a strike.

    The opening alone is one where nothing was ever told behind it: to withdraw a job takes more than one word too many.
    """
    opening, *entries = attempt.entries(f"job/{of.number}")
    gone = {number for each in of.strikes for number in (each.entry, *([each.noted.entry] if each.undone else []))}
    told = [each for each in entries if each.what != REMINDED]  # what was sent is sent
    left = [each for each in told or [opening] if each.sequence not in gone]
    anybodys = ActName.UNDO_ANOTHERS in acts_of(attempt.person())
    own = [each for each in left if anybodys or each.who == attempt.say.by]
    if own and own[-1].what == "struck":
        says = f"job {of.number}: the last act of {own[-1].who} was to strike an entry (#{own[-1].sequence})"
        raise Refused(f"{says}, and no strike is taken back; say the fact again instead")
    if own and own[-1].kind == PHOTO_ERASED:
        says = f"job {of.number}: the last act of {own[-1].who} was to erase a photo (#{own[-1].sequence})"
        raise Refused(f"{says}, which does not come back; take one anew instead")
    if left and not own:
        attempt.permit(ActName.UNDO_ANOTHERS)
    if not own:
        says = f"job {of.number}: nothing on it is left to be taken back but its opening"
        raise Refused(says, See(Topic.STRIKING, f"{of.number} {opening.sequence}"))
    return [each for each in left if each.act == own[-1].act]


def _require_recent(workshop: Workshop, job: str, entry: Entry) -> None:
    told = moment_of(entry.recorded_at)
    if workshop.clock() - told > SHIFT:
        when = told.astimezone(workshop.settings.timezone)
        says = f"what is older than {SHIFT // timedelta(hours=1)} hours is not taken back at once"
        raise Refused(
            f"job {job}: #{entry.sequence} was told on {when:%Y-%m-%d at %H:%M}, and {says}",
            See(Topic.STRIKING, f"{job} {entry.sequence}"),
        )


def _require_bare(workshop: Workshop, of: JobRecord, act: Sequence[Entry]) -> None:
    later = built_on(of, [entry.sequence for entry in act])
    if later:
        done = _done(workshop.procedure_of(of), later)
        raise Refused(
            f"job {of.number}: {later.noted.by} has {done} since (#{later.noted.entry}), and what others built on is "
            "not taken back at once",
            See(Topic.STRIKING, f"{of.number} {act[0].sequence}"),
        )


def _done(procedure: Procedure, fact: Fact) -> str:
    if isinstance(fact, Tightening | Logged | Loosening | MarkSeen | Check | Measured | PartFitted | StepDone):
        return _DONE[type(fact)].format(worked_on(procedure, fact).text)
    return _DONE[type(fact)]
