"""In what one revision of a procedure differs in meaning from another; what was only written otherwise is left out."""

from collections.abc import Iterator, Mapping
from difflib import SequenceMatcher
from typing import NamedTuple

from torqueaudit.model.procedure.procedure import Procedure
from torqueaudit.model.procedure.words import FIELDS
from torqueaudit.model.shown.stated import Piece, Stated, pieces_of


class Change(NamedTuple):
    """One thing in which two revisions differ: the piece in words, what differs of it, and what each says ("": no)."""

    piece: str
    what: str
    before: str
    now: str

    def __str__(self) -> str:
        """Say it in one line."""
        match self.before, self.now:
            case "", "":
                return f"{self.piece}: {self.what}"
            case "", now:
                return f"{self.piece}: {self.what} “{now}”, where nothing was said before"
            case before, "":
                return f"{self.piece}: {self.what} “{before}” is said no more"
            case before, now:
                return f"{self.piece}: {self.what} “{now}”, before “{before}”"


def changes_between(old: Procedure, new: Procedure) -> tuple[Change, ...]:
    """In what a revision differs in meaning from an older one; what was only written otherwise is no difference."""
    before, now = ({_place(each): each for each in pieces_of(one)} for one in (old, new))
    gone = [Change(piece.called, "is done no more", "", "") for at, piece in before.items() if at not in now]
    return (
        *(change for at, piece in now.items() for change in _changed(before.get(at), piece)),
        *gone,
        *_moved([at for at in before if at in now], [at for at in now if at in before], now),
    )


def _place(piece: Piece) -> tuple[str, str]:
    return piece.kind, piece.key


def _changed(before: Piece | None, now: Piece) -> Iterator[Change]:
    """What differs of one piece; its picture by what it shows, its place in the order apart (`_moved`)."""
    if before is None:
        says = "; ".join(f"{each.label} {each.says}" for each in now.stated if each.printed)
        yield Change(now.called, "is new" + (f" ({says})" if says else ""), "", "")
        return
    if before.name != now.name:
        yield Change(now.called, "is called", before.name, now.name)
    was, is_now = before.by_field, now.by_field
    for field in dict.fromkeys((*is_now, *was)):
        old, new = was.get(field), is_now.get(field)
        if not _alike(old, new):
            said = [each.says if each else "" for each in (old, new)]
            yield Change(now.called, FIELDS.get(field[0], field[0]), *said)


def _alike(one: Stated | None, other: Stated | None) -> bool:
    """Whether two mean the same, however it is spelt."""
    if one is None or other is None:
        return one is other
    return one.says == other.says if one.means is None else one.means == other.means


def _moved(
    before: list[tuple[str, str]], now: list[tuple[str, str]], pieces: Mapping[tuple[str, str], Piece]
) -> list[Change]:
    """Those of both revisions that are done in another place of the order."""
    matcher = SequenceMatcher(a=before, b=now, autojunk=False)
    stays = {at for block in matcher.get_matching_blocks() for at in now[block.b : block.b + block.size]}
    return [
        Change(pieces[at].called, f"comes behind {_behind(at, now, pieces)} now", "", "")
        for at in now
        if at not in stays
    ]


def _behind(at: tuple[str, str], order: list[tuple[str, str]], pieces: Mapping[tuple[str, str], Piece]) -> str:
    place = order.index(at)
    return pieces[order[place - 1]].called if place else "nothing"
