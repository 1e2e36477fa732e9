"""The first entry of a new person, vehicle or wrench, under the next free number."""

from collections.abc import Callable, Mapping
from typing import Any

from torqueaudit.ledger.entry import Draft
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.register.permits import ActName
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.lists import people
from torqueaudit.workshop.door.refusal import refuse_unseen
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
    refuse_unseen(personal, "this")

    def build(attempt: Attempt) -> list[Draft]:
        subject = number_new(attempt, noun, letter, personal)
        require_free_name(workshop, personal.get("name", ""))
        return [attempt.draft(subject, "entered.1", said, judged(attempt) if judged else None)]

    return record(workshop, say, ActName(f"enter {noun}"), noun, said, build)[0].key


def number_new(attempt: Attempt, noun: str, letter: str, personal: Mapping[str, str]) -> str:
    """The next free number of a noun, as a subject ("vehicle/V-3"), with what is known of it from its first entry on.

    Whoever enters another one at the same moment is given the number behind it.
    """
    subject = f"{noun}/{letter}-{attempt.workshop.book.next_number(noun)}"
    attempt.expect[subject] = 0
    if known := {field: value for field, value in personal.items() if value}:
        attempt.personal[subject] = known
    return subject


def require_free_name(workshop: Workshop, name: str, own: str = "") -> None:
    """Refuse a name that somebody else bears already, also one who has left: a start brings them back."""
    for person, known in people(workshop):
        if known and person.number != own and known.casefold() == name.strip().casefold():
            left = f", who left on {person.left.on} and whom a new start brings back" if person.left else ""
            raise Refused(
                f"{name}: somebody of that name is entered already as {person.number}{left}; nobody has two numbers"
            )
