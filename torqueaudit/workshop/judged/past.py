"""What is known of a vehicle over all its jobs: it lies around each of them, and is loaded once for all."""

from typing import TYPE_CHECKING, NamedTuple, TypeVar

from torqueaudit.book import vehicle_queries
from torqueaudit.model.judged.around import (
    VehicleEvent,
    VehicleHours,
    VehicleMeasurement,
    VehicleOdometer,
    VehiclePart,
)
from torqueaudit.model.vehicle.exchange import continued_m
from torqueaudit.model.vehicle.vehicle import Vehicle

if TYPE_CHECKING:
    from torqueaudit.workshop.door.workshop import Workshop

Told = TypeVar("Told", VehicleMeasurement, VehiclePart)


class Past(NamedTuple):
    """A vehicle, what any job or report did to its fasteners, and what was measured, fitted and read, each in order."""

    vehicle: Vehicle
    events: tuple[VehicleEvent, ...]
    measured: tuple[VehicleMeasurement, ...]
    fitted: tuple[VehiclePart, ...]
    odometers: tuple[VehicleOdometer, ...]
    hours: tuple[VehicleHours, ...]


def past_of(workshop: "Workshop", number: str) -> Past:
    """The past of a vehicle: what a server has loaded before, as long as that holds. Raises Refused for none."""

    def loaded() -> Past:
        return _loaded(workshop, number)

    return workshop.kept.get("past", number, loaded) if workshop.kept else loaded()


def _loaded(workshop: "Workshop", number: str) -> Past:
    vehicle, book = workshop.vehicle(number), workshop.book
    return Past(
        vehicle=vehicle,
        events=tuple(vehicle_queries.later_events(book, number)),
        measured=tuple(_continued(vehicle, each) for each in vehicle_queries.measured_on(book, number)),
        fitted=tuple(_continued(vehicle, each) for each in vehicle_queries.fitted_to(book, number)),
        odometers=tuple(_run_on(vehicle, each) for each in vehicle_queries.odometers_of(book, number)),
        hours=tuple(vehicle_queries.hours_of(book, number)),
    )


def _continued(vehicle: Vehicle, told: Told) -> Told:
    """What was measured or fitted at a distance, as the first odometer would show that."""
    if not vehicle.exchanges or told.odometer_m is None:
        return told
    order = (told.happened_at, told.entry)
    return told._replace(odometer_m=continued_m(vehicle.exchanges, told.odometer_m, order))


def _run_on(vehicle: Vehicle, read: VehicleOdometer) -> VehicleOdometer:
    order = (read.happened_at, read.entry)
    return read._replace(run_m=continued_m(vehicle.exchanges, read.metres, order)) if vehicle.exchanges else read
