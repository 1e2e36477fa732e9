"""The hour of a look at a wrench, told later, and which hours are asked for.

Two looks of one day whose order nobody knows are asked for it; until it is told, the one that found the wrench out
counts, for what was before and for what comes. See decision 0077.
"""

from collections.abc import Iterator
from datetime import date, datetime, time
from typing import Any, NamedTuple

from torqueaudit.ledger.entry import Draft, stamp
from torqueaudit.model.act import Refused, Say, See, Topic
from torqueaudit.model.listed import listed
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.shown.wrench import OrderAsked
from torqueaudit.model.wrench.doubt import not_ordered
from torqueaudit.model.wrench.entries import fold_wrench
from torqueaudit.model.wrench.look import Look
from torqueaudit.model.wrench.wrench import Wrench
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.wrenches.wrench import day_of, require_wrench


class LookTimed(NamedTuple):
    """The hour told of a look, why the wrench may not be used now, "" where it may, and what is asked of it still."""

    wrench: str
    entry: int
    what: str
    hour: str
    withdrawn: str
    order_asked: tuple[OrderAsked, ...]


def time_look(workshop: Workshop, number: str, entry: int, hour: time, say: Say) -> LookTimed:
    """Tell at which hour of its day a calibration or an interim check was done, as a foreman; the last told holds.

    Raises Refused for an entry that is no look of this wrench, or is struck, and for an hour that has not come yet.
    """
    subject, said = f"wrench/{number}", {"entry": entry, "hour": hour_text(hour)}

    def build(attempt: Attempt) -> list[Draft]:
        entries = attempt.entries(subject) if number.startswith("W-") else []
        if not entries:
            raise Refused(f"{number}: no such wrench", See(Topic.WRENCHES))
        look = _look(fold_wrench(entries), entry)
        return [attempt.draft(subject, "look_timed.1", said, {"on": day_of(attempt), **timed(workshop, look.on, hour)})]

    record(workshop, say, ActName.TIME_LOOK, subject, said, build)
    wrench = require_wrench(workshop, number)
    return LookTimed(
        wrench=number,
        entry=entry,
        what=_look(wrench, entry).what,
        hour=hour_text(hour),
        withdrawn=wrench.withdrawn,
        order_asked=tuple(order_asked(wrench, entry)),
    )


def hour_text(hour: time) -> str:
    """An hour as entries hold it: "14:30"."""
    return f"{hour:%H:%M}"


def timed(workshop: Workshop, on: date, hour: time) -> dict[str, Any]:
    """The moment that an hour of a local day is, as entries hold it. Refused where it has not come yet."""
    moment = datetime.combine(on, hour, workshop.settings.timezone)
    if moment > workshop.clock():
        raise Refused(f"{on} {hour_text(hour)} has not come yet; give the hour at which it was done")
    return {"at": stamp(moment)}


def order_asked(wrench: Wrench, entry: int | None = None) -> Iterator[OrderAsked]:
    """What is asked of the order of looks of one day: of every such day, or of that of one look."""
    for looks in not_ordered(wrench):
        if entry is None or any(look.entry == entry for look in looks):
            yield OrderAsked(
                entries=tuple(look.entry for look in looks),
                out=any(look.out or look.failed for look in looks),
                says=_asked_text(looks),
            )


def _asked_text(looks: tuple[Look, ...]) -> str:
    which = listed(f"#{look.entry} ({look.what})" for look in looks)
    out = any(look.out or look.failed for look in looks)
    return (
        f"nobody knows in which order {which} of {looks[0].on} were done; until the hour of each "
        f"is told, {'the one that found the wrench out' if out else 'the worse one'} counts"
    )


def _look(wrench: Wrench, entry: int) -> Look:
    look = next((each for each in wrench.looks if each.entry == entry), None)
    if look is None:
        says = f"entry {entry} is no calibration and no interim check of wrench {wrench.number} that stands"
        raise Refused(says, See(Topic.ENTRIES_OF_WRENCH, wrench.number))
    return look
