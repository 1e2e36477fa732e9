"""What is told of something that was found: what it is called, and the passage that was looked for."""

import re
from collections.abc import Sequence
from datetime import date, datetime
from typing import TYPE_CHECKING

from torqueaudit.book import queries
from torqueaudit.book.finds import ROOM, struck_in, texts_of
from torqueaudit.book.spelling import signless, spellings
from torqueaudit.model.act import Refused
from torqueaudit.model.shown.found import Hit, Why
from torqueaudit.model.unread import NothingKnown
from torqueaudit.workshop.search.meeting import NUMBER, Meeting, Row
from torqueaudit.workshop.search.sought import Sought

if TYPE_CHECKING:
    from torqueaudit.book.lists.records import JobRow
    from torqueaudit.workshop.door.workshop import Workshop

LONGEST = 80  # characters of a passage
BEFORE = 25  # characters that stand before what was looked for
NOUN = {"site": "the workshop", "night": "the nights"}
NAMES = {"why": "reason", "to_whom": "handed to", "frame_number": "frame number"}
SHORT_DIGEST = 12


def hit_of(workshop: "Workshop", met: Meeting) -> Hit:
    """What is told of a subject in which the words met."""
    noun, _, key = met.subject.partition("/")
    whys = tuple(dict.fromkeys(_why(workshop, word, row, met.subject) for word, row in met.rows))
    if noun == "job" and (row := queries.job_row(workshop.book, int(key))):
        return job_hit(row, workshop, whys)
    number = key[:SHORT_DIGEST] if noun == "procedure" else "" if noun in NOUN else key
    return Hit(
        noun=NOUN.get(noun, noun),
        number=number,
        title=_title(workshop, noun, key),
        vehicle="",
        on=_newest(whys),
        whys=whys,
    )


def job_hit(row: "JobRow", workshop: "Workshop", whys: tuple[Why, ...]) -> Hit:
    """What is told of a job that was found."""
    vehicle = row.vehicle or ""
    title = ", ".join(filter(None, (row.title, _title(workshop, "vehicle", vehicle))))
    return Hit(noun="job", number=str(row.job), title=title, vehicle=vehicle, on=_newest(whys), whys=whys)


def _newest(whys: Sequence[Why]) -> date | None:
    return max((why.on for why in whys if why.on), default=None)


def _title(workshop: "Workshop", noun: str, key: str) -> str:
    """What something is called; "" where nothing is known of it."""
    try:
        match noun:
            case "vehicle":
                return queries.tag_of(workshop.book, key)
            case "wrench":
                wrench = workshop.wrench(key)
                return wrench.tag if wrench else ""
            case "person":
                person = workshop.person(key)
                return person.role if person else ""
            case "procedure":
                return workshop.procedure(key).procedure.title
            case _:
                return ""
    except (Refused, NothingKnown):
        return ""


def _why(workshop: "Workshop", word: Sought, row: Row, of: str) -> Why:
    """Why a row was found by a word; what another subject tells says so."""
    find = row.find
    if find.field == NUMBER:
        return Why(NUMBER, find.subject.partition("/")[2])
    name = NAMES.get(find.field, find.field.replace("_", " "))
    elsewhere = (
        f" of {find.subject.replace('/', ' ')}" if find.subject.startswith("job/") and find.subject != of else ""
    )
    if row.personal:
        known = workshop.book.personal_of(find.subject).get(find.field, "")
        return Why(name, passage(known, word.ways), personal=True)
    entry = workshop.book.entry(find.number // ROOM)
    if entry is None:
        return Why(name, "")
    text = next((each.text for each in texts_of(entry, entry.words) if each.number == find.number), "")
    return Why(
        field=f"{name}{elsewhere}",
        says=passage(text, word.ways),
        on=workshop.local_day(datetime.fromisoformat(entry.happened_at)),
        entry=entry.sequence,
        struck=entry.sequence in struck_in(workshop.book.engine, find.subject),
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
