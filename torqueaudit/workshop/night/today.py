"""What is to be decided now: a night judged by this hour, without verifying the book and without being recorded."""

from typing import TYPE_CHECKING

from torqueaudit.model.shown.night import Today
from torqueaudit.workshop.night.desk import Desk
from torqueaudit.workshop.night.heartbeat import heartbeat, with_nights_missed
from torqueaudit.workshop.night.in_full import last_in_full
from torqueaudit.workshop.night.rechecks import pending
from torqueaudit.workshop.night.sections import sections_of

if TYPE_CHECKING:
    from torqueaudit.workshop.door.workshop import Workshop


def today_of(workshop: "Workshop") -> Today:
    """The sections of a night as they stand now. What may have a stop standing is known from the last full night."""
    before = last_in_full(workshop.book)
    desk = Desk(workshop, workshop.today(), before, now=True)
    sections = with_nights_missed(sections_of(desk, pending(desk)), heartbeat(workshop))
    return Today(
        date=desk.day,
        site=workshop.book.site,
        demo=desk.settings.demo,
        sections=sections,
        asked_at=workshop.clock().astimezone(desk.settings.timezone),
        judged_in_full=desk.day if desk.full else before and before.day,
        unreached=desk.unreached(sections),
    )
