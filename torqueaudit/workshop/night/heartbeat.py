"""The heartbeat of the night: a night that did not run is seen by whatever runs next."""

from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.book import last_night
from torqueaudit.model.act import See, Sentence, Topic
from torqueaudit.model.register.nights import LATE_FROM
from torqueaudit.model.shown.night import Line, Night, NightSection
from torqueaudit.workshop.door.ledger import made_on
from torqueaudit.workshop.night.in_full import last_in_full
from torqueaudit.workshop.night.night import with_code, with_line
from torqueaudit.workshop.night.sections import NIGHTS_MISSED, NIGHTS_MISSED_TITLE, REST

if TYPE_CHECKING:
    from torqueaudit.workshop.door.workshop import Workshop

MOST_AT_ONCE = 14  # nights that are made up for in one run; those before are told
ONE = timedelta(days=1)


class Heartbeat(NamedTuple):
    """The last day whose night was audited, None where none was, and how many days from `since` on had no night."""

    last: date | None
    since: date
    missed: int

    @property
    def says(self) -> Sentence | None:
        """That nights were missed, in a sentence; None where none was."""
        if self.missed <= 0:
            return None
        several = f"{self.missed} night{'s' if self.missed > 1 else ''} since"
        not_ = "were not." if self.missed > 1 else "was not."
        if self.last:
            says = f"The last night that was audited is that of {self.last}; {several} {not_}"
        else:
            says = f"No night was audited yet: the book was made on {self.since}, and {several} {not_}"
        return Sentence(says, See(Topic.NIGHTS))


def heartbeat(workshop: "Workshop", before: date | None = None) -> Heartbeat:
    """Which nights are missing up to the day `before`, or up to now: that of yesterday counts from six o'clock on.

    A book that was copied knows no more than the last night that judged everything. The demo has no nights to miss.
    """
    last = last_audited(workshop)
    since = last + ONE if last else made_on(workshop)
    end = before or workshop.today() - (ONE if _is_early(workshop) else timedelta())
    return Heartbeat(last, since, 0 if workshop.settings.demo else max(0, (end - since).days))


def last_audited(workshop: "Workshop") -> date | None:
    """The last day whose night was audited, as far as that is known.

    The ledger is asked where nothing lies beside the book: it holds some nights alone, also one that failed at being
    told.
    """
    workshop.asks_outside()
    if known := last_night.newest(workshop.book.path):
        return known
    in_full = last_in_full(workshop.book)
    return in_full.day if in_full else None


def nights_to_run(workshop: "Workshop") -> list[date]:
    """The days up to yesterday whose nights were not audited, the oldest first; of a long row the newest of them.

    Of a book whose first night this is, that of yesterday alone.
    """
    last, end = last_audited(workshop), workshop.today()
    missing = (end - last - ONE).days if last else 1
    return [end - ONE * back for back in range(min(missing, MOST_AT_ONCE), 0, -1)]


def keep_audited(workshop: "Workshop", night: Night) -> None:
    """Keep that a night was audited, once its report was told. Raises BookError."""
    last_night.keep(workshop.book.path, night.date, workshop.clock())


def with_heartbeat(night: Night, beat: Heartbeat) -> Night:
    """The night with the nights before it that were not audited: somebody has to act, so it ends with exit code 1.

    The first night of a book misses none before it.
    """
    return with_code(night._replace(sections=with_nights_missed(night.sections, beat))) if beat.last else night


def with_nights_missed(sections: tuple[NightSection, ...], beat: Heartbeat) -> tuple[NightSection, ...]:
    """Sections with one more, of the nights that were not audited, after what could not be; where there are any."""
    says = beat.says
    if says is None:
        return sections
    missed = NightSection(NIGHTS_MISSED, NIGHTS_MISSED_TITLE, (Line(says.says, see=says.see),))
    return (sections[0], missed, *sections[1:])


def with_lateness(night: Night) -> Night:
    """The night with a line under the rest that says so, where it is made up for: nobody need act on it any more."""
    days = (night.asked_at.date() - night.date).days - 1
    if days <= 0:
        return night
    late = f"{days} day{'s' if days > 1 else ''} late"
    says = f"This night was audited {late}, on {night.asked_at.date()}: the machine was off, or its timer did not run."
    return with_line(night, REST, Line(says))


def _is_early(workshop: "Workshop") -> bool:
    return _local(workshop).time() < LATE_FROM


def _local(workshop: "Workshop") -> datetime:
    return workshop.clock().astimezone(workshop.settings.timezone)
