"""The line of time of a motorcycle: when it was here and when away, with what happened meanwhile."""

from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, NamedTuple
from zoneinfo import ZoneInfo

from torqueaudit.model.shown.course import Happening
from torqueaudit.model.shown.life import Stretch
from torqueaudit.model.vehicle.instrument import Hours, Run, run_text
from torqueaudit.model.vehicle.vehicle import Vehicle

if TYPE_CHECKING:
    from torqueaudit.book.vehicle_queries import Move


class Reading(NamedTuple):
    """What was read off a vehicle, when and in which entry, as it was read."""

    happened_at: datetime
    entry: int
    run: Run


class _Span(NamedTuple):
    """From one move to the one that ends it."""

    here: bool
    gone: bool
    begins: "Move | None"
    ends: "Move | None"


def stretches_of(
    vehicle: Vehicle,
    moves: "Sequence[Move]",
    readings: Sequence[Reading],
    course: Sequence[Happening],
    zone: ZoneInfo,
) -> tuple[Stretch, ...]:
    """The stretches in their order; what happened before anybody said where it was is the first one."""
    spans = list(_spans(moves))
    told: list[list[Happening]] = [[] for _ in spans]
    for each in course:
        told[_place(spans, each.when, each.entries[-1])].append(each)
    read: list[list[Reading]] = [[] for _ in spans]
    for reading in readings:
        read[_place(spans, reading.happened_at, reading.entry)].append(reading)
    made = [_stretch(vehicle, spans[at], read, at, told[at], zone) for at in range(len(spans))]
    return tuple(each for each in made if each.course or each.since)


def ran(vehicle: Vehicle, first: Reading, last: Reading) -> str:
    """How far it ran between two readings, also where its instrument was replaced; "" where nothing tells."""
    begins, ends = (vehicle.presently(each.run, each.happened_at, each.entry) for each in (first, last))
    if isinstance(begins, Hours) and isinstance(ends, Hours) and ends.minutes >= begins.minutes:
        return run_text(Hours(ends.minutes - begins.minutes), vehicle.instrument)
    if isinstance(begins, int) and isinstance(ends, int) and ends >= begins:
        return run_text(ends - begins, vehicle.instrument)
    return ""


def _spans(moves: "Sequence[Move]") -> "Iterator[_Span]":
    """It is here from the first of several comings, and away from the last of several leavings, until it is gone."""
    turns: list[Move] = []
    for move in moves:
        if not turns or (turns[-1].here, turns[-1].gone) != (move.here, move.gone):
            turns.append(move)
        elif not move.here:
            turns[-1] = move
    first = turns[0] if turns else None
    yield _Span(here=False, gone=False, begins=None, ends=first)
    for at, move in enumerate(turns):
        yield _Span(move.here, move.gone, begins=move, ends=turns[at + 1] if at + 1 < len(turns) else None)


def _place(spans: "Sequence[_Span]", when: datetime, entry: int) -> int:
    """The stretch of a moment. A coming begins one, and the leaving that ends one still belongs to it."""
    at = (when, entry)
    for place in range(len(spans) - 1, 0, -1):
        begins = spans[place].begins
        if begins and (at >= (begins.happened_at, begins.entry) if begins.here else _after(at, begins)):
            return place
    return 0


def _after(at: tuple[datetime, int], move: "Move") -> bool:
    return at > (move.happened_at, move.entry)


def _stretch(
    vehicle: Vehicle,
    span: _Span,
    read: Sequence[Sequence[Reading]],
    at: int,
    course: Sequence[Happening],
    zone: ZoneInfo,
) -> Stretch:
    """One stretch; on the road it runs from the last reading before it to the first one behind it."""
    own = list(read[at])
    if span.begins and not span.here:
        own = [*(read[at - 1][-1:] if at else ()), *own, *(read[at + 1][:1] if at + 1 < len(read) else ())]
    first, last = (_shown(vehicle, own[place]) if own else "" for place in (0, -1))
    return Stretch(
        here=span.here,
        gone=span.gone,
        since=span.begins.happened_at.astimezone(zone) if span.begins else None,
        until=span.ends.happened_at.astimezone(zone) if span.ends else None,
        read_first=first,
        read_last=last,
        ran=ran(vehicle, own[0], own[-1]) if len(own) > 1 and not span.here else "",
        course=tuple(course),
    )


def _shown(vehicle: Vehicle, reading: Reading) -> str:
    """What was read, as the instrument of that moment showed it."""
    return run_text(reading.run, vehicle.instrument_at(reading.happened_at))
