"""One piece of a draft as a form: typed from a printed page, kept whatever is wrong with it, and told at its field."""

from functools import partial
from typing import TYPE_CHECKING, Any

from torqueaudit.model.act import Refused, Say
from torqueaudit.model.procedure.draft.blocks import WORK
from torqueaudit.model.procedure.draft.fields import FIELDS, SOURCE, Field, How, fields_of
from torqueaudit.model.procedure.draft.pieces import DraftPiece
from torqueaudit.model.procedure.draft.spelling import ALL, kept, shown
from torqueaudit.model.procedure.words import FIELDS as WORDS
from torqueaudit.model.procedure.words import KINDS
from torqueaudit.signs import require_seen
from torqueaudit.web.office.procedures.draft import CALLED
from torqueaudit.web.office.procedures.once import Once
from torqueaudit.web.office.told import Sent, at_field, page_of_office, told
from torqueaudit.web.typed import Typed
from torqueaudit.workshop.register.drafts import DraftLook, look_at_draft, tell_piece

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.workshop.door.workshop import Workshop


def add_draft_piece(app: "Flask", workshop: "Workshop") -> None:
    """Add the form of a piece."""
    once = Once()

    @app.get("/office/draft/<name>/<place>")
    def office_draft_piece(name: str, place: str) -> str:
        """Show a piece of a draft as a form, or an empty one of a kind."""
        return _page(workshop, name, place)

    @app.post("/office/draft/<name>/<place>")
    def office_draft_typed(name: str, place: str) -> "ResponseReturnValue":
        """Keep what was typed; lead on, or back to the form where something is wrong."""
        tells = {"save": once.told(partial(_saved, workshop, name, place))}
        return told(workshop, "", tells, partial(_page, workshop, name, place))


def _page(workshop: "Workshop", name: str, place: str, sent: Sent | None = None) -> str:
    look = look_at_draft(workshop, name)
    place = _place_now(look, place, sent)
    piece = _piece(look, place)
    values = {**piece.values, "key": piece.key}
    moved = sent and piece.table == WORK and sent.typed.one("draft") != look.seen
    return page_of_office(
        workshop,
        "draft_piece.html",
        sent,
        draft=look,
        piece=piece,
        place=place,
        called=CALLED.get(piece.kind, piece.kind),
        new=place.startswith("new-"),
        groups=FIELDS[piece.kind],
        how=How,
        words=WORDS,
        stands={each.key: _stands(each, values, sent) for each in fields_of(piece.kind)},
        now={each.key: shown(each, values) for each in fields_of(piece.kind)} if moved else {},
        wrong={each.field: each.says for each in reversed(piece.wrong)} | ({sent.field: sent.says} if sent else {}),
        choices=partial(_choices, look, piece),
    )


def _place_now(look: DraftLook, place: str, sent: Sent | None) -> str:
    """Where the piece of work stands now that a refused form was of: others may have come before it, or it is gone."""
    kind, _, key = (sent.typed.one("of") if sent else "").partition("/")
    there = look.piece(place)
    if kind not in KINDS or (there and (there.kind, there.key) == (kind, key)):
        return place
    return next((each.place for each in look.pieces if (each.kind, each.key) == (kind, key)), f"new-{kind}")


def _piece(look: DraftLook, place: str) -> DraftPiece:
    """The piece at a place, or an empty one. Raises Refused where there is none."""
    if found := look.piece(place):
        return found
    kind = place.removeprefix("new-").partition("-")[0]
    if kind not in FIELDS or (kind == place and kind != "recheck"):
        raise Refused("there is no such piece in this draft; look at it as it is now")
    sources = [each.key for each in look.pieces if each.kind == SOURCE]
    return DraftPiece("", 0, kind, key="", values={"source": sources[0]} if len(sources) == 1 else {})


def _stands(field: Field, values: Any, sent: Sent | None) -> list[str]:
    """What stands in a field: what was typed where it was refused, else what the draft says."""
    return list(sent.typed.every(field.key)) if sent else shown(field, values)


def _choices(look: DraftLook, piece: DraftPiece, field: Field) -> dict[str, str]:
    """What may be chosen in a field: its own words, the sources, or the pieces of work that may be ticked."""
    if field.key == "source":
        sources = {each.key: each.name for each in look.pieces if each.kind == SOURCE}
        return {"": "none"} | sources
    if field.how != How.PIECES:
        return dict(field.choices)
    every = {ALL: "all that are marked"} if field.key == "marks" else {}
    work = [each for each in look.pieces if each.table == WORK and each.kind in field.of]
    before = [each for each in work if field.key != "after" or piece.table != WORK or each.at < piece.at]
    return every | {each.key: each.name for each in before}


def _saved(workshop: "Workshop", name: str, place: str, typed: Typed, say: Say) -> str:
    kind = _piece(look_at_draft(workshop, name), place).kind
    values: dict[str, Any] = {}
    for field in fields_of(kind):
        with at_field(field.key):
            require_seen("\n".join(typed.every(field.key)), field.says or WORDS[field.key], lines=True)
        values |= kept(field, typed.every(field.key))
    at = tell_piece(workshop, name, typed.one("draft"), place, values, say)
    piece = look_at_draft(workshop, name).piece(at)
    return f"office/draft/{name}/{at}" if piece and piece.wrong else f"office/draft/{name}#{at}"
