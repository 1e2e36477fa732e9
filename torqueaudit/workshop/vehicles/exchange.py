"""An instrument of a vehicle was replaced: recorded with what both showed, so that no distance is lost by it."""

from typing import Any

from torqueaudit.book import queries
from torqueaudit.ledger.entry import Draft
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.vehicle.exchange import Replaced
from torqueaudit.model.vehicle.instrument import Instrument, told_as
from torqueaudit.model.vehicle.vehicle import Vehicle, fold_vehicle
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.vehicles.odometer import require_kind, require_read


def exchange_instrument(workshop: Workshop, vehicle: str, told: Replaced, say: Say) -> Vehicle:
    """Record that the instrument of a vehicle was replaced, put on, or taken away; returns the vehicle as it is then.

    Raises Refused without what the old one showed last and the new one first, for what does not fit what was read
    before, and for another kind of instrument while a re-check waits that no day makes due.
    """
    said: dict[str, Any] = {
        "instrument": told.instrument.value,
        "was": told_as(told.was),
        "now": told_as(told.now),
    }

    def build(attempt: Attempt) -> list[Draft]:
        before = fold_vehicle(attempt.vehicle(vehicle))
        old = require_read(attempt, vehicle, told.was)
        require_kind(vehicle, told.instrument, told.now, needed=True)
        if old is Instrument.NONE and told.instrument is Instrument.NONE:
            raise Refused(f"{vehicle} has neither odometer nor hour meter, so none was replaced")
        if old.counts_distance is not told.instrument.counts_distance or Instrument.NONE in (old, told.instrument):
            _require_days(attempt, before)
        return [attempt.draft(f"vehicle/{vehicle}", "exchanged.1", said)]

    record(workshop, say, ActName.EXCHANGE_INSTRUMENT, f"vehicle/{vehicle}", said, build)
    return workshop.vehicle(vehicle)


def _require_days(attempt: Attempt, vehicle: Vehicle) -> None:
    """The new instrument counts nothing of what the old one would have: no re-check may hang on that alone."""
    for row in queries.jobs_of_vehicle(attempt.workshop.book, vehicle.number):
        waits = row.handed_over_on and not (row.rechecked_on or row.withdrawn or row.due_on)
        if waits and (row.due_distance_m is not None or row.due_min is not None):
            attempt.entries(f"job/{row.job}")
            says = f"the re-check of job {row.job} is due by what the old instrument shows alone"
            raise Refused(f"{vehicle.number}: {says}. A foreman puts it off to a day first, then this can be recorded")
