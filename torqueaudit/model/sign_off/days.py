"""The local days that a sign-off is of."""

from datetime import date, datetime, timedelta
from functools import cached_property
from typing import NamedTuple
from zoneinfo import ZoneInfo

from torqueaudit.model.register.settings import begin_of


class _Asked(NamedTuple):
    """The fields of some days."""

    first: date
    last: date
    zone: ZoneInfo


class Days(_Asked):
    """Local days from the first to the last, both included, by the workshop's clock.

    Their ends are cached here, as a NamedTuple cannot (decision 0001): every fact of every job is held against them.
    """

    @cached_property
    def start(self) -> datetime:
        """Their first moment (UTC)."""
        return begin_of(self.first, self.zone)

    @cached_property
    def end(self) -> datetime:
        """The first moment (UTC) after them."""
        return begin_of(self.last + timedelta(days=1), self.zone)

    def hold(self, moment: datetime) -> bool:
        """Whether a moment lies in them."""
        return self.start <= moment < self.end

    def local(self, moment: datetime) -> datetime:
        """A moment as the workshop's clock showed it."""
        return moment.astimezone(self.zone)


def last_week(today: date, zone: ZoneInfo) -> Days:
    """Monday to Sunday of the week before a day's."""
    monday = today - timedelta(days=today.weekday() + 7)
    return Days(monday, monday + timedelta(days=6), zone)
