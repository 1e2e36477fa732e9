"""The one state of a re-check, which page, label, tag, night and bench ask for, and how late it is."""

from datetime import date
from enum import StrEnum
from typing import NamedTuple

from torqueaudit.model.job.record import JobRecord
from torqueaudit.model.procedure.procedure import RecheckPlan
from torqueaudit.model.vehicle.visits import Presence


class RecheckState(StrEnum):
    """How the look after the first ride stands."""

    NONE_PLANNED = "none planned"
    NOT_YET_DUE = "not yet due"
    DUE = "due"
    MISSED = "missed"
    IN_HAND = "in hand"
    DONE = "done"
    OVERTAKEN = "overtaken by a later job"
    GONE = "vehicle gone"
    WITHDRAWN = "withdrawn"


WAITING = frozenset({RecheckState.NOT_YET_DUE, RecheckState.DUE, RecheckState.MISSED})


class Standing(NamedTuple):
    """The state, and how far the day and the distance it is due at are past: negative before, None where not known."""

    state: RecheckState
    days: int | None = None
    metres: int | None = None

    @property
    def late_days(self) -> int:
        """Days past its day, once it is missed: within its grace nothing is late."""
        return max(self.days or 0, 0) if self.state is RecheckState.MISSED else 0

    @property
    def late_m(self) -> int:
        """Metres past its distance, once it is missed."""
        return max(self.metres or 0, 0) if self.state is RecheckState.MISSED else 0


class Now(NamedTuple):
    """What a re-check depends on besides its job: the day, the newest odometer in metres, where the vehicle is.

    `overtaken` says that later jobs have done every fastener of the job since.
    """

    today: date
    odometer_m: int | None
    presence: Presence
    overtaken: bool


def standing_of(plan: RecheckPlan | None, record: JobRecord, now: Now) -> Standing:
    """How the re-check of a job stands."""
    left = record.first_ride
    if record.withdrawn:
        return Standing(RecheckState.WITHDRAWN)
    if plan is None:
        return Standing(RecheckState.NONE_PLANNED)
    if record.recheck:
        return Standing(RecheckState.DONE)
    if left is None:
        return Standing(RecheckState.NOT_YET_DUE)
    days = (now.today - left.due_on).days if left.due_on else None
    known = left.due_distance_m is not None and now.odometer_m is not None
    metres = (now.odometer_m or 0) - (left.due_distance_m or 0) if known else None
    return Standing(_waiting(plan, now, days, metres), days, metres)


def _waiting(plan: RecheckPlan, now: Now, days: int | None, metres: int | None) -> RecheckState:
    if now.presence.gone:
        return RecheckState.GONE
    if now.overtaken:
        return RecheckState.OVERTAKEN
    if now.presence.here:
        return RecheckState.IN_HAND
    past = [(days, plan.grace_days), (metres, int(plan.grace_m))]
    if any(each is not None and each > grace for each, grace in past):
        return RecheckState.MISSED
    due = any(each is not None and each >= 0 for each, _ in past)
    return RecheckState.DUE if due else RecheckState.NOT_YET_DUE
