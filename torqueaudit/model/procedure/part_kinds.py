"""Kinds of parts: what is written down with one, and between which words somebody chooses."""

from collections.abc import Callable, Iterable, Mapping
from typing import TYPE_CHECKING, Any, NamedTuple

from torqueaudit.model.nearest import did_you_mean, digits_meant, near
from torqueaudit.model.procedure.drawing import Drawing, require_drawing

if TYPE_CHECKING:
    from torqueaudit.model.procedure.procedure import Fit


class PartAttribute(NamedTuple):
    """What is written down of a part under one name; where there are `choices`, one of them, else any words.

    With `digits` it is a size or a count, in which no letter may stand for a digit ("52O" for 520). `drawings` show
    what the choices mean, one for each in their order, or none; the words stay beside them.
    """

    name: str
    choices: tuple[str, ...] = ()
    digits: bool = False
    drawings: tuple[Drawing, ...] = ()

    def drawing_of(self, choice: str) -> Drawing | None:
        """What is drawn beside a choice; None where nothing is."""
        return self.drawings[self.choices.index(choice)] if self.drawings else None


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
    """Raise ValueError unless each kind that a plugin gives is new, told apart and drawn as far as it says."""
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
            _require_drawings(kind, attribute)


def _require_drawings(kind: PartKind, attribute: PartAttribute) -> None:
    drawings, choices = len(attribute.drawings), len(attribute.choices)
    if drawings not in (0, choices):
        raise ValueError(f"“{kind.name}” draws {drawings} of the {choices} choices of “{attribute.name}”")
    for choice, drawing in zip(attribute.choices, attribute.drawings, strict=False):
        try:
            require_drawing(drawing)
        except ValueError as error:
            raise ValueError(f"“{kind.name}” draws “{choice}” as nothing that can be drawn: {error}") from None


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
