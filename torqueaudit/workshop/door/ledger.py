"""Questions to the ledger as a whole, and what is erased beside it."""

from datetime import date

from torqueaudit.book.errors import BookError
from torqueaudit.ledger.chain import head_of
from torqueaudit.ledger.entry import Entry, moment_of
from torqueaudit.model.act import Refused
from torqueaudit.workshop.door.refusal import refused_if_unreadable
from torqueaudit.workshop.door.workshop import Workshop

PAGE = 200


def forget(workshop: Workshop, subject: str) -> None:
    """Erase what names somebody ("person/P-3", "vehicle/V-1"); their number and what was recorded stay."""
    if not workshop.book.entries(subject):
        raise Refused(f"{subject.partition('/')[2]}: nothing of that number is in the book")
    workshop.book.forget(subject)


def faults(workshop: Workshop, printed: str | None = None) -> list[str]:
    """What is wrong with the ledger, in sentences, also against a head that was printed earlier."""
    with refused_if_unreadable():
        head = head_of(printed) if printed is not None else None
    return workshop.book.verify(head)


def recorded_since(workshop: Workshop, since: str) -> list[Entry]:
    """The entries recorded at or after a stamp, in order; read back from the end, so that few cost little."""
    rows: list[Entry] = []
    last = workshop.book.head().sequence
    while last > 0 and not (rows and rows[0].recorded_at < since):
        first = max(1, last - PAGE + 1)
        rows = ledger_entries(workshop, first, last) + rows
        last = first - 1
    return [entry for entry in rows if entry.recorded_at >= since]


def ledger_entries(workshop: Workshop, first: int, last: int | None) -> list[Entry]:
    """Entries from one sequence to another."""
    return [entry for entry, _ in workshop.book.ledger(first, last)]


def made_on(workshop: Workshop) -> date:
    """The local day on which the book was made; today where that cannot be read."""
    try:
        first = workshop.book.entry(1)
    except BookError:  # told by whoever verifies the book
        first = None
    return workshop.local_day(moment_of(first.recorded_at)) if first else workshop.today()
