"""What a procedure states, piece by piece in words: for whoever reads it against its source, or against another one."""

from collections.abc import Callable, Iterator, Mapping
from typing import Any, NamedTuple

from torqueaudit.model.procedure.normal_form import normal_form
from torqueaudit.model.procedure.procedure import Procedure
from torqueaudit.model.procedure.words import FIELDS, KINDS
from torqueaudit.model.vehicle.instrument import hours_text

WHOLE, RECHECK = "the whole", "the re-check"
# The keys of the normal form that the text spells otherwise.
_WRITTEN = {
    "size": "count",
    "final_written": "final_torque",
    "drag_excluded": "prevailing_torque",
    "drag_min_nm": "prevailing_torque_min",
    "distance_written": "distance",
    "grace_m": "grace_distance",
    "run_min": "hours",
    "grace_min": "grace_hours",
}
# Worked out of what is written, or said in another place.
_LEFT_OUT = frozenset(
    {
        *("work", "key", "name", "form", "sources", "recheck", "x", "specification", "own_tolerance", "lower_nm"),
        *("upper_nm", "nominal_nm", "half_digit_nm", "final_lower_nm", "final_upper_nm", "stage_torques", "lower"),
        *("upper", "distance_m"),
    }
)
_OF_KEYS = frozenset(("after", "covers", "again_after", "marks", "measurements", "torques", "source"))
# What stands in the document; everything else is how the workshop wants the work done.
_OF_THE_WORKSHOP = frozenset(
    {
        *("name", "says", "after", "picture", "mark", "photo", "check", "holds", "source", "page", "again_after"),
        *("needs", "covers", "proves", "look", "required"),
    }
)


class Stated(NamedTuple):
    """One field of a piece: its key in the text, and in words what it is called and what it says.

    `printed`: it is to be found in the document that the piece names. `means` is what it means where that can be spelt
    in several ways, "108 Nm" and "108 N·m"; where it is None, other words mean something else.
    """

    field: str
    label: str
    says: str
    printed: bool = False
    means: object = None


class Piece(NamedTuple):
    """The whole, a source, one piece of work or the re-check: its key, what it is, its name, where it is printed."""

    key: str
    kind: str
    name: str = ""
    page: str = ""
    stated: tuple[Stated, ...] = ()

    @property
    def called(self) -> str:
        """The piece in words: "fastener: front axle"."""
        return f"{self.kind}: {self.name}" if self.name else self.kind

    @property
    def by_field(self) -> "dict[tuple[str, str], Stated]":
        """What is stated by its field; warnings, of which there are several, by their words too."""
        return {(each.field, each.says if each.field == "warnings" else ""): each for each in self.stated}


def pieces_of(procedure: Procedure) -> tuple[Piece, ...]:
    """What a procedure states, in the order of the work; what stands at its default is left out."""
    form: Any = normal_form(procedure)
    names = {each["key"]: each["name"] for each in form["work"]}
    documents = {each["key"]: each["document"] for each in form["sources"]}
    again = form.get("recheck")
    return (
        Piece("", WHOLE, stated=(Stated("name", "short name", form["name"]), *_stated(form, names, printed=False))),
        *(_source(each) for each in form["sources"]),
        *(_work(each, names | documents) for each in form["work"]),
        *([Piece("", RECHECK, stated=tuple(_stated(again, names, printed=False)))] if again else []),
        *(Piece("", f"table of {name}", stated=tuple(_table(table))) for name, table in form.get("x", {}).items()),
    )


def _source(source: Mapping[str, Any]) -> Piece:
    return Piece(source["key"], "source", source["document"], stated=tuple(_stated(source, {}, printed=True)))


def _work(work: Mapping[str, Any], names: Mapping[str, str]) -> Piece:
    said = {**work.get("specification", {}), **work}
    if said.get("own_tolerance"):
        said["tolerance"] += " (the workshop's own: none is printed)"
    source = names.get(said.get("source", ""), "")
    page = f"{source}, page {said['page']}" if source and said.get("page") else source
    return Piece(
        work["key"], KINDS[work["work"]], work["name"], page, stated=tuple(_stated(said, names, printed=bool(source)))
    )


def _stated(said: Mapping[str, Any], names: Mapping[str, str], *, printed: bool) -> Iterator[Stated]:
    for key, value in said.items():
        field = _field(key, said)
        if key in _LEFT_OUT or value in ("", None) or (field == "unit" and "written" in said):
            continue
        if field == "warnings":
            yield from (Stated(field, FIELDS[field], each) for each in value)
            continue
        if field in _OF_KEYS:
            named = [names.get(each, each) for each in ([value] if isinstance(value, str) else value)]
            yield Stated(field, FIELDS[field], ", ".join(named))
            continue
        yield Stated(
            field,
            FIELDS[field],
            _IN_WORDS.get(field, _words)(value),
            printed=printed and field not in _OF_THE_WORKSHOP,
            means=_means(field, said),
        )


def _means(field: str, said: Mapping[str, Any]) -> object:
    """The numbers that a torque or a range was read as, with how many digits of a torque were printed."""
    match field:
        case "torque":
            read = said["nominal_nm"] if "nominal_nm" in said else (said.get("lower_nm"), said.get("upper_nm"))
            return said["unit"], read, said.get("half_digit_nm")
        case "final_torque":
            return said.get("final_lower_nm"), said.get("final_upper_nm")
        case "limit":
            return said["unit"], said.get("lower"), said.get("upper")
    return None


def _field(key: str, said: Mapping[str, Any]) -> str:
    if key == "written":
        return "torque" if said["work"] == "tighten" else "limit"
    return _WRITTEN.get(key, key)


def _words(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ", ".join(map(str, value))
    return str(value)


def _table(table: object, at: str = "") -> Iterator[Stated]:
    """What the table of a plugin says, each value by its place: "front-axle.hole_diameter_mm"."""
    if isinstance(table, Mapping):
        for key, value in table.items():
            yield from _table(value, f"{at}.{key}".lstrip("."))
    else:
        yield Stated(at, at, _words(table), printed=True)


def _pairs(value: list[list[str]]) -> str:
    return ", ".join(": ".join(pair) for pair in value)


_IN_WORDS: Mapping[str, Callable[[Any], str]] = {
    "picture": lambda value: f"{value['file']} ({value['says']}; SHA-256 {value['digest'][:12]})",
    "prevailing_torque": lambda _: "excluded, so it comes on top",
    "years": lambda value: " to ".join(map(str, dict.fromkeys(value))),
    "frames": " to ".join,
    "also": lambda value: ", ".join(each["written"] for each in value),
    "conditions": _pairs,
    "hours": hours_text,
    "grace_hours": hours_text,
    "grace_distance": "{} m".format,
    "angle": "{}°".format,
    "angle_tolerance": "{}°".format,
    "prevailing_torque_min": "{} N·m".format,
}
