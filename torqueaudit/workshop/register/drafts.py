"""Procedures that are still being written: begun, changed piece by piece, looked at, and entered."""

from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress
from functools import partial
from hashlib import sha256
from typing import Any, NamedTuple

from torqueaudit.book import queries
from torqueaudit.book.drafts import END, DraftMoved, Drafts
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.judged.finding import Remark
from torqueaudit.model.procedure.draft.blocks import WORK, Block, blocks_of, joined, moved, new_block, with_values
from torqueaudit.model.procedure.draft.change import table_at, told_at, with_work
from torqueaudit.model.procedure.draft.pieces import DraftPiece, pieces_in
from torqueaudit.model.procedure.draft.spelling import key_of
from torqueaudit.model.procedure.picture import Picture
from torqueaudit.model.procedure.procedure import Procedure
from torqueaudit.model.procedure.toml.values import KEY, SHORT_NAME, Mistake, ProcedureMistakes, Table, bad_key
from torqueaudit.model.procedure.words import FIELDS
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.shown.revised import Change, changes_between
from torqueaudit.model.shown.stated import WHOLE
from torqueaudit.workshop.door.attempt import Attempt
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.judged.review import remarks_on
from torqueaudit.workshop.register.pictures import PicturesBeside, kept_pictures
from torqueaudit.workshop.register.procedures import enter_text, pictures_of, procedure_in

MOST = 200
LONGEST_NAME = 200  # signs, which the name of a file takes on every disk
_MOVED = (
    "this draft was changed since the page was opened, by somebody else or in another window; look at it as it is now, "
    "and tell it again"
)


# What came of the pictures of drafts, by what their files hold: each takes a third of a second to be made harmless, and
# a draft is looked at after each piece. Nothing is entered out of it.
_LOOKED: dict[str, Picture] = {}


class DraftLook(NamedTuple):
    """A draft as it stands: its pieces with their mistakes, and where there is none, what it would be as a procedure.

    `seen` names this text, so that what is told of it does not meet another one. `before` is the latest revision that
    was entered under its name, "" where there is none, and `changes` in what it differs from that.
    """

    name: str
    seen: str
    pieces: tuple[DraftPiece, ...]
    procedure: Procedure | None
    remarks: tuple[Remark, ...] = ()
    before: str = ""
    changes: tuple[Change, ...] = ()

    @property
    def wrong(self) -> int:
        """How much is still to be put right."""
        return sum(len(piece.wrong) for piece in self.pieces)

    @property
    def same_edition(self) -> bool:
        """Whether it differs from the revision before, and is called the same edition."""
        told = (WHOLE, FIELDS["edition"])
        return bool(self.changes) and told not in [(each.piece, each.what) for each in self.changes]

    @property
    def title(self) -> str:
        """What the work is in words, or its short name where that is not told yet."""
        return next((str(each.values["title"]) for each in self.pieces if each.values.get("title")), self.name)

    def piece(self, place: str) -> DraftPiece | None:
        """The piece at a place, None where there is none."""
        return next((piece for piece in self.pieces if piece.place == place), None)


def drafts(workshop: Workshop) -> list[str]:
    """The short names of the procedures that are being written."""
    return Drafts(workshop.book.path).names()


def begin_draft(workshop: Workshop, name: str, title: str, say: Say) -> str:
    """Begin a procedure; its short name, made of the title where that is left empty. Raises Refused."""
    _require_allowed(workshop, say)
    name = name.strip() or key_of(title)
    if not name and title.strip():
        raise Refused(f"no short name can be made of “{title.strip()}”; tell one, of a to z, 0 to 9 and hyphens")
    if name and not KEY.fullmatch(name):
        raise Refused(bad_key(name, SHORT_NAME))
    if not title.strip():
        raise Refused("say in words what the work is, such as “Front wheel out and in”")
    head = with_values(new_block(""), {"format": 1, "name": name, "title": " ".join(title.split()), "edition": "1"})
    return _begun(workshop, name, joined([head]))


