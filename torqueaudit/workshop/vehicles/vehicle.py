"""Vehicles entered, and what anybody reports of one outside a job."""

from collections.abc import Mapping
from typing import Any

from torqueaudit.book import vehicle_queries
from torqueaudit.ledger.entry import Draft
from torqueaudit.model.act import Refused, Say, See, Topic
from torqueaudit.model.nearest import did_you_mean, letters_of
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.vehicle.vehicle import REPORTED
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.numbers import enter
from torqueaudit.workshop.door.workshop import Workshop


def add_vehicle(
    workshop: Workshop, tag: str, model: str, year: int | None, personal: Mapping[str, str], say: Say
) -> str:
    """Enter a vehicle; returns its number. Plate, frame number and owner's contact stay outside the ledger."""
    if not tag.strip() or not model.strip():
        raise Refused("a vehicle has a tag (what people call it) and a model")
    said: dict[str, Any] = {"tag": tag, "model": model, **({"year": year} if year is not None else {})}
    require_nameless(f"{tag} {model}", personal)
    return enter(workshop, "vehicle", "V", said, personal, say)


def require_nameless(written: str, personal: Mapping[str, str]) -> None:
    """A tag stays in the ledger for good, and what names somebody must not; the book does not know it yet."""
    tag = letters_of(written)
    for field, value in personal.items():
        if letters_of(value) and letters_of(value) in tag:
            what = field.replace("_", " ")
            raise Refused(f"{written}: this holds the {what}, and the ledger never forgets; choose another tag")


def report_loosened(workshop: Workshop, vehicle: str, position: str, why: str, say: Say) -> int:
    """Record anyone's report that a fastener of a vehicle was undone outside a job; returns its entry."""
    said = {"position": position, "why": why}
    if not why.strip():
        raise Refused(f"{position}: say who reported it by number or trade, and why it was loosened")

    def build(attempt: Attempt) -> list[Draft]:
        if not attempt.entries(f"vehicle/{vehicle}"):
            raise Refused(f"{vehicle}: no such vehicle", See(Topic.VEHICLES))
        known = {event.position for event in vehicle_queries.later_events(workshop.book, vehicle)}
        if position not in known:
            has = f"it has {', '.join(sorted(known)) or 'no fasteners yet'}"
            raise Refused(f"{position}: no job of {vehicle} knows it; {did_you_mean(position, known, has)}")
        return [attempt.draft(f"vehicle/{vehicle}", REPORTED, said)]

    return record(workshop, say, ActName.REPORT_LOOSENED, f"vehicle/{vehicle}", said, build)[0].sequence
