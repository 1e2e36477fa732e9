"""The table `[x.brake]` of a procedure: what the source says of this brake.

A procedure in the book may have been entered without this plugin, so `asked` takes nothing in it for granted.
"""

from collections.abc import Mapping
from typing import Any, NamedTuple

from torqueaudit.plugin import Fit, Step, Table, Work, did_you_mean

NAME = "brake"
FLUID_KIND = "brake fluid"
CLASSES = ("DOT 3", "DOT 4", "DOT 5", "DOT 5.1")  # by FMVSS 116; which one goes in is the procedure's to say
MOST_PASSES, MOST_MONTHS, MOST_PLACES = 20, 120, 24  # more is a slip of the pen


class Asked(NamedTuple):
    """What a procedure asks of the brake; "" and None where it does not say."""

    fluid: str = ""
    change_months: int | None = None
    disc_places: int | None = None
    lever: str = ""
    bleed: str = ""
    passes: int | None = None
    source: str = ""


def look_at(table: Table, work: tuple[Work, ...]) -> None:
    """Note every mistake in the table."""
    steps = {each.key for each in work if isinstance(each, Step)}
    table.choice("fluid", CLASSES, "")
    if table.has("fluid") and not any(isinstance(each, Fit) and each.kind == FLUID_KIND for each in work):
        table.wrong("fluid", f"is stated, but no part of the kind “{FLUID_KIND}” is fitted")
    table.whole("change_months", 1, MOST_MONTHS)
    table.whole("disc_places", 1, MOST_PLACES)
    table.text("source", required=True)
    _look_at_step(table, "lever", steps)
    if table.has("bleeding"):
        _look_at_bleeding(table.inner("bleeding"), steps)
    table.finish()


def _look_at_bleeding(table: Table, steps: set[str]) -> None:
    _look_at_step(table, "step", steps)
    if table.whole("passes", 1, MOST_PASSES) is None and not table.has("passes"):
        table.wrong("passes", "is missing; write how many passes the source asks for")
    table.finish()


def _look_at_step(table: Table, key: str, steps: set[str]) -> None:
    named = table.text(key, required=True)
    if named and named not in steps:
        table.wrong(key, f"“{named}” is no step of this procedure; {did_you_mean(named, steps)}")


def asked(tables: Mapping[str, Mapping[str, Any]]) -> Asked:
    """What the tables of a procedure ask of the brake."""
    table = tables.get(NAME, {})
    inner = table.get("bleeding")
    bleeding = inner if isinstance(inner, Mapping) else {}
    return Asked(
        fluid=_words(table, "fluid"),
        change_months=_whole(table, "change_months"),
        disc_places=_whole(table, "disc_places"),
        lever=_words(table, "lever"),
        bleed=_words(bleeding, "step"),
        passes=_whole(bleeding, "passes"),
        source=_words(table, "source"),
    )


def _words(table: Mapping[str, Any], key: str) -> str:
    value = table.get(key)
    return value if isinstance(value, str) else ""


def _whole(table: Mapping[str, Any], key: str) -> int | None:
    value = table.get(key)
    return value if isinstance(value, int) and not isinstance(value, bool) else None
