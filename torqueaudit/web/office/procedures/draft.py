"""One procedure that is being written: its pieces in order with what is wrong at each, moved, taken out, entered."""

import re
from functools import partial
from typing import TYPE_CHECKING

from flask import request

from torqueaudit.model.act import Say
from torqueaudit.model.procedure.draft.blocks import WORK
from torqueaudit.model.procedure.draft.fields import HEAD, RECHECK
from torqueaudit.model.procedure.words import FIELDS, KINDS
from torqueaudit.web.office.procedures.once import Once
from torqueaudit.web.office.told import Sent, Tell, page_of_office, told
from torqueaudit.web.typed import Typed
from torqueaudit.workshop.register.drafts import enter_draft, look_at_draft, move_piece, take_piece, throw_away

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.model.procedure.draft.pieces import DraftPiece
    from torqueaudit.workshop.door.workshop import Workshop

WAYS = {"up": -1, "down": 1}
CALLED = {**KINDS, HEAD: "title, edition, warnings", RECHECK: "the re-check"}
_NUMBER = re.compile("[0-9]{1,4}")


def add_draft(app: "Flask", workshop: "Workshop") -> None:
    """Add the page of a draft."""
    once = Once()

    @app.get("/office/draft/<name>")
    def office_draft(name: str) -> str:
        """Show a draft, piece by piece."""
        return _page(workshop, name)

    @app.post("/office/draft/<name>")
    def office_draft_told(name: str) -> "ResponseReturnValue":
        """Change the order of a draft, take a piece out, enter it or throw it away."""
        tells: dict[str, Tell] = {
            **_of_a_piece(workshop, name, Typed(request.form).one("act")),
            "enter": partial(_entered, workshop, name),
            "discard": partial(_discarded, workshop, name),
        }
        return told(workshop, "", {act: once.told(tell) for act, tell in tells.items()}, partial(_page, workshop, name))


def _of_a_piece(workshop: "Workshop", name: str, act: str) -> dict[str, Tell]:
    """What a button beside a piece of work tells: "up-3" does the third one earlier, "take-3" takes it out."""
    way, _, at = act.partition("-")
    if not _NUMBER.fullmatch(at):
        return {}
    if way in WAYS:
        return {act: partial(_moved, workshop, name, int(at), WAYS[way])}
    return {act: partial(_taken, workshop, name, int(at))} if way == "take" else {}


def _page(workshop: "Workshop", name: str, sent: Sent | None = None) -> str:
    look = look_at_draft(workshop, name)
    return page_of_office(
        workshop,
        "draft.html",
        sent,
        draft=look,
        work=[piece for piece in look.pieces if piece.table == WORK],
        others=[piece for piece in look.pieces if piece.table != WORK],
        again=any(piece.kind == RECHECK for piece in look.pieces),
        kinds=KINDS,
        called=CALLED,
        summary=summary,
        words=FIELDS,
    )


def summary(piece: "DraftPiece") -> str:
    """What matters most of a piece, as it was typed."""
    says = piece.values
    keys = {
        "tighten": ("torque", "tolerance", "thread"),
        "measure": ("limit", "min", "max"),
        "step": ("says",),
        "fit": ("part",),
        "source": ("edition", "model"),
        RECHECK: ("distance", "days", "hours"),
    }.get(piece.kind, ("title",))
    named = {"min": "at least ", "max": "at most ", "edition": "edition "}
    after = {"days": " days", "hours": " h"}
    return ", ".join(f"{named.get(key, '')}{says[key]}{after.get(key, '')}" for key in keys if says.get(key))


def _moved(workshop: "Workshop", name: str, at: int, by: int, typed: Typed, say: Say) -> str:
    move_piece(workshop, name, typed.one("draft"), at - 1, by, say)
    return f"office/draft/{name}#{WORK}-{at + by}"


def _taken(workshop: "Workshop", name: str, at: int, typed: Typed, say: Say) -> str:
    take_piece(workshop, name, typed.one("draft"), f"{WORK}-{at}", say)
    return f"office/draft/{name}"


def _entered(workshop: "Workshop", name: str, typed: Typed, say: Say) -> str:
    return f"procedure/{enter_draft(workshop, name, typed.one('draft'), say)[:12]}"


def _discarded(workshop: "Workshop", name: str, typed: Typed, say: Say) -> str:
    throw_away(workshop, name, typed.one("draft"), say)
    return "office/procedures"
