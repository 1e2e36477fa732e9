"""A procedure as the book keeps it: the text that was entered, its normalised form, and who read it."""

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.procedure import Procedure

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry


class ProcedureInBook(NamedTuple):
    """A procedure as it was entered, and who read every value against its source."""

    digest: str
    procedure: Procedure
    text: str
    entered_by: str
    read_by: str
    read_on: date | None


def fold_procedure(entries: Sequence["Entry"]) -> ProcedureInBook:
    """A procedure from the normalised form it was entered with, so that neither plugins nor readers change it later."""
    entered = entries[0]
    reads = [entry for entry in entries if entry.kind == "read.1"]
    return ProcedureInBook(
        entered.key,
        Procedure.from_plain(entered.judged["procedure"]),
        entered.said["text"],
        entered.who,
        reads[-1].who if reads else "",
        date.fromisoformat(reads[-1].happened_at[:10]) if reads else None,
    )
