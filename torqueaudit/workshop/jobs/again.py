"""What was told within minutes is asked back: was it done again, or is it the same one, told twice? Decision 0068."""

from collections.abc import Sequence

from torqueaudit.ledger.entry import Draft
from torqueaudit.model.act import Refused, See, Topic
from torqueaudit.model.job.facts import Tightening
from torqueaudit.model.job.record import JobRecord
from torqueaudit.model.job.repeated import Told, is_confirmed, told_already
from torqueaudit.model.judged.sentences import bolts_together
from torqueaudit.model.judged.unsigned import worked_on
from torqueaudit.model.procedure.procedure import Procedure
from torqueaudit.workshop.door.attempt import SLACK, Attempt

# As far as a clock or a memory may be off: two tellings nearer than that cannot be told apart by their times.
WITHIN = SLACK


def require_new(attempt: Attempt, of: JobRecord, procedure: Procedure, drafts: Sequence[Draft]) -> None:
    """Refuse an act of which everything was told within minutes, unless whoever says it says that it was done again.

    A group is asked back as one, where one act told all of it: to go round once more is another thing than each bolt.
    """
    own = [draft for draft in drafts if draft.subject == f"job/{of.number}"]
    if attempt.say.again or all(map(is_confirmed, own)):
        return
    found = [fact for draft in own if (fact := told_already(of, draft, WITHIN))]
    if len(found) == len(own) and len(_acts(attempt, of, found)) == 1:
        raise Refused(_asked(attempt, procedure, found), See(Topic.AGAIN))


def _acts(attempt: Attempt, of: JobRecord, found: Sequence[Told]) -> set[str]:
    """The acts that told these facts."""
    told = {fact.noted.entry for fact in found}
    return {entry.act for entry in attempt.entries(f"job/{of.number}") if entry.sequence in told}


def _asked(attempt: Attempt, procedure: Procedure, found: Sequence[Told]) -> str:
    last = max((fact.noted for fact in found), key=lambda noted: noted.order)
    when = last.happened_at.astimezone(attempt.workshop.settings.timezone)
    fastener = procedure.fastener_at(found[0].position) if isinstance(found[0], Tightening) else None
    positions = [fact.position for fact in found if isinstance(fact, Tightening)]
    named = bolts_together(fastener, positions) if fastener else worked_on(procedure, found[0]).text
    return (
        f"{named}: {last.by} told the same at {when:%H:%M} (#{last.entry}). Was it done again, or is it the same one?"
    )
