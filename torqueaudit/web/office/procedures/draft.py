"""One procedure that is being written: its pieces in order with what is wrong at each, moved, taken out, entered."""

from functools import partial
from typing import TYPE_CHECKING, Any

from torqueaudit.model.act import Say
from torqueaudit.model.procedure.draft.fields import RECHECK
from torqueaudit.model.procedure.words import FIELDS, KINDS
from torqueaudit.web.office.procedures.once import Once
from torqueaudit.web.office.told import Sent, page_of_office, told
from torqueaudit.web.typed import Typed
from torqueaudit.workshop.register.drafts import enter_draft, look_at_draft, move_piece, take_piece, throw_away

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.model.procedure.draft.pieces import DraftPiece
    from torqueaudit.workshop.door.workshop import Workshop

WAYS = {"up": -1, "down": 1}


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
        tells: dict[str, Any] = {way: partial(_moved, workshop, name, by) for way, by in WAYS.items()}
        tells |= {
            "take": partial(_taken, workshop, name),
            "enter": partial(_entered, workshop, name),
            "discard": partial(_discarded, workshop, name),
        }
        return told(workshop, "", {act: once.told(tell) for act, tell in tells.items()}, partial(_page, workshop, name))


def _page(workshop: "Workshop", name: str, sent: Sent | None = None) -> str:
    look = look_at_draft(workshop, name)
    return page_of_office(
        workshop,
        "draft.html",
        sent,
        draft=look,
        work=[piece for piece in look.pieces if piece.table == "work"],
        others=[piece for piece in look.pieces if piece.table != "work"],
        again=any(piece.kind == RECHECK for piece in look.pieces),
        kinds=KINDS,
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


def _moved(workshop: "Workshop", name: str, by: int, typed: Typed, say: Say) -> str:
    at = typed.number("piece")
    move_piece(workshop, name, typed.one("draft"), at - 1, by, say)
    return f"office/draft/{name}#work-{at + by}"


def _taken(workshop: "Workshop", name: str, typed: Typed, say: Say) -> str:
    take_piece(workshop, name, typed.one("draft"), typed.one("place"), say)
    return f"office/draft/{name}"


def _entered(workshop: "Workshop", name: str, typed: Typed, say: Say) -> str:
    return f"procedure/{enter_draft(workshop, name, typed.one('draft'), say)[:12]}"


def _discarded(workshop: "Workshop", name: str, typed: Typed, say: Say) -> str:
    throw_away(workshop, name, typed.one("draft"), say)
    return "office/procedures"
