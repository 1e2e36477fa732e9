"""Kinds of parts: what is written down with one, and between which words somebody chooses."""

from collections.abc import Callable, Iterable, Mapping
from typing import TYPE_CHECKING, Any, NamedTuple

from torqueaudit.model.nearest import did_you_mean, digits_meant, near

if TYPE_CHECKING:
    from torqueaudit.model.procedure.procedure import Fit


class PartAttribute(NamedTuple):
    """What is written down of a part under one name; where there are `choices`, one of them, else any words.

    With `digits` it is a size or a count, in which no letter may stand for a digit ("52O" for 520).
    """

    name: str
    choices: tuple[str, ...] = ()
    digits: bool = False


class PartKind(NamedTuple):
    """A kind that `fit` in a procedure may name: PartKind("chain link", (PartAttribute("type", ("rivet", "clip")),)).

    Its attributes are those that the procedure may ask for. What is told beside them is kept as any words. `stated` is
    given the procedure's part and all of its tables `[x.NAME]` by name, and answers what they state of the part, by the
    attribute: whoever fits it sees that first, and says it with one tap.
    """

    name: str
    attributes: tuple[PartAttribute, ...]
    stated: Callable[["Fit", Mapping[str, Mapping[str, Any]]], Mapping[str, str]] | None = None


class OwnedPartKind(NamedTuple):
    """A kind of part, and the plugin that gives it."""

    plugin: str
    kind: PartKind


def require_part_kinds(given: Iterable[PartKind], known: Mapping[str, OwnedPartKind]) -> None:
    """Raise ValueError unless each kind that a plugin gives is new and its attributes can be told apart."""
    owners = {name: f"plugin {owned.plugin}" for name, owned in known.items()}
    for kind in given:
        if kind.name in owners:
            raise ValueError(f"“{kind.name}” is also given by {owners[kind.name]}")
        if not kind.name or not kind.attributes:
            raise ValueError(f"“{kind.name}” has no name or no attribute")
        owners[kind.name] = "itself"
        for attribute in kind.attributes:
            if len({_plain(choice) for choice in attribute.choices}) != len(attribute.choices):
                raise ValueError(f"“{kind.name}” has two choices of “{attribute.name}” that read the same")


def as_chosen(kind: PartKind, told: Iterable[tuple[str, str]]) -> tuple[tuple[str, str], ...]:
    """What was told of a part, each choice in its own word, each attribute of the kind under its own name.

    Raises ValueError, with the choices, for any other word, and for what stands in the place of a digit 0 to 9.
    """
    known = {_plain(attribute.name): attribute for attribute in kind.attributes}
    return tuple(_as_chosen(known.get(_plain(name), PartAttribute(name)), value) for name, value in told)


def _as_chosen(attribute: PartAttribute, told: str) -> tuple[str, str]:
    meant = digits_meant(told) if attribute.digits else ""
    if meant:
        raise ValueError(f"“{attribute.name}” is “{told}”, with another sign where a digit belongs; write {meant}")
    return attribute.name, _chosen(attribute.name, told, attribute.choices)


def _chosen(name: str, told: str, choices: tuple[str, ...]) -> str:
    if not choices:
        return told
    found = next((choice for choice in choices if _plain(choice) == _plain(told)), None)
    if found is None:
        known = f"“{name}” is {' or '.join(f'“{choice}”' for choice in choices)}, not “{told}”"
        raise ValueError(f"“{name}” is not “{told}”; {did_you_mean(told, choices)}" if near(told, choices) else known)
    return found


def _plain(words: str) -> str:
    return " ".join(words.split()).casefold()
