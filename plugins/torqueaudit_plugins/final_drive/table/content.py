"""What a procedure's table `[x.final_drive]` states, read with care: it may have been entered without this plugin."""

from collections.abc import Mapping
from decimal import Decimal, InvalidOperation
from typing import Any, NamedTuple

from torqueaudit_plugins.final_drive.calc.sprockets import PITCHES_MM

# The kinds of measurement of a final drive.
WEAR, SLACK, ALIGNMENT = "chain wear", "chain slack", "wheel alignment"
FLARE, POSITION = "rivet flare", "adjuster position"

NAME = "final_drive"
CHAIN, FRONT, REAR, LINK = "chain", "front", "rear", "link"
ROLES: Mapping[str, tuple[str, ...]] = {  # the keys that the parts have where the table names none
    CHAIN: ("chain",),
    FRONT: ("front-sprocket",),
    REAR: ("rear-sprocket",),
    LINK: ("rivet-link", "clip-link", "master-link"),
}
USES = ("road", "off-road", "competition")
LINKS = ("rivet", "clip")


class Care(NamedTuple):
    """One piece of advice: what, how often in distance and by season, how, from whom, and whether it is followed."""

    what: str
    every: str
    season: str
    advice: str
    source: str
    follows: bool


class Stated(NamedTuple):
    """The table; what it does not state is None or empty. `parts` are the keys of the parts by their role."""

    size: str
    pitch_mm: Decimal | None
    front: int | None
    rear: int | None
    links: int | None
    centre_mm: tuple[float, float] | None
    adjuster_pitch_mm: Decimal | None
    adjuster_end_mm: Decimal | None
    base_mm: Decimal | None
    wear_pins: int | None
    use: str
    link: str
    always_look: tuple[str, ...]
    complaint: tuple[str, ...]
    parts: Mapping[str, tuple[str, ...]]
    care: tuple[Care, ...]


def stated_in(tables: Mapping[str, Any]) -> Stated:
    """The table among all of a procedure's; a value that is none of its kind counts as not stated."""
    table = tables.get(NAME, {})
    table = table if isinstance(table, Mapping) else {}
    size = _text(table, "chain")
    return Stated(
        size=size,
        pitch_mm=PITCHES_MM.get(size) or _number(table.get("pitch_mm")),
        front=_whole(table, "front"),
        rear=_whole(table, "rear"),
        links=_whole(table, "links"),
        centre_mm=_range(table.get("centre_distance_mm")),
        adjuster_pitch_mm=_number(table.get("adjuster_pitch_mm")),
        adjuster_end_mm=_number(table.get("adjuster_end_mm")),
        base_mm=_number(table.get("alignment_base_mm")),
        wear_pins=_whole(table, "wear_pins"),
        use=_text(table, "use"),
        link=_text(table, "link"),
        always_look=tuple(each for each in _list(table, "always_look") if isinstance(each, str)),
        complaint=tuple(each for each in _list(table, "complaint") if isinstance(each, str)),
        parts=_parts(table.get("parts")),
        care=tuple(_care(each) for each in _list(table, "care") if isinstance(each, Mapping)),
    )


def _text(table: Mapping[str, Any], key: str) -> str:
    value = table.get(key, "")
    return value if isinstance(value, str) else ""


def _whole(table: Mapping[str, Any], key: str) -> int | None:
    value = table.get(key)
    return value if isinstance(value, int) and not isinstance(value, bool) else None


def _list(table: Mapping[str, Any], key: str) -> list[Any]:
    value = table.get(key, [])
    return list(value) if isinstance(value, list | tuple) else []


def _number(value: object) -> Decimal | None:
    """A number above zero, which the stored form keeps as text unless it is whole."""
    if isinstance(value, bool) or not isinstance(value, int | str | Decimal):
        return None
    try:
        number = Decimal(value)
    except InvalidOperation:
        return None
    return number if number.is_finite() and number > 0 else None


def _range(value: object) -> tuple[float, float] | None:
    ends = [_number(each) for each in value] if isinstance(value, list | tuple) else []
    match ends:
        case [Decimal() as least, Decimal() as most] if least < most:
            return float(least), float(most)
    return None


def _parts(value: object) -> Mapping[str, tuple[str, ...]]:
    named = value if isinstance(value, Mapping) else {}
    return {role: (str(named[role]),) if role in named else keys for role, keys in ROLES.items()}


def _care(table: Mapping[str, Any]) -> Care:
    what, every, season, advice, source = (_text(table, key) for key in ("what", "every", "season", "advice", "source"))
    return Care(
        what=what, every=every, season=season, advice=advice, source=source, follows=table.get("follows") is True
    )
