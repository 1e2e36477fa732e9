"""What is to be decided now: a night judged by this hour, without verifying the book and without being recorded."""

from typing import TYPE_CHECKING

from torqueaudit.book import queries
from torqueaudit.model.act import See, Topic
from torqueaudit.model.shown.night import Line, Today
from torqueaudit.workshop.night.desk import Desk
from torqueaudit.workshop.night.heartbeat import heartbeat, with_nights_missed
from torqueaudit.workshop.night.in_full import is_due, last_in_full
from torqueaudit.workshop.night.rechecks import pending
from torqueaudit.workshop.night.sections import sections_of
from torqueaudit.workshop.night.upkeep import with_upkeep

if TYPE_CHECKING:
    from torqueaudit.workshop.door.workshop import Workshop


SMALL = 200  # jobs of a book in which everything on the road is judged at once
NEVER = "No night has judged the motorcycles on the road yet, so a stop that stands on one may not be told here."


def today_of(workshop: "Workshop", *, small: int = SMALL) -> Today:
    """The sections of a night as they stand now. What may have a stop standing is known from the last full night.

    Where none was yet, everything on the road is judged in a `small` book, of so many jobs; of a larger one it is told
    that nothing was.
    """

    def judged() -> Today:
        return _judged(workshop, small)

    told = judged() if workshop.kept is None else workshop.kept.get("today", small, judged)
    # Whether a night ran, or a backup was made, lies beside the book, where nobody sees it change: asked each time.
    sections = with_upkeep(workshop, told.sections, told.date)
    return told._replace(sections=with_nights_missed(sections, heartbeat(workshop)))


def _judged(workshop: "Workshop", small: int) -> Today:
    before = last_in_full(workshop.book)
    full = before is None and queries.counts(workshop.book).jobs <= small
    desk = Desk(workshop, workshop.today(), before, now=True, full=full)
    never = () if before or full else (Line(NEVER, see=See(Topic.NIGHTS)),)
    sections = sections_of(desk, pending(desk), never)
    return Today(
        date=desk.day,
        site=workshop.book.site,
        demo=desk.settings.demo,
        sections=sections,
        asked_at=workshop.clock().astimezone(desk.settings.timezone),
        judged_in_full=desk.day if desk.full else before and before.day,
        full_tonight=not full and is_due(before, desk.since, desk.day, workshop.plugins),
        unreached=desk.unreached(sections),
    )
