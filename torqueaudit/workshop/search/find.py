"""Anything in the book found by words: a plate, a name, a telephone, a lot, a remark, a number, a day."""

from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from typing import TYPE_CHECKING

from torqueaudit.book import queries
from torqueaudit.ledger.entry import stamp
from torqueaudit.model.register.settings import begin_of
from torqueaudit.model.shown.found import Found, Hit, Why
from torqueaudit.read.day import read_day_either_way
from torqueaudit.workshop.search.disclosures import note, require_may_be_shown
from torqueaudit.workshop.search.hits import hits_of, job_hit
from torqueaudit.workshop.search.meeting import meet
from torqueaudit.workshop.search.sought import read_sought

if TYPE_CHECKING:
    from torqueaudit.model.act import Say
    from torqueaudit.workshop.door.workshop import Workshop

MOST = 20  # hits that are shown where nobody says how many


def find(workshop: "Workshop", typed: str, say: "Say", most: int = MOST) -> Found:
    """At most so many things in which all that was typed meets: first where a word begins so, then the newest.

    What is shown of anybody is noted before. Raises Refused for who may be shown nothing, and for words that are too
    short; BookError where it cannot be noted.
    """
    require_may_be_shown(workshop, say)
    found = _found(workshop, typed, most)
    note(workshop, say, _personal(found.hits))
    return found


def _found(workshop: "Workshop", typed: str, most: int) -> Found:
    if day := _day_of(typed):
        hits = tuple(_of_day(workshop, day, most + 1))
        return Found(typed.strip(), hits[:most], more=len(hits) > most)
    met = meet(workshop.book, read_sought(typed), most)
    told = sorted(hits_of(workshop, met.meetings), key=lambda hit: hit.noun == "procedure")  # few look for one
    return Found(typed.strip(), tuple(told), met.more)


def _personal(hits: Iterable[Hit]) -> dict[str, set[str]]:
    """What is about to be shown of people and of vehicles' owners: of each subject the fields."""
    shown: dict[str, set[str]] = {}
    for hit in hits:
        if fields := {why.field for why in hit.whys if why.personal}:
            subject = f"vehicle/{hit.vehicle}" if hit.vehicle else f"{hit.noun}/{hit.number}"
            shown.setdefault(subject, set()).update(fields)
    return shown


def _day_of(typed: str) -> date | None:
    try:
        return read_day_either_way(typed.strip())
    except ValueError:
        return None


def _of_day(workshop: "Workshop", day: date, most: int) -> Iterator[Hit]:
    """The jobs that were opened or handed over on a day, the newest first."""
    zone = workshop.settings.timezone
    first, last = (stamp(begin_of(each, zone)) for each in (day, day + timedelta(days=1)))
    rows = queries.jobs_of_day(workshop.book, (first, last), most)
    tags = queries.tags_of(workshop.book, [row.vehicle or "" for row in rows])
    for row in rows:
        opened = first <= (row.opened_on or "") < last
        yield job_hit(row, tags, (Why("day", "opened" if opened else "handed over", day),))
