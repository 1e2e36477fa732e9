"""What is told of something that was found: what it is called, and the passage that was looked for."""

import re
from collections.abc import Callable, Mapping, Sequence
from datetime import date, datetime
from typing import TYPE_CHECKING, NamedTuple
from zoneinfo import ZoneInfo

from torqueaudit.book import queries
from torqueaudit.book.finds import ROOM, is_struck, texts_of
from torqueaudit.book.spelling import signless, spellings
from torqueaudit.model.act import Refused
from torqueaudit.model.register.devices import fold_device
from torqueaudit.model.register.programs import fold_program
from torqueaudit.model.shown.found import Hit, Why
from torqueaudit.model.unread import NothingKnown
from torqueaudit.workshop.search.meeting import NUMBER, Meeting, Row
from torqueaudit.workshop.search.sought import called

if TYPE_CHECKING:
    from torqueaudit.book.lists.records import JobRow
    from torqueaudit.workshop.door.workshop import Workshop

LONGEST = 80  # characters of a passage
BEFORE = 25  # characters that stand before what was looked for
NOUN = {"site": "the workshop", "night": "the nights"}
SHORT_DIGEST = 12
_TITLES: "Mapping[str, Callable[[Workshop, str], str]]" = {
    "wrench": lambda workshop, key: wrench.tag if (wrench := workshop.wrench(key)) else "",
    "person": lambda workshop, key: person.role if (person := workshop.person(key)) else "",
    "procedure": lambda workshop, key: workshop.procedure(key).procedure.title,
    "device": lambda workshop, key: fold_device(workshop.book.entries(f"device/{key}")).name,
    "program": lambda workshop, key: fold_program(workshop.book.entries(f"program/{key}")).name,
}


class Beside(NamedTuple):
    """What all hits are told with, each asked for once: their jobs, tags, and what is known of people and vehicles."""

    jobs: Mapping[str, "JobRow"]
    tags: Mapping[str, str]
    known: Mapping[tuple[str, str], str]
    zone: ZoneInfo


def hits_of(workshop: "Workshop", meetings: Sequence[Meeting]) -> tuple[Hit, ...]:
    """What is told of the subjects in which words met."""
    rows = [row for met in meetings for _, row in met.rows]
    jobs = [met.subject.partition("/")[2] for met in meetings if met.subject.startswith("job/")]
    vehicles = {row.find.about.partition("/")[2] for row in rows if row.find.about.startswith("vehicle/")}
    beside = Beside(
        jobs={str(row.job): row for row in queries.jobs_among(workshop.book, jobs)},
        tags=queries.tags_of(workshop.book, sorted(vehicles)),
        known=workshop.book.known_of(sorted({row.find.subject for row in rows if row.personal})),
        zone=workshop.settings.timezone,
    )
    return tuple(_hit_of(workshop, met, beside) for met in meetings)


def _hit_of(workshop: "Workshop", met: Meeting, beside: Beside) -> Hit:
    noun, _, key = met.subject.partition("/")
    ways: dict[Row, tuple[str, ...]] = {}
    for word, row in met.rows:  # one row may hold several words
        ways[row] = (*ways.get(row, ()), *word.ways)
    whys = tuple(dict.fromkeys(_why(workshop, row, own, met.subject, beside) for row, own in ways.items()))
    if noun == "job" and key in beside.jobs:
        return job_hit(beside.jobs[key], beside.tags, whys)
    number = key[:SHORT_DIGEST] if noun == "procedure" else "" if noun in NOUN else key
    title = beside.tags.get(key, "") if noun == "vehicle" else _title(workshop, noun, key)
    return Hit(noun=NOUN.get(noun, noun), number=number, title=title, vehicle="", on=_newest(whys), whys=whys)


def job_hit(row: "JobRow", tags: Mapping[str, str], whys: tuple[Why, ...]) -> Hit:
    """What is told of a job that was found, with what its vehicle is called."""
    vehicle = row.vehicle or ""
    title = ", ".join(filter(None, (row.title, tags.get(vehicle))))
    return Hit(noun="job", number=str(row.job), title=title, vehicle=vehicle, on=_newest(whys), whys=whys)


def _newest(whys: Sequence[Why]) -> date | None:
    return max((why.on for why in whys if why.on), default=None)


def _title(workshop: "Workshop", noun: str, key: str) -> str:
    """What something is called; "" where nothing is known of it."""
    try:
        return _TITLES[noun](workshop, key) if noun in _TITLES else ""
    except (Refused, NothingKnown):
        return ""


def _why(workshop: "Workshop", row: Row, ways: Sequence[str], of: str, beside: Beside) -> Why:
    """Why a row was found by a word in one of these ways; what another subject tells says so."""
    find = row.find
    if find.field == NUMBER:
        return Why(NUMBER, find.subject.partition("/")[2])
    name = called(find.field)
    elsewhere = (
        f" of {find.subject.replace('/', ' ')}" if find.subject.startswith("job/") and find.subject != of else ""
    )
    if row.personal:
        return Why(name, passage(beside.known.get((find.subject, find.field), ""), ways), personal=True)
    entry = workshop.book.entry(find.number // ROOM)
    if entry is None:
        return Why(name, "")
    text = next((each.text for each in texts_of(entry, entry.words) if each.number == find.number), "")
    return Why(
        field=f"{name}{elsewhere}",
        says=passage(text, ways),
        on=datetime.fromisoformat(entry.happened_at).astimezone(beside.zone).date(),
        entry=entry.sequence,
        struck=is_struck(workshop.book.engine, entry),
    )


def passage(text: str, ways: Sequence[str]) -> str:
    """What stands around a word in a text, in one line."""
    words = " ".join(text.split())
    if len(words) <= LONGEST:
        return words
    place = max(0, _place_of(words, ways) - BEFORE)
    begin = words.find(" ", place) + 1 if place else 0
    cut = words[begin : begin + LONGEST]
    end = cut if begin + LONGEST >= len(words) else f"{cut.rpartition(' ')[0] or cut}…"
    return f"…{end}" if begin else end


def _place_of(text: str, ways: Sequence[str]) -> int:
    """Where one of the ways begins in a text, about; 0 where that is not known."""
    begins = [match.start() for match in re.finditer(r"\S+", text)]
    for begin in begins:
        rest = text[begin : begin + LONGEST]
        if any(signless(spelled).startswith(way) for spelled in spellings(rest) for way in ways):
            return begin
    for begin in begins:
        word = text[begin:].partition(" ")[0]
        if any(way in signless(spelled) for spelled in spellings(word) for way in ways):
            return begin
    return 0
