"""A vehicle as it was entered and put right since."""

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry

# What an entry tells, whatever its version.
CHANGED, STRUCK = "changed", "struck"
ARRIVED, GONE, REPORTED = EVENTS = "arrived", "gone", "loosened"


class Holding(NamedTuple):
    """Whether the sources of a job hold for its vehicle: "" where they do, else why not; in which entry."""

    why_not: str
    entry: int


class Vehicle(NamedTuple):
    """A motorcycle, by number and by a tag that names nobody.

    `judged_anew` are the jobs whose sources were held against it once more when it was put right.
    """

    number: str
    tag: str
    model: str
    year: int | None
    judged_anew: Mapping[str, Holding] = MappingProxyType({})


def fold_vehicle(entries: Sequence["Entry"]) -> Vehicle:
    """A vehicle as last entered and put right; what happened to it outside any job stands beside it."""
    entered = [entry for entry in entries if entry.kind == "entered.1"][-1]
    tag, model, year = entered.said["tag"], entered.said["model"], entered.said.get("year")
    anew: dict[str, Holding] = {}
    for entry in (each for each in entries if each.what == CHANGED):
        said = entry.said
        tag, model, year = said.get("tag", tag), said.get("model", model), said.get("year", year)
        anew |= {job["job"]: Holding(job["outside"], entry.sequence) for job in entry.judged.get("jobs", ())}
    return Vehicle(number=entered.key, tag=tag, model=model, year=year, judged_anew=MappingProxyType(anew))


def standing_events(entries: Sequence["Entry"]) -> tuple["Entry", ...]:
    """What happened to a vehicle outside any job and was not struck: it came, went, or had a fastener undone."""
    gone = {entry.said["entry"] for entry in entries if entry.what == STRUCK}
    return tuple(entry for entry in entries if entry.what in EVENTS and entry.sequence not in gone)
