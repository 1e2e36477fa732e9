"""A vehicle that will not come back: nobody is called about it, unless a stop stands of which nobody has said so."""

from typing import Any

from torqueaudit.ledger.entry import Draft, Entry
from torqueaudit.ledger.words import FreeWords
from torqueaudit.model.act import Refused, Say, See, Topic
from torqueaudit.model.job.noted import plain_key
from torqueaudit.model.judged.finding import Finding
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.vehicle.vehicle import GONE, fold_vehicle, standing_events
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.judged.review import PLUGIN_BROKEN, judge, stops
from torqueaudit.workshop.vehicles.present import live_jobs
from torqueaudit.workshop.vehicles.visits import presence_of


def gone(workshop: Workshop, vehicle: str, why: str, say: Say) -> None:
    """Record that a vehicle will not come back: nobody is called about it any more. It may arrive all the same.

    Raises Refused without a reason, for one that is here, for one that is gone already, and while a stop stands of
    which nobody has said that they are sure: somebody rides it, wherever it went.
    """
    if not why.strip():
        raise Refused(f"{vehicle}: say why it will not come back")
    said = {"why": FreeWords(why)}

    def build(attempt: Attempt) -> list[Draft]:
        attempt.vehicle(vehicle)
        presence, standing = presence_of(attempt, vehicle), _standing(attempt, vehicle)
        told = said_with(workshop, vehicle) if presence.gone else []
        fresh = [finding for job, finding in standing if stop_of(job, finding) not in told]
        if presence.here or (presence.gone and not fresh):
            raise Refused(f"{vehicle} is {'here; hand it over first' if presence.here else 'gone for good already'}")
        if fresh and not say.sure:
            says = "; ".join(dict.fromkeys(finding.says.rstrip(".") for finding in fresh))
            raise Refused(f"{vehicle}: a stop stands: {says}. Reach whoever rides it first", See(Topic.GONE_WITH_STOPS))
        judged = {"stops": [stop_of(job, finding) for job, finding in standing]} if standing else {}
        return [attempt.draft(f"vehicle/{vehicle}", "gone.1", said, judged)]

    record(workshop, say, ActName.GONE, f"vehicle/{vehicle}", said, build)


def said_with(workshop: Workshop, vehicle: str) -> list[dict[str, Any]]:
    """The stops that stood when a vehicle was last said to be gone, by whoever was sure of it."""
    said = said_gone(workshop, vehicle)
    return list(said[-1].judged.get("stops", ())) if said else []


def said_gone(workshop: Workshop, vehicle: str) -> list[Entry]:
    """The entries that say of a vehicle that it is gone, those that were struck left out; the last one last."""
    entries = workshop.book.entries(f"vehicle/{vehicle}")
    events = standing_events(fold_vehicle(entries), entries)
    return sorted((each for each in events if each.what == GONE), key=lambda each: (each.happened_at, each.sequence))


def stop_of(job: str, finding: Finding) -> dict[str, Any]:
    """A stop of a job, as the entry holds it that says that its vehicle is gone."""
    return {"job": job, **plain_key(finding.key)}


def _standing(attempt: Attempt, vehicle: str) -> list[tuple[str, Finding]]:
    """The stops that stand on a vehicle, each with its job. A broken plugin is told elsewhere."""
    found = []
    for row in live_jobs(attempt.workshop, vehicle):
        attempt.entries(f"job/{row.job}")
        standing = stops(judge(attempt.workshop, attempt.workshop.record(str(row.job))))
        found += [(str(row.job), finding) for finding in standing if finding.rule != PLUGIN_BROKEN]
    return found
