"""What a person can say of a vehicle."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, NamedTuple

from torqueaudit.model.vehicle.instrument import Instrument


class NewVehicle(NamedTuple):
    """A vehicle as it is entered, by a tag that names nobody."""

    tag: str
    model: str
    year: int | None = None
    instrument: Instrument = Instrument.KM

    @property
    def said(self) -> dict[str, Any]:
        """As an entry holds it: what is not told, or is as with most, is left out."""
        said: dict[str, Any] = {"tag": self.tag, "model": self.model}
        said |= {"year": self.year} if self.year is not None else {}
        return said | ({"instrument": self.instrument.value} if self.instrument is not Instrument.KM else {})


class VehicleChange(NamedTuple):
    """What is told anew of a vehicle; None leaves it as it was.

    `personal` are plate, frame number and contact by field, which stay outside the ledger; an empty one is taken away.
    """

    tag: str | None = None
    model: str | None = None
    year: int | None = None
    instrument: Instrument | None = None
    personal: Mapping[str, str] = MappingProxyType({})

    @property
    def said(self) -> dict[str, Any]:
        """As an entry holds it: of what lies outside the ledger no more than which of it is another one."""
        facts = {"tag": self.tag, "model": self.model, "year": self.year}
        said: dict[str, Any] = {name: fact for name, fact in facts.items() if fact is not None}
        said |= {"instrument": self.instrument.value} if self.instrument else {}
        return said | ({"personal": sorted(self.personal)} if self.personal else {})
