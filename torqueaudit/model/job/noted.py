"""Where a fact of a job stands in the ledger, who said it, and which finding it names; read from its entry."""

from collections.abc import Mapping
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING, Any, NamedTuple

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry


class FindingKey(NamedTuple):
    """What one concession covers: this rule, on this subject, caused by this entry and no later one."""

    rule: str
    subject: str
    entry: int


class Noted(NamedTuple):
    """Where a fact stands, and who said it when; role and supervisor as they were at that moment."""

    entry: int
    number: int
    happened_at: datetime
    recorded_at: datetime
    by: str
    role: str
    supervisor: str

    @property
    def order(self) -> tuple[datetime, int]:
        """The order of the work: when it happened, then as it was told."""
        return (self.happened_at, self.number)

    def late(self, minutes: int) -> timedelta | None:
        """How long after it happened it was recorded, where that is more than so many minutes."""
        delay = self.recorded_at - self.happened_at
        return delay if delay > timedelta(minutes=minutes) else None


def noted_of(entry: "Entry") -> Noted:
    """Where and by whom an entry was said."""
    return Noted(
        entry=entry.sequence,
        number=entry.number,
        happened_at=datetime.fromisoformat(entry.happened_at),
        recorded_at=datetime.fromisoformat(entry.recorded_at),
        by=entry.who,
        role=entry.judged.get("role", ""),
        supervisor=entry.judged.get("supervisor", ""),
    )


def key_of(plain: Mapping[str, Any]) -> FindingKey:
    """A finding's key as entries hold it."""
    return FindingKey(plain["rule"], plain["subject"], plain["entry"])


def optional_decimal(text: str | None) -> Decimal | None:
    """A decimal that may be absent."""
    return None if text is None else Decimal(text)


def optional_date(text: str | None) -> date | None:
    """A date that may be absent."""
    return None if text is None else date.fromisoformat(text)


def plain_key(key: FindingKey) -> dict[str, Any]:
    """A finding's key as entries hold it."""
    return {"rule": key.rule, "subject": key.subject, "entry": key.entry}
