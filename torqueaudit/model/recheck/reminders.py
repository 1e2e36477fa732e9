"""Which reminder the owner of a vehicle gets about its re-check, and by what key it is known for ever."""

from collections.abc import Sequence
from datetime import date, timedelta
from enum import StrEnum
from typing import NamedTuple

from torqueaudit.model.recheck.state import RecheckState

ASKS_AFTER = timedelta(days=2)  # since the vehicle left: by then it was ridden; common practice, no source
WEEK = timedelta(days=7)


class ReminderKind(StrEnum):
    """What a reminder is about."""

    LEFT = "left"  # when the vehicle leaves
    RIDDEN = "ridden"  # asks for the distance, some days later
    DUE = "due"
    MISSED = "missed"
    WEEKLY = "weekly"  # since it was missed
    OVER = "over"  # nobody waits any more: takes the day out of the reader's calendar


# The re-check of a leaving that is over: its day is taken out of the reader's calendar.
OVER = frozenset(
    {
        RecheckState.DONE,
        RecheckState.REFUSED,
        RecheckState.OVERTAKEN,
        RecheckState.GONE,
        RecheckState.WITHDRAWN,
        RecheckState.NONE_PLANNED,
    }
)


class ReminderKey(NamedTuple):
    """By what a reminder is known: of which job, by its label's token, and from which leaving (its entry).

    `target` is the number of the entry that the day rests on; `n` counts the weekly ones from 1, and is 0 otherwise.
    `since` is the ledger's entry behind which its reader is told all of it anew: their own yes to be reminded, or that
    nobody waited any more.
    """

    job: str
    token: str
    leaving: int
    target: int
    kind: ReminderKind
    n: int = 0
    since: int = 0

    @property
    def id(self) -> str:
        """The id of the act that records it, also a part of its Message-ID: nobody reads the token out of it."""
        from uuid import NAMESPACE_URL, uuid5  # few commands remind anybody

        told = f"{self.token}/{self.leaving}/{self.target}/{self.kind}/{self.n}/{self.since}"
        return uuid5(NAMESPACE_URL, f"torqueaudit:reminder/{told}").hex


class Sent(NamedTuple):
    """A reminder of one leaving and one target that was sent, on which local day."""

    kind: str
    n: int
    on: date


class Awaited(NamedTuple):
    """What a reminder depends on: how the re-check stands, since when the vehicle is away.

    `asks` says that a distance is due and nobody has told one since it left.
    """

    state: RecheckState
    left_on: date
    asks: bool


def due_reminder(
    awaited: Awaited, sent: Sequence[Sent], most_weekly: int, today: date
) -> tuple[ReminderKind, int] | None:
    """The reminder that is to be sent today; None where none is. `sent` are those of this leaving and this target.

    Only the last of what would have been due is sent, however long nothing ran: nobody reads three on one day.
    """
    told = {each.kind for each in sent}
    if awaited.state is RecheckState.MISSED:
        return _missed(told, sent, most_weekly, today)
    if awaited.state is RecheckState.DUE:
        return None if ReminderKind.DUE in told else (ReminderKind.DUE, 0)
    if awaited.state is not RecheckState.NOT_YET_DUE:
        return None
    if awaited.asks and ReminderKind.RIDDEN not in told and today >= awaited.left_on + ASKS_AFTER:
        return ReminderKind.RIDDEN, 0
    return None if told else (ReminderKind.LEFT, 0)


def _missed(told: set[str], sent: Sequence[Sent], most_weekly: int, today: date) -> tuple[ReminderKind, int] | None:
    if ReminderKind.MISSED not in told:
        return ReminderKind.MISSED, 0
    after = [each for each in sent if each.kind in {ReminderKind.MISSED, ReminderKind.WEEKLY}]
    weeks = max(each.n for each in after)
    if weeks >= most_weekly or today < max(each.on for each in after) + WEEK:
        return None
    return ReminderKind.WEEKLY, weeks + 1
