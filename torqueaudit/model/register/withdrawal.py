"""What was let in is let in no more: a device, or another program."""

from datetime import date
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterable

    from torqueaudit.ledger.entry import Entry


class Withdrawal(NamedTuple):
    """On which day something was let in no more, by whom, and why."""

    on: date
    by: str
    why: str


def withdrawal_in(entries: "Iterable[Entry]", kind: str) -> Withdrawal | None:
    """The withdrawal among some entries, by its kind; None where there is none."""
    found = None
    for entry in entries:
        if entry.kind == kind:
            found = Withdrawal(date.fromisoformat(entry.judged["on"]), entry.who, entry.told("why"))
    return found
