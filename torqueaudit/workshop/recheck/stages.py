"""The owner's pages of a vehicle as they will be read on later days, if nothing else is recorded."""

from datetime import date, timedelta
from typing import TYPE_CHECKING

from torqueaudit.model.recheck.arranged import target_of
from torqueaudit.model.recheck.estimate import estimated_on
from torqueaudit.model.register.settings import begin_of
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.recheck.owner import owner_views
from torqueaudit.workshop.vehicles.present import live_jobs

if TYPE_CHECKING:
    from collections.abc import Iterator

    from torqueaudit.model.shown.owner import OwnerView

DAY = timedelta(days=1)


def stages_of(workshop: Workshop, vehicle: str) -> "dict[str, tuple[OwnerView, ...]]":
    """Of each job on a vehicle the owner's view of today, and that of each later day that may change it.

    Raises Refused for an unknown vehicle.
    """
    seen = [owner_views(workshop, vehicle)]
    seen += [owner_views(_on(workshop, day), vehicle) for day in _turning_days(workshop, vehicle)]
    return {number: tuple(views[number] for views in seen) for number in seen[0]}


def _turning_days(workshop: Workshop, vehicle: str) -> list[date]:
    """The days ahead on which a re-check becomes due, is past its day, is missed, or a concession holds no more."""
    today = workshop.today()
    rows = live_jobs(workshop, vehicle)
    return sorted({day for row in rows for day in _turning_days_of(workshop, str(row.job)) if day > today})


def _turning_days_of(workshop: Workshop, number: str) -> "Iterator[date]":
    job = workshop.job(number)
    due, plan, left = target_of(job.record).on, job.procedure.recheck, job.record.first_ride
    if left and (by_history := estimated_on(job.record, workshop.local_day(left.noted.happened_at))):
        yield by_history
    if due and plan:
        yield due
        yield due + DAY
        yield due + timedelta(days=plan.grace_days) + DAY
    yield from (granted.expires_on + DAY for granted in job.record.concessions())


def _on(workshop: Workshop, day: date) -> Workshop:
    """The same workshop at the beginning of a local day."""
    return workshop.at(begin_of(day, workshop.settings.timezone))
