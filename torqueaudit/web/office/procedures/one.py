"""One procedure as it was entered: what it states, in what it differs from the one before, and read by a second person.

Whoever reads it ticks each value that is printed, with its page in view; what the workshop wants is read once a piece.
"""

from typing import TYPE_CHECKING

from flask import g

from torqueaudit.model.act import Refused, Say
from torqueaudit.model.procedure.procedure import Procedure
from torqueaudit.model.register.permits import FOREMAN
from torqueaudit.model.shown.access import Audience, seen_by
from torqueaudit.model.shown.stated import Piece, pieces_of
from torqueaudit.web.office.told import Sent, page_of_office, told
from torqueaudit.web.typed import Typed
from torqueaudit.workshop.register.procedures import pictures_of, read_against_source, remarks_of
from torqueaudit.workshop.register.revisions import revision_of

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.workshop.door.workshop import Workshop

TICK = "seen"


def add_procedure_page(app: "Flask", workshop: "Workshop") -> None:
    """Add the page of a procedure."""

    @app.get("/procedure/<start>")
    def procedure(start: str) -> str:
        """Show what a procedure states, and who read it; to be read where nobody has."""
        return _page(workshop, start)

    @app.post("/procedure/<start>")
    def procedure_read(start: str) -> "ResponseReturnValue":
        """Record that every value was read against its source."""
        return told(workshop, "", {"read": _read}, _page, workshop, start)


def ticks_of(procedure: Procedure) -> dict[str, str]:
    """What is ticked one by one by whoever reads a procedure, and each in words: printed values, then the rest."""
    ticks: dict[str, str] = {}
    for piece in pieces_of(procedure):
        printed = [each for each in piece.stated if each.printed]
        ticks |= {f"{place(piece)}.{each.field}": f"{piece.called}: {each.label} {each.says}" for each in printed}
        if len(printed) < len(piece.stated):
            ticks[place(piece)] = f"{piece.called}: what the workshop asks for"
    return ticks


def place(piece: Piece) -> str:
    """A piece as a form names it."""
    return f"{piece.kind}/{piece.key}"


def _page(workshop: "Workshop", start: str, sent: Sent | None = None) -> str:
    full = workshop.full_digest(start)
    kept, revision = workshop.procedure(full), revision_of(workshop, full)
    audience: Audience = "foreman" if g.asking.reach == FOREMAN else "staff"
    return page_of_office(
        workshop,
        "procedure.html",
        sent,
        kept=kept,
        pieces=seen_by(audience, pieces_of(kept.procedure)),
        place=place,
        ticked=sent.typed.every(TICK) if sent else (),
        pictures={
            picture.file: f"procedure/{full}/picture/{picture.digest}" for picture, _ in pictures_of(workshop, full)
        },
        remarks=remarks_of(workshop, full),
        revision=revision,
        reads=not kept.read_by and (kept.entered_by != g.asking.person or workshop.settings.single_handed),
        foreman=audience == "foreman",
    )


def _read(workshop: "Workshop", start: str, typed: Typed, say: Say) -> str:
    ticks = ticks_of(workshop.procedure(workshop.full_digest(start)).procedure)
    left = [words for tick, words in ticks.items() if tick not in typed.every(TICK)]
    if left:
        count = f"{len(left)} of {len(ticks)} are not ticked yet"
        raise Refused(f"{count}; look each up in the document, the next is “{left[0]}”")
    read_against_source(workshop, start, typed.one("remark"), say)
    return f"procedure/{start}"
