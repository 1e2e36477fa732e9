"""The rows of the lists that hold the past of vehicles and wrenches, as every job asks for them."""

from typing import NamedTuple


class FastenerEvent(NamedTuple):
    """Something that happened to one fastener position of a vehicle, in a job or reported by anyone (job None)."""

    vehicle: str
    position: str
    happened_at: str
    job: int | None
    entry: int
    kind: str


class WrenchUseRow(NamedTuple):
    """One pass of a wrench over one fastener of a vehicle."""

    happened_at: str
    job: int
    vehicle: str
    position: str
    entry: int


class Odometer(NamedTuple):
    """A distance read off a vehicle, in metres."""

    vehicle: str
    happened_at: str
    metres: int
    entry: int


class MeasurementRow(NamedTuple):
    """A value measured on a vehicle; `conditions` are pairs as `pairs_text` writes them."""

    key: str
    kind: str
    value: str
    unit: str
    conditions: str
    happened_at: str
    odometer_m: int | None
    job: int
    entry: int


class PartRow(NamedTuple):
    """A part fitted to a vehicle; `attributes` are pairs as `pairs_text` writes them."""

    key: str
    part: str
    lot: str
    new: int
    attributes: str
    happened_at: str
    odometer_m: int | None
    job: int
    entry: int
