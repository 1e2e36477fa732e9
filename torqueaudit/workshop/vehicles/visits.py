"""A vehicle arrives, and is asked for by whatever is done on it at the bench."""

from torqueaudit.book import vehicle_queries
from torqueaudit.ledger.entry import Draft, stamp
from torqueaudit.model.act import Refused, Say, See, Topic
from torqueaudit.model.register.permits import OWNER, ActName
from torqueaudit.model.vehicle.instrument import Run, told_as
from torqueaudit.model.vehicle.visits import Presence
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.vehicles.odometer import require_read


def arrive(workshop: Workshop, vehicle: str, run: Run | None, say: Say) -> None:
    """Record that a vehicle came in, with what its instrument shows.

    Raises Refused for one that is here, and for what the instrument cannot show.
    """
    said = told_as(run)

    def build(attempt: Attempt) -> list[Draft]:
        attempt.vehicle(vehicle)
        if (presence := presence_of(attempt, vehicle)).here and presence.since:
            since = presence.since.astimezone(workshop.settings.timezone)
            raise Refused(f"{vehicle} is here already, since {since:%Y-%m-%d %H:%M}")
        require_read(attempt, vehicle, run)
        return [attempt.draft(f"vehicle/{vehicle}", "arrived.1", said)]

    record(workshop, say, ActName.ARRIVE, f"vehicle/{vehicle}", said, build)


def arrival(attempt: Attempt, vehicle: str, *, look: bool = False) -> list[Draft]:
    """The entry that a vehicle is here again, where it was away at the moment of an act at the bench; else nothing.

    A `look` is taken without asking: who saw it had it before them. Raises Refused where something is done on a vehicle
    that is away, and whoever says so does not say that it is here.
    """
    presence = presence_of(attempt, vehicle)
    if presence.here or presence.since is None or attempt.say.by == OWNER:
        return []
    if not (look or attempt.say.here):
        left = presence.since.astimezone(attempt.workshop.settings.timezone)
        raise Refused(f"{vehicle} left on {left:%Y-%m-%d at %H:%M}", See(Topic.ARRIVAL, vehicle))
    attempt.entries(f"vehicle/{vehicle}")
    return [attempt.draft(f"vehicle/{vehicle}", "arrived.1", {})]


def presence_of(attempt: Attempt, vehicle: str) -> Presence:
    """Whether a vehicle was here at the moment an act happened."""
    return vehicle_queries.presence_at(attempt.workshop.book, vehicle, stamp(attempt.happened_at))
