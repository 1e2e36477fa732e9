"""What is known of a motorcycle's owner, for whoever works here and has the owner on the telephone."""

from datetime import date
from typing import NamedTuple


class Told(NamedTuple):
    """Something that an owner said, or was told: on which day, of which job ("" for none), and in which entry."""

    on: date
    job: str
    says: str
    entry: int


class OtherVehicle(NamedTuple):
    """Another vehicle of the same owner, as far as name, telephone or mail address tell."""

    number: str
    tag: str


class Known(NamedTuple):
    """Something that is known outside the ledger: its field ("frame number"), and what it is."""

    field: str
    value: str


class CustomerView(NamedTuple):
    """The card of a vehicle's owner.

    `consent` is one sentence about reminders, `reminded_by` the ways that the owner has said yes to. `due` are the
    re-checks that are waited for. `said`, `reminders` and `disclosed` begin with the newest.
    """

    vehicle: str
    tag: str
    model: str
    known: tuple[Known, ...]
    consent: str
    reminded_by: tuple[str, ...]
    others: tuple[OtherVehicle, ...]
    due: tuple[str, ...]
    said: tuple[Told, ...]
    reminders: tuple[Told, ...]
    disclosed: tuple[str, ...]
    demo: bool

    def value(self, field: str) -> str:
        """What is known under a field, "" where nothing is."""
        return next((each.value for each in self.known if each.field == field), "")
