"""How a motorcycle stands now, over all its jobs: the first words of every record of it."""

from collections.abc import Iterable
from typing import NamedTuple

from torqueaudit.model.judged.sentences import stops_text
from torqueaudit.model.shown.job import JobView
from torqueaudit.model.shown.vehicle import Riding, VehicleView


class VehicleCard(NamedTuple):
    """How the vehicle stands now, over all its jobs: the large words, and what they rest on."""

    weight: str
    figure: str
    says: tuple[str, ...]
    stops: tuple[str, ...]  # of other jobs than the one whose label this is


def vehicle_card(view: JobView, vehicle: VehicleView) -> VehicleCard:
    """Say whether it may be ridden, and what stands against it on other jobs than the one whose label is read."""
    riding = vehicle.riding
    bad = bool(vehicle.stops) or riding is Riding.NOT_SIGNED
    others = [work for work in vehicle.works if work.number != view.number]
    stops = tuple(says for work in others for says in _stops_of(work, away=not vehicle.presence.here))
    figure = f"{riding[0].upper()}{riding[1:]}"
    return VehicleCard("stop" if bad else "good", figure, tuple(_vehicle_says(vehicle)), stops)


def _stops_of(work: JobView, *, away: bool) -> Iterable[str]:
    """The stops of another job: each of one on the road, of one at the bench how many."""
    stops = work.told_stops
    if away:
        return (f"Job {work.number}: {says}" for says in stops)
    return [f"Job {work.number}: {stops_text(len(stops))}."] if stops else []


def _vehicle_says(vehicle: VehicleView) -> Iterable[str]:
    presence, zone = vehicle.presence, vehicle.book.asked_at.tzinfo
    if presence.since:
        where = "Here" if presence.here else "Away"
        gone = " for good" if presence.gone else ""
        yield f"{where}{gone} since {presence.since.astimezone(zone):%Y-%m-%d}."
    if vehicle.unsigned and (not presence.here or len(vehicle.unsigned) < len(vehicle.works)):
        yield f"Signed by nobody: work of job {', '.join(vehicle.unsigned)}."
