"""The one state of a re-check, which page, label, tag, night and bench ask for, and how late it is."""

from datetime import date
from enum import StrEnum
from typing import NamedTuple, TypeAlias

from torqueaudit.model.job.record import JobRecord
from torqueaudit.model.job.road import RecheckPostponed, RecheckReferred, RecheckRefused
from torqueaudit.model.procedure.procedure import RecheckPlan
from torqueaudit.model.recheck.arranged import target_of
from torqueaudit.model.vehicle.exchange import Exchange
from torqueaudit.model.vehicle.visits import Presence


class RecheckState(StrEnum):
    """How the look after the first ride stands."""

    NONE_PLANNED = "none planned"
    NOT_YET_DUE = "not yet due"
    DUE = "due"
    MISSED = "missed"
    IN_HAND = "in hand"
    DONE = "done"
    POSTPONED = "postponed"
    REFUSED = "refused by the owner"
    REFERRED = "handed to another workshop"
    OVERTAKEN = "overtaken by a later job"
    GONE = "vehicle gone"
    WITHDRAWN = "withdrawn"


# The workshop waits for the vehicle, to look at it.
WAITING = (RecheckState.NOT_YET_DUE, RecheckState.POSTPONED, RecheckState.DUE, RecheckState.MISSED)

# It was not done, and the workshop waits for nobody: whoever rides on past its day rides on work nobody looked at.
NOT_DONE_HERE = (RecheckState.GONE, RecheckState.REFUSED, RecheckState.REFERRED)

# Somebody rides on behind its day. Of one that the workshop waits for nothing is late within its grace.
_LATE = (RecheckState.MISSED, RecheckState.REFUSED, RecheckState.REFERRED)


_Past: TypeAlias = tuple[int | None, int | None, int | None]  # by how many days, metres and minutes each is past


class Standing(NamedTuple):
    """The state, and how far whatever it is due at is past: negative before, None where not known or not planned.

    `minutes` are running hours. `estimated` says that what it has run is no reading, but an estimate from its history.
    """

    state: RecheckState
    days: int | None = None
    metres: int | None = None
    minutes: int | None = None
    estimated: bool = False

    @property
    def reached(self) -> bool:
        """Whether the day, the distance or the running hours that it is due at are there."""
        return any(past is not None and past >= 0 for past in self._past)

    @property
    def past(self) -> bool:
        """Whether one of them is behind, its grace not counted; an estimate proves nothing of that."""
        known = self._past[:1] if self.estimated else self._past
        return any(past is not None and past > 0 for past in known)

    @property
    def far(self) -> bool:
        """Whether the distance or the running hours are there."""
        return any(past is not None and past >= 0 for past in self._past[1:])

    @property
    def _past(self) -> _Past:
        return self.days, self.metres, self.minutes

    @property
    def late_days(self) -> int:
        """Days past its day, once it is missed, or where it is not done here."""
        return max(self.days or 0, 0) if self.state in _LATE else 0

    @property
    def late_m(self) -> int:
        """Metres past its distance, in the same states."""
        return max(self.metres or 0, 0) if self.state in _LATE and not self.estimated else 0

    @property
    def late_min(self) -> int:
        """Minutes past its running hours, in the same states."""
        return max(self.minutes or 0, 0) if self.state in _LATE and not self.estimated else 0


class Now(NamedTuple):
    """What a re-check depends on besides its job: the day, what was read last off the vehicle, and where it is.

    What was read is `estimated` from its own history where nobody has read it since it left.

    Its instrument shows metres, or minutes of running hours. `overtaken` says that later jobs have done every
    fastener of the job since.
    """

    today: date
    odometer_m: int | None
    presence: Presence
    overtaken: bool
    minutes: int | None = None
    exchanges: tuple[Exchange, ...] = ()  # of its instrument
    estimated: bool = False


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
    target = target_of(record, now.exchanges)
    days = (now.today - target.on).days if target.on else None
    past = days, _past(target.distance_m, now.odometer_m), _past(target.minutes, now.minutes)
    estimated = now.estimated and past[1:] != (None, None)
    return Standing(_state(plan, record, now, past), *past, estimated=estimated)


def _past(target: int | None, run: int | None) -> int | None:
    """How far the vehicle has run past what it is due at."""
    return None if target is None or run is None else run - target


def _state(plan: RecheckPlan, record: JobRecord, now: Now, past: _Past) -> RecheckState:
    """What has become of the work and its vehicle comes before what was agreed, and that before any day."""
    agreed = record.arranged
    if now.overtaken:
        return RecheckState.OVERTAKEN
    if now.presence.gone:
        return RecheckState.GONE
    if now.presence.here:
        return RecheckState.IN_HAND
    if isinstance(agreed, RecheckRefused):
        return RecheckState.REFUSED
    if isinstance(agreed, RecheckReferred):
        return RecheckState.REFERRED
    state = _by_target(plan, past, estimated=now.estimated)
    put_off = state is RecheckState.NOT_YET_DUE and isinstance(agreed, RecheckPostponed)
    return RecheckState.POSTPONED if put_off else state


def _by_target(plan: RecheckPlan, past: _Past, *, estimated: bool) -> RecheckState:
    """By its day, its distance or its running hours, whichever comes first; an estimate makes it due, and never missed.

    One of which nothing can be counted any more is due: nobody would ever be called about it.
    """
    graces = (plan.grace_days, int(plan.grace_m), plan.grace_min)
    if past == (None, None, None):
        return RecheckState.DUE
    known = (past[0], None, None) if estimated else past
    if any(each is not None and each > grace for each, grace in zip(known, graces, strict=True)):
        return RecheckState.MISSED
    due = any(each is not None and each >= 0 for each in past)
    return RecheckState.DUE if due else RecheckState.NOT_YET_DUE
