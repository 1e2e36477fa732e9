"""What the rows of a workshop's own lists say."""

from collections.abc import Mapping
from datetime import date
from typing import NamedTuple

from torqueaudit.model.shown.reminder import Contact
from torqueaudit.model.vehicle.acts import NewVehicle
from torqueaudit.model.vehicle.instrument import Run
from torqueaudit.model.wrench.acts import NewWrench

KEY = "key_in_list"  # the field of what a list calls a vehicle, which may tell whose it is


class Agreement(NamedTuple):
    """The owner's yes to be reminded: by which way, who of the workshop heard it, and on which day."""

    contact: Contact
    heard_by: str
    on: date


class ListedVehicle(NamedTuple):
    """A vehicle as a row tells it. `personal` are plate, frame number, contact and the list's own key, by field.

    `left_out` is told of the row and not entered, each as a sentence.
    """

    new: NewVehicle
    personal: Mapping[str, str]
    run: Run | None = None
    read_on: date | None = None
    agreement: Agreement | None = None
    left_out: tuple[str, ...] = ()


class ListedWrench(NamedTuple):
    """A wrench as a row tells it, and what the list itself calls it, "" where it calls it nothing."""

    new: NewWrench
    key: str
