"""A procedure as the book keeps it: the text that was entered, its normal form, and who read it."""

from collections.abc import Iterable, Sequence
from datetime import date
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.procedure.normal_form import from_normal_form
from torqueaudit.model.procedure.picture import Picture
from torqueaudit.model.procedure.procedure import Procedure
from torqueaudit.model.unread import Unread, told_of

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry

KINDS = frozenset({"entered.1", "read.1", "read.2", "struck.2"})


class ProcedureInBook(NamedTuple):
    """A procedure as it was entered, and who read every value against its source."""

    digest: str
    procedure: Procedure
    text: str
    entered_by: str
    read_by: str
    read_on: date | None
    unread: tuple[Unread, ...] = ()  # entries that cannot be read and were not struck


def fold_procedure(entries: Sequence["Entry"]) -> ProcedureInBook:
    """A procedure from the normalised form it was entered with, so that neither plugins nor readers change it later."""
    procedure: ProcedureInBook
    procedure, unread = told_of(entries, _folded, KINDS)
    return procedure._replace(unread=unread) if unread else procedure


def _folded(entries: Sequence["Entry"]) -> ProcedureInBook:
    entered = entries[0]
    reads = [entry for entry in entries if entry.what == "read"]
    return ProcedureInBook(
        digest=entered.key,
        procedure=from_normal_form(entered.judged["procedure"]),
        text=entered.said["text"],
        entered_by=entered.who,
        read_by=reads[-1].who if reads else "",
        read_on=date.fromisoformat(reads[-1].happened_at[:10]) if reads else None,
    )


def digest(text: str, pictures: Iterable[Picture] = ()) -> str:
    """By what a procedure is known: the SHA-256 of the UTF-8 bytes of its text, in hex.

    Of one with pictures, of its text, a NUL, which no text holds, and a line for each picture: its digest as it is
    kept, a space, the name of its file, in the order of the names.
    """
    from hashlib import sha256  # slow to load, and needed only when a procedure is entered

    lines = sorted({(each.file, each.digest) for each in pictures})
    shown = "\0" + "".join(f"{digest} {file}\n" for file, digest in lines) if lines else ""
    return sha256((text + shown).encode()).hexdigest()
