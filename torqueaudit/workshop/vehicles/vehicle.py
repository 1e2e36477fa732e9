"""Vehicles entered, and what anybody reports of one outside a job."""

from collections.abc import Mapping, Sequence
from typing import Any

from torqueaudit.book import queries, vehicle_queries
from torqueaudit.ledger.entry import Draft
from torqueaudit.ledger.words import FreeWords
from torqueaudit.model.act import BY_LABEL, Refused, Say
from torqueaudit.model.nearest import did_you_mean, letters_of
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.vehicle.acts import NewVehicle
from torqueaudit.model.vehicle.instrument import Instrument
from torqueaudit.model.vehicle.vehicle import REPORTED
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.numbers import enter
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.vehicles.known import KnownVehicles
from torqueaudit.workshop.vehicles.tag import require_nameless, require_nobody_known
from torqueaudit.workshop.vehicles.visits import presence_of


def add_vehicle(
    workshop: Workshop,
    tag: str,
    model: str,
    year: int | None,
    personal: Mapping[str, str],
    say: Say,
    instrument: Instrument = Instrument.KM,
) -> str:
    """Enter a vehicle; returns its number. Plate, frame number and owner's contact stay outside the ledger.

    Raises Refused for a tag that names somebody, and for a plate or a frame number that another vehicle has.
    """
    new = NewVehicle(tag, model, year, instrument)
    require_told(new)

    def judged(attempt: Attempt) -> Mapping[str, Any]:
        require_new(attempt, new, personal, KnownVehicles.like(workshop, personal))
        return {}

    return enter(workshop, "vehicle", "V", new.said, personal, say, judged)


def require_told(new: NewVehicle) -> None:
    """Refuse a vehicle without a tag or a model."""
    if not new.tag.strip() or not new.model.strip():
        raise Refused("a vehicle has a tag (what people call it) and a model")


def require_new(attempt: Attempt, new: NewVehicle, personal: Mapping[str, str], known: KnownVehicles) -> None:
    """Refuse a tag that names somebody, and a plate or a frame number that another vehicle has."""
    require_nobody_known(attempt.workshop, new.tag, new.model)
    require_nameless(new.tag, new.model, personal)
    known.require_own(personal)


def called_alike(workshop: Workshop, number: str) -> list[str]:
    """The other vehicles of the very same tag, so that whoever reads it takes the wrong one."""
    tags = {row.vehicle: letters_of(row.tag or "") for row in queries.vehicles(workshop.book)}
    return [other for other, tag in tags.items() if other != number and tag == tags[number]]


def report_loosened(workshop: Workshop, vehicle: str, position: str, why: str, say: Say) -> int:
    """Record anyone's report that a fastener of a vehicle was undone outside a job; returns its entry."""
    if not why.strip():
        raise Refused(f"{position}: say who reported it by number or trade, and why it was loosened")
    said = {"position": position, "why": FreeWords(why)}

    def build(attempt: Attempt) -> list[Draft]:
        attempt.vehicle(vehicle)
        known = {event.position for event in vehicle_queries.later_events(workshop.book, vehicle)}
        if position not in known:
            has = f"it has {', '.join(sorted(known)) or 'no fasteners yet'}"
            raise Refused(f"{position}: no job of {vehicle} knows it; {did_you_mean(position, known, has)}")
        return [attempt.draft(f"vehicle/{vehicle}", "loosened.2", said)]

    return record(workshop, say, ActName.REPORT_LOOSENED, f"vehicle/{vehicle}", said, build)[0].sequence


def report_all_loosened(workshop: Workshop, vehicle: str, positions: Sequence[str], why: str, say: Say) -> None:
    """Record that somebody undid several fasteners of a vehicle, or may have. What is told already stands as it is.

    Raises Refused where nothing of it is new, and for a label's word of a vehicle that stands in the workshop: what was
    tightened at the bench would be undone by whoever walks past.
    """
    said = {"of": list(positions), "why": FreeWords(why)}

    def build(attempt: Attempt) -> list[Draft]:
        attempt.entries(f"vehicle/{vehicle}")
        if attempt.say.came == BY_LABEL and presence_of(attempt, vehicle).here:
            raise Refused("it is in the workshop; tell whoever works on it")
        last = {event.position: event for event in vehicle_queries.later_events(workshop.book, vehicle)}
        new = [each for each in positions if each in last and (last[each].job or last[each].kind != REPORTED)]
        if not new:
            raise Refused("this was told already, and the workshop knows of it")
        told = ({"position": each, "why": FreeWords(why)} for each in new)
        return [attempt.draft(f"vehicle/{vehicle}", "loosened.2", each) for each in told]

    record(workshop, say, ActName.REPORT_LOOSENED, f"vehicle/{vehicle}", said, build)
