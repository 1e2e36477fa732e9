"""A part that goes in: what the procedure asks of it, its choices as choices, its lot scanned or typed."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.act import Refused
from torqueaudit.model.job.acts import Part
from torqueaudit.model.procedure.drawing import Drawing
from torqueaudit.model.procedure.part_kinds import OwnedPartKind, PartAttribute
from torqueaudit.model.procedure.procedure import Fit
from torqueaudit.workshop.jobs.steps_and_parts import fit

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry
    from torqueaudit.model.act import Say
    from torqueaudit.model.judged.next import Next
    from torqueaudit.web.bench.at_work import AtWork
    from torqueaudit.web.typed import Typed

TEMPLATE = "bench/part.html"
LONGEST_LOT = 80  # characters
OWN = "with."  # begins the names of the fields that hold an attribute


class Choice(NamedTuple):
    """One word to choose, and what is drawn beside it, where its kind draws anything."""

    says: str
    drawing: Drawing | None


class AskedOfPart(NamedTuple):
    """One thing that is written down with a part: the choices there are, and what was typed, or is stated."""

    field: str
    name: str
    choices: tuple[Choice, ...]
    digits: bool
    told: str


class PartScreen(NamedTuple):
    """A part as the procedure asks for it. `once` says that it holds once only, so that it is new each time.

    `instead` and `used` are what was typed and ticked of another part, in a form that was refused.
    """

    name: str
    says: str
    part: str
    once: bool
    asks: tuple[AskedOfPart, ...]
    more: tuple[AskedOfPart, ...]  # what its kind knows besides, told where there is something to say
    lot: str
    longest_lot: int
    instead: str
    used: bool


def show(at: "AtWork", said: "Next", typed: "Typed") -> PartScreen:
    """What is asked, with the choices of its kind."""
    asked = _fit(at, said)
    owned = at.workshop.plugins.part_kinds.get(asked.kind) if asked.kind else None
    known = {each.name: each for each in owned.kind.attributes} if owned else {}
    stated = _stated(at, owned, asked)
    return PartScreen(
        name=asked.name,
        says=asked.says,
        part=asked.part,
        once=asked.single_use,
        asks=tuple(
            _asked(known.get(name, PartAttribute(name)), stated.get(name, ""), typed) for name in asked.attributes
        ),
        more=tuple(_asked(each, "", typed) for name, each in known.items() if name not in asked.attributes),
        lot=typed.one("lot"),
        longest_lot=LONGEST_LOT,
        instead=typed.one("part") or asked.part,
        used=typed.one("used") == "yes",
    )


def act(at: "AtWork", said: "Next", typed: "Typed", say: "Say") -> "list[Entry]":
    """Record the part as stated, or in other words, with what was told of it."""
    asked = _fit(at, said)
    told = tuple((name, value) for name in _names(at, asked) if (value := typed.one(f"{OWN}{name}")))
    written = typed.one("as") == "written"
    name = (typed.one("part") if written else "") or asked.part
    part = Part(name, typed.one("lot"), not (written and typed.one("used") == "yes"), told)
    return fit(at.workshop, at.number, asked.key, part, say)


def _asked(attribute: PartAttribute, stated: str, typed: "Typed") -> AskedOfPart:
    field = f"{OWN}{attribute.name}"
    return AskedOfPart(
        field=field,
        name=attribute.name,
        choices=tuple(Choice(each, attribute.drawing_of(each)) for each in attribute.choices),
        digits=attribute.digits,
        told=typed.one(field) or stated,
    )


def _names(at: "AtWork", asked: Fit) -> tuple[str, ...]:
    """What may be told of a part: what the procedure asks for, then what its kind knows besides."""
    owned = at.workshop.plugins.part_kinds.get(asked.kind) if asked.kind else None
    known = (each.name for each in owned.kind.attributes) if owned else ()
    return tuple(dict.fromkeys((*asked.attributes, *known)))


def _stated(at: "AtWork", owned: OwnedPartKind | None, asked: Fit) -> Mapping[str, str]:
    """What the procedure states of the part, as its kind reads it; nothing from a plugin that breaks at it."""
    if owned is None or owned.kind.stated is None:
        return {}
    try:
        return {name: str(value) for name, value in owned.kind.stated(asked, at.job.procedure.x).items()}
    except Exception:  # noqa: BLE001  # whatever a plugin does, the part can be told
        return {}


def _fit(at: "AtWork", said: "Next") -> Fit:
    item = at.item(said.key)
    if not isinstance(item, Fit):
        raise Refused(f"{item.name}: is no part; go back to what comes next")
    return item