def begin_revision(workshop: Workshop, start: str, say: Say) -> str:
    """Begin a draft of what a procedure says now, with its pictures; its short name. Raises Refused."""
    _require_allowed(workshop, say)
    full = workshop.full_digest(start)
    kept = workshop.procedure(full)
    drawn = {picture.file: file.read_bytes() for picture, file in pictures_of(workshop, full) if file.exists()}
    _require_own(workshop, drawn)
    name = _begun(workshop, kept.procedure.name, kept.text)
    for file, data in drawn.items():
        Drafts(workshop.book.path).lay(file, data)
    return name


def look_at_draft(workshop: Workshop, name: str) -> DraftLook:
    """A draft as it stands, read as a procedure is when it is entered. Raises Refused where there is none."""
    text = _text(workshop, name)
    seen, beside = _seen(text), _beside(workshop)
    try:
        procedure = procedure_in(workshop, text, beside)
    except ProcedureMistakes as wrong:
        return DraftLook(name, seen, pieces_in(text, wrong.mistakes), procedure=None)
    earlier = [row.digest for row in queries.procedures(workshop.book, procedure.name)][-1:]
    before = workshop.procedure(earlier[0]).procedure if earlier else None
    return DraftLook(
        name,
        seen,
        pieces_in(text),
        procedure=procedure,
        remarks=tuple(remarks_on(procedure, workshop.plugins)),
        before=earlier[0] if earlier else "",
        changes=changes_between(before, procedure) if before else (),
    )


def tell_piece(workshop: Workshop, name: str, seen: str, place: str, values: Mapping[str, Any], say: Say) -> str:
    """Keep what was typed of a piece, whatever is wrong with it; where it stands now.

    A place "new-tighten" or "new-tighten-3" makes a new piece, behind all work or behind the third. Whoever names it
    otherwise renames it wherever the text names it. Raises Refused.
    """
    places: list[str] = []

    def change(blocks: tuple[Block, ...]) -> tuple[Block, ...]:
        told, at = told_at(blocks, place, dict(values))
        places.append(at)
        return told

    _change(workshop, name, seen, change, say)
    return places[0]


def move_piece(workshop: Workshop, name: str, seen: str, at: int, by: int, say: Say) -> None:
    """Do a piece of work one place earlier (-1) or later (1). Raises Refused."""
    _change(workshop, name, seen, lambda blocks: moved(blocks, at, by), say)


def take_piece(workshop: Workshop, name: str, seen: str, place: str, say: Say) -> None:
    """Take a piece out. Raises Refused."""
    table, at = table_at(place)
    keep: Callable[[Block], bool] = lambda each: (each.name, each.at) != (table, at)  # noqa: E731  # read here alone
    _change(workshop, name, seen, lambda blocks: tuple(filter(keep, blocks)), say)


def add_work(workshop: Workshop, name: str, seen: str, work: Iterable[Mapping[str, Any]], say: Say) -> None:
    """Add pieces of work behind all others. Raises Refused."""
    _change(workshop, name, seen, lambda blocks: with_work(blocks, work), say)


def look_with(workshop: Workshop, name: str, work: Iterable[Mapping[str, Any]]) -> tuple[DraftPiece, ...]:
    """The pieces that would be added, with what is wrong with each; nothing is kept."""
    blocks = blocks_of(_text(workshop, name))
    known = sum(block.name == WORK for block in blocks)
    text = joined(with_work(blocks, work))
    mistakes: tuple[Mistake, ...] = ()
    try:
        procedure_in(workshop, text, _beside(workshop))
    except ProcedureMistakes as wrong:
        mistakes = wrong.mistakes
    return tuple(piece for piece in pieces_in(text, mistakes) if piece.table == WORK and piece.at >= known)


def enter_draft(workshop: Workshop, name: str, seen: str, say: Say) -> str:
    """Enter a draft as a procedure, and throw it away; its digest. Raises Refused with what is wrong."""
    kept, text = Drafts(workshop.book.path), _text_as(workshop, name, seen)
    digest = enter_text(workshop, text, kept.folder / f"{name}{END}", say)
    with suppress(DraftMoved):  # what somebody else has typed meanwhile stays a draft
        kept.remove(name, text)
    return digest


