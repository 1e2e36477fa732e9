"""What a draft holds, piece by piece, with what is wrong at each."""

from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from torqueaudit.model.procedure.draft.blocks import WORK, Block, blocks_of
from torqueaudit.model.procedure.draft.fields import HEAD, SOURCE, fields_of
from torqueaudit.model.procedure.toml.values import Mistake
from torqueaudit.model.procedure.words import KINDS

_TYPED_AS = {"cross": "pattern", "work": ""}  # keys of the text that are no field of their own


class Wrong(NamedTuple):
    """Something to put right: the key of its field, "" where it is at none, and what."""

    field: str
    says: str


class DraftPiece(NamedTuple):
    """One piece: the name of its table and which one of that name it is, of which kind, its key, what stands in it."""

    table: str
    at: int
    kind: str
    key: str
    values: Mapping[str, Any]
    wrong: tuple[Wrong, ...] = ()

    @property
    def name(self) -> str:
        """What it is called."""
        return str(self.values.get("name") or self.values.get("document") or self.key)

    @property
    def place(self) -> str:
        """Where it stands, as an address names it: "head", "source-manual", "work-3", "recheck"."""
        if self.table == WORK:
            return f"{WORK}-{self.at + 1}"
        return self.kind if self.kind != SOURCE else f"{SOURCE}-{self.key}"


def pieces_in(text: str, mistakes: Iterable[Mistake] = ()) -> tuple[DraftPiece, ...]:
    """The pieces that a form shows, in the order of the text, each with its mistakes.

    What stands in tables of plugins is no piece; what is wrong there is told at the head.
    """
    blocks = [block for block in blocks_of(text) if _kind(block, {}) != "x"]
    told: dict[int, list[Wrong]] = {}
    for mistake in mistakes:
        nth = max((nth for nth, block in enumerate(blocks) if block.line <= mistake.line), default=0)
        told.setdefault(nth, []).append(_wrong(mistake))
    return tuple(_piece(block, tuple(told.get(nth, ()))) for nth, block in enumerate(blocks))


def _piece(block: Block, wrong: tuple[Wrong, ...]) -> DraftPiece:
    import tomllib

    values: Any = tomllib.loads(block.text)
    for key in filter(None, block.name.split(".")):
        values = values[key]
    values = values[0] if block.name == WORK else values
    kind = _kind(block, values)
    key = str(values.get(kind, "")) if kind in KINDS else block.name.partition(".")[2]
    known = {field.key for field in fields_of(kind)}
    wrong = tuple(each._replace(field="key") if key and each.field in (kind, key) else each for each in wrong)
    at_none = [each if each.field in known else Wrong("", f"{each.field} {each.says}".strip()) for each in wrong]
    return DraftPiece(block.name, block.at, kind, key, values=values, wrong=tuple(at_none))


def _kind(block: Block, values: Mapping[str, Any]) -> str:
    if block.name == WORK:
        return next((kind for kind in KINDS if kind in values), "step")
    return block.name.partition(".")[0] or HEAD


def _wrong(mistake: Mistake) -> Wrong:
    of_work = mistake.key.startswith("work ")
    field = mistake.key.partition(".")[2] if of_work else mistake.key.rpartition(".")[2]
    return Wrong(_TYPED_AS.get(field, field), mistake.typed or mistake.says)
