"""Questions to the ledger as a whole, and what is erased beside it."""

from torqueaudit.ledger.chain import head_of
from torqueaudit.ledger.entry import Entry
from torqueaudit.model.act import Refused
from torqueaudit.workshop.door.refusal import refused_if_unreadable
from torqueaudit.workshop.door.workshop import Workshop


def forget(workshop: Workshop, subject: str) -> None:
    """Erase what names somebody ("person/P-3", "vehicle/V-1"); their number and what was recorded stay."""
    if not workshop.book.entries(subject):
        raise Refused(f"{subject.partition('/')[2]}: nothing of that number is in the book")
    workshop.book.forget(subject)


def faults(workshop: Workshop, printed: str | None = None) -> list[str]:
    """What is wrong with the ledger, in sentences, also against a head that was printed earlier."""
    with refused_if_unreadable():
        head = head_of(printed) if printed else None
    return workshop.book.verify(head)


def ledger_entries(workshop: Workshop, first: int, last: int | None) -> list[Entry]:
    """Entries from one sequence to another."""
    return [entry for entry, _ in workshop.book.ledger(first, last)]
