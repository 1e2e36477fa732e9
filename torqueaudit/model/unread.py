"""Entries that cannot be read: of a kind that a later version wrote, with something missing or of another type.

One such entry spoils nothing but itself: the others of its subject are folded without it, it is named by its number and
its subject, and whoever strikes it is rid of it.
"""

from collections.abc import Callable, Collection, Mapping, Sequence
from decimal import Decimal
from functools import cache
from types import NoneType, UnionType
from typing import TYPE_CHECKING, Any, NamedTuple, Union, get_args, get_origin, get_type_hints

from torqueaudit.model.act import Refused
from torqueaudit.model.numbers import quoted

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry

Fold = Callable[[Sequence["Entry"]], Any]
Looks = Callable[[Any], bool]
_OWN: dict[Any, Looks] = {  # of which the type alone does not tell it
    int: lambda value: type(value) is int,
    Decimal: lambda value: isinstance(value, Decimal) and value.is_finite(),
}


class Unread(NamedTuple):
    """An entry that cannot be read and was not struck, with its subject, and why."""

    entry: int
    subject: str
    why: str

    def __str__(self) -> str:
        return f"entry {self.entry} ({self.subject}) cannot be read: {self.why}"


class NothingKnown(Refused):
    """The first entry of a subject cannot be read, so that nothing is known of it."""

    def __init__(self, unread: Unread) -> None:
        super().__init__(f"{unread}; nothing else is known of it")
        self.unread = unread


def told_of(entries: Sequence["Entry"], fold: Fold, kinds: Collection[str] = ()) -> tuple[Any, tuple[Unread, ...]]:
    """What is folded of the entries that can be read, and the others, in order; of `kinds` where these are given.

    An entry with a value that is not of its type cannot be read. Raises NothingKnown where the first entry of all
    cannot be read.
    """
    kept, unread = list(entries), list[tuple["Entry", str]]()
    folded = _tried(kept, fold, kinds)
    while folded.why:
        unread.append(_first_unread(kept, fold, kinds))
        kept.remove(unread[-1][0])
        folded = _tried(kept, fold, kinds)
    struck = {entry.said.get("entry") for entry in kept if entry.what == "struck"}
    told = [Unread(each.sequence, each.subject, why) for each, why in unread if each.sequence not in struck]
    return folded.what, tuple(sorted(told))


class _Tried(NamedTuple):
    """What a fold gave, or why it gave nothing."""

    what: Any
    why: str = ""


def _tried(entries: Sequence["Entry"], fold: Fold, kinds: Collection[str]) -> _Tried:
    if strange := next((entry.kind for entry in entries if kinds and entry.kind not in kinds), ""):
        return _Tried(None, f"its kind, {strange}, is not known to this version")
    try:
        what = fold(entries)
    except KeyError as error:
        return _Tried(None, f"it does not say {quoted(str(error.args[0]))}")
    except Exception as error:  # noqa: BLE001  # whatever is wrong with what is stored
        return _Tried(None, quoted(str(error)) if str(error) else type(error).__name__)
    wrong = mistyped(what)
    return _Tried(what, f"its {wrong.replace('_', ' ')} is not what it has to be" if wrong else "")


def _first_unread(entries: Sequence["Entry"], fold: Fold, kinds: Collection[str]) -> tuple["Entry", str]:
    """The entry with which they cannot be folded any more, and why. Raises NothingKnown where it is the first."""
    read, unread = 0, len(entries)
    while unread - read > 1:
        middle = (read + unread) // 2
        if _tried(entries[:middle], fold, kinds).why:
            unread = middle
        else:
            read = middle
    why = _tried(entries[:unread], fold, kinds).why
    if read == 0:
        raise NothingKnown(Unread(entries[0].sequence, entries[0].subject, why))
    return entries[read], why


def mistyped(value: Any) -> str:
    """The field of a NamedTuple, at any depth, that does not hold what its annotation says; "" where each does."""
    kind: Any = type(value)
    fields = _fields(kind)
    types = tuple(map(type, value))
    deep = fields.known.get(types)
    for index in range(len(types)) if deep is None else deep:
        if not fields.looks[index](value[index]):
            return next(filter(None, map(mistyped, _tuples(value[index]))), "") or fields.names[index]
    if deep is None:
        fields.known[types] = tuple(index for index in fields.deep if types[index] is not NoneType)
    return ""


def _tuples(value: object) -> list[Any]:
    """The NamedTuples that a value is or holds."""
    each = value if isinstance(value, tuple) and not hasattr(value, "_fields") else (value,)
    return [one for one in each if hasattr(one, "_fields")]


class _Fields(NamedTuple):
    """How the fields of a NamedTuple are looked at, and `deep`, those of which the type alone does not tell it.

    `known` are types of all fields that were found right before, with those of `deep` that hold something.
    """

    names: tuple[str, ...]
    looks: tuple[Looks, ...]
    deep: tuple[int, ...]
    known: dict[tuple[type, ...], tuple[int, ...]]


@cache
def _fields(kind: Any) -> _Fields:
    hints = get_type_hints(kind)
    each = [hints[name] for name in kind._fields]
    deep = (index for index, hint in enumerate(each) if _is_deep(hint))
    return _Fields(kind._fields, tuple(map(_looks, each)), tuple(deep), {})


def _is_deep(hint: Any) -> bool:
    """Whether the type of a value does not tell alone whether it is what an annotation says."""
    origin = get_origin(hint)
    if origin in {Union, UnionType}:
        return any(map(_is_deep, get_args(hint)))
    return origin is tuple or hint is Decimal or hasattr(hint, "_fields")


@cache
def _looks(hint: Any) -> Looks:
    """Whether a value is what an annotation says."""
    origin, args = get_origin(hint), get_args(hint)
    if hint is Any:
        return lambda _: True
    if origin in {Union, UnionType}:
        return _one_of(args)
    if origin is tuple:
        return _each(args)
    return _OWN.get(hint) or _is(origin or hint)


def _is(kind: type) -> Looks:
    if hasattr(kind, "_fields"):
        return lambda value: isinstance(value, kind) and not mistyped(value)
    return lambda value: isinstance(value, kind)


def _one_of(hints: tuple[Any, ...]) -> Looks:
    looks = [_looks(hint) for hint in hints if hint is not NoneType]
    none = NoneType in hints
    if len(looks) == 1:
        only = looks[0]
        return lambda value: only(value) if value is not None else none
    own = dict(zip((hint for hint in hints if hint is not NoneType), looks, strict=True))
    return lambda value: _is_any(value, own) if value is not None else none


def _is_any(value: object, own: Mapping[Any, Looks]) -> bool:
    """Whether a value is one of several, looked at first by what its own type has it be."""
    look = own.get(type(value))
    return look(value) if look else any(look(value) for look in own.values())


def _each(hints: tuple[Any, ...]) -> Looks:
    if len(hints) == 2 and hints[1] is Ellipsis:  # noqa: PLR2004 -- as tuple[int, ...] is written
        look = _looks(hints[0])
        return lambda value: isinstance(value, tuple) and all(map(look, value))
    looks = tuple(map(_looks, hints))
    return lambda value: (
        isinstance(value, tuple) and len(value) == len(looks) and all(map(lambda look, one: look(one), looks, value))
    )
