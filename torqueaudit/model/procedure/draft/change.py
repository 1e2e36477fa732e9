"""What a form tells of a piece, put into the text of a draft."""

from collections.abc import Iterable, Mapping
from typing import Any

from torqueaudit.model.act import Refused
from torqueaudit.model.procedure.draft.blocks import (
    WORK,
    Block,
    changed,
    joined,
    new_block,
    put_in,
    texts_in,
    with_values,
)
from torqueaudit.model.procedure.draft.fields import HEAD, RECHECK, SOURCE
from torqueaudit.model.procedure.draft.pieces import pieces_in
from torqueaudit.model.procedure.draft.spelling import key_of
from torqueaudit.model.procedure.toml.values import KEY, SHORT_NAME, bad_key
from torqueaudit.model.procedure.words import KINDS


def with_work(blocks: tuple[Block, ...], work: Iterable[Mapping[str, Any]]) -> tuple[Block, ...]:
    """The pieces with more work behind all others."""
    for each in work:
        blocks = put_in(blocks, with_values(new_block(WORK), each))
    return blocks


def told_at(blocks: tuple[Block, ...], place: str, values: dict[str, Any]) -> tuple[tuple[Block, ...], str]:
    """The pieces with what was typed at a place, and the place where it stands now. Raises Refused.

    "new-tighten" is a new fastener behind all work, "new-tighten-3" one behind the third piece of it. A key that is
    told anew is told anew wherever the text names it.
    """
    new, _, rest = place.partition("-")
    key = values.pop("key", None)
    if new == "new":
        kind, _, behind = rest.partition("-")
        return _new(blocks, kind, int(behind) if behind.isdigit() else None, {**values, "key": key})
    table, at = table_at(place)
    if table == WORK:
        kind, was = next((kind, str(told[kind])) for kind in KINDS if kind in (told := _values(blocks, at)))
        values[kind] = key or was
        return _renamed(_changed(blocks, table, at, values), was, values[kind]), place
    if table == RECHECK and not any(block.name == RECHECK for block in blocks):
        blocks = put_in(blocks, new_block(RECHECK))
    return _changed(blocks, table, at, values), place


def _new(
    blocks: tuple[Block, ...], kind: str, behind: int | None, values: dict[str, Any]
) -> tuple[tuple[Block, ...], str]:
    key = values.pop("key", None)
    if kind == SOURCE:
        key = key or "manual"
        if not KEY.fullmatch(key):
            raise Refused(bad_key(key, SHORT_NAME))
        if any(block.name == f"{SOURCE}.{key}" for block in blocks):
            raise Refused(f"there is a source “{key}” already; give this one another short name")
        return put_in(blocks, with_values(new_block(f"{SOURCE}.{key}"), values)), f"{SOURCE}-{key}"
    if kind not in KINDS:
        raise Refused("there is no such piece")
    number = sum(block.name == WORK for block in blocks) if behind is None else behind
    named = key or key_of(str(values.get("name") or "")) or f"{kind}-{number + 1}"
    told = with_values(new_block(WORK), {kind: named, **values})
    return put_in(blocks, told, None if behind is None else behind - 1), f"{WORK}-{number + 1}"


def _values(blocks: tuple[Block, ...], at: int) -> Mapping[str, Any]:
    return next(each.values for each in pieces_in(joined(blocks)) if (each.table, each.at) == (WORK, at))


def _changed(blocks: tuple[Block, ...], table: str, at: int, values: Mapping[str, Any]) -> tuple[Block, ...]:
    return changed(blocks, table, at, lambda block: with_values(block, values))


def _renamed(blocks: tuple[Block, ...], was: str, now: str) -> tuple[Block, ...]:
    """The pieces with every list that names a piece by its old key naming it by the new one."""
    if was == now:
        return blocks
    for piece in pieces_in(joined(blocks)):
        lists = {key: list(texts_in(value)) for key, value in piece.values.items() if was in texts_in(value)}
        new = {key: [now if each == was else each for each in value] for key, value in lists.items()}
        if new:
            blocks = _changed(blocks, piece.table, piece.at, new)
    return blocks


def table_at(place: str) -> tuple[str, int]:
    """The name of the table at a place, and which one of that name it is."""
    kind, _, rest = place.partition("-")
    if kind == WORK and rest.isdigit():
        return WORK, int(rest) - 1
    return {HEAD: "", SOURCE: f"{SOURCE}.{rest}"}.get(kind, kind), 0