def throw_away(workshop: Workshop, name: str, seen: str, say: Say) -> None:
    """Throw a draft away. Raises Refused where there is none, or it was changed since."""
    _require_allowed(workshop, say)
    text = _text_as(workshop, name, seen)
    try:
        Drafts(workshop.book.path).remove(name, text)
    except DraftMoved:
        raise Refused(_MOVED) from None


def _require_own(workshop: Workshop, drawn: Mapping[str, bytes]) -> None:
    """Refuse pictures that would lie over those of another draft, of the same name and with something else on them."""
    folder = Drafts(workshop.book.path).folder
    for name in drafts(workshop):
        text = Drafts(workshop.book.path).text(name) or ""
        for file, data in drawn.items():
            if f'"{file}"' in text and (folder / file).exists() and (folder / file).read_bytes() != data:
                says = f"the draft “{name}” has another picture that is called {file} too"
                raise Refused(f"{says}; enter that draft first, or throw it away")


def _change(
    workshop: Workshop, name: str, seen: str, change: Callable[[tuple[Block, ...]], tuple[Block, ...]], say: Say
) -> None:
    _require_allowed(workshop, say)
    text = _text_as(workshop, name, seen)
    _write(workshop, name, joined(change(blocks_of(text))), text)


def _begun(workshop: Workshop, name: str, text: str) -> str:
    if len(drafts(workshop)) >= MOST:
        raise Refused(f"there are {MOST} drafts already; enter some, or throw some away")
    if len(name) > LONGEST_NAME:
        raise Refused(f"“{name[:20]}…” has {len(name)} signs, and the short name of a draft at most {LONGEST_NAME}")
    if Drafts(workshop.book.path).text(name) is not None:
        raise Refused(f"“{name}” is being written already; go on with that draft, or throw it away first")
    _write(workshop, name, text, None)
    return name


def _write(workshop: Workshop, name: str, text: str, before: str | None) -> None:
    if mistakes := _unreadable(text):  # written, nobody could open it again
        raise Refused(f"this cannot be kept in a draft: {mistakes[0].says}")
    try:
        Drafts(workshop.book.path).write(name, text, before)
    except DraftMoved:
        raise Refused(_MOVED) from None


def _text(workshop: Workshop, name: str) -> str:
    """The text of a draft, which is TOML. Raises Refused where there is none, or somebody spoilt its file."""
    kept = Drafts(workshop.book.path)
    text = kept.text(name) if len(name) <= LONGEST_NAME and KEY.fullmatch(name) else None
    if text is None:
        raise Refused(f"no procedure “{name[:LONGEST_NAME]}” is being written")
    if mistakes := _unreadable(text):
        raise Refused(f"{kept.folder / name}{END} was changed by hand, and is no TOML: {mistakes[0]}")
    return text


def _text_as(workshop: Workshop, name: str, seen: str) -> str:
    """The text of a draft, which has to be the one that was seen. Raises Refused."""
    text = _text(workshop, name)
    if _seen(text) != seen:
        raise Refused(_MOVED)
    return text


def _unreadable(text: str) -> list[Mistake]:
    """Why a text could not be read as a draft, such as a sign in it that nobody sees; none where it can."""
    mistakes: list[Mistake] = []
    Table.of(text, mistakes)
    return mistakes


def _beside(workshop: Workshop) -> PicturesBeside:
    if len(_LOOKED) > MOST:
        _LOOKED.clear()
    return PicturesBeside(Drafts(workshop.book.path).folder, partial(kept_pictures, workshop), _LOOKED)


def _seen(text: str) -> str:
    return sha256(text.encode()).hexdigest()[:16]


def _require_allowed(workshop: Workshop, say: Say) -> None:
    Attempt(workshop, say).permit(ActName.ENTER_PROCEDURE)
