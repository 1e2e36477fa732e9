"""The first entry of a new person, vehicle or wrench, under the next free number."""

from collections.abc import Callable, Mapping
from typing import Any

from torqueaudit.ledger.entry import Draft
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.register.permits import ActName
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.lists import people
from torqueaudit.workshop.door.workshop import Workshop


def enter(
    workshop: Workshop,
    noun: str,
    letter: str,
    said: Mapping[str, Any],
    personal: Mapping[str, str],
    say: Say,
    judged: Callable[[Attempt], Mapping[str, Any]] | None = None,
) -> str:
    """The first entry of a new person, vehicle or wrench, under the next free number."""
    number = workshop.book.next_number(noun)
    subject = f"{noun}/{letter}-{number}"

    def build(attempt: Attempt) -> list[Draft]:
        attempt.expect[subject] = 0
        if personal.get("name", "").strip().casefold() in {name.casefold() for _, name in people(workshop) if name}:
            raise Refused(f"{personal['name']}: somebody of that name is entered already; nobody has two numbers")
        return [attempt.draft(subject, "entered.1", said, judged(attempt) if judged else None)]

    known = {field: value for field, value in personal.items() if value}
    entries = record(
        workshop, say, ActName(f"enter {noun}"), noun, said, build, personal={subject: known} if known else None
    )
    return entries[0].key
