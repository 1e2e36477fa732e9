"""A vehicle as it was entered and put right since."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.unread import Unread, told_of
from torqueaudit.model.vehicle.exchange import Exchange, moment, presently
from torqueaudit.model.vehicle.instrument import Instrument, Run, run_in

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry

# What an entry tells, whatever its version.
KINDS = frozenset(
    {
        *("entered.1", "changed.1", "arrived.1", "gone.1", "loosened.1", "loosened.2", "struck.1", "struck.2"),
        *("contact_agreed.1", "contact_ended.1", "exchanged.1", "read_off.1"),
    }
)
CHANGED, STRUCK = "changed", "struck"
ARRIVED, GONE, REPORTED, EXCHANGED, READ_OFF = EVENTS = "arrived", "gone", "loosened", "exchanged", "read_off"


class Holding(NamedTuple):
    """Whether the sources of a job hold for its vehicle: "" where they do, else why not; in which entry."""

    why_not: str
    entry: int


class Vehicle(NamedTuple):
    """A motorcycle, by number and by a tag that names nobody.

    `judged_anew` are the jobs whose sources were held against it once more when it was put right.
    """

    number: str
    tag: str
    model: str
    year: int | None
    judged_anew: Mapping[str, Holding] = MappingProxyType({})
    instrument: Instrument = Instrument.KM  # as it is now
    first_instrument: Instrument = Instrument.KM  # before any exchange
    exchanges: tuple[Exchange, ...] = ()  # those that stand, in the order they happened
    unread: tuple[Unread, ...] = ()  # entries that cannot be read and were not struck

    def instrument_at(self, at: datetime) -> Instrument:
        """The instrument that it had at a moment."""
        before = [each for each in self.exchanges if each.order <= moment(at)]
        return before[-1].instrument if before else self.first_instrument

    def presently(self, run: Run | None, at: datetime, entry: int) -> Run | None:
        """What its instrument of today would show of what was read at a moment, in an entry."""
        return presently(self.exchanges, run, (at, entry))


def fold_vehicle(entries: Sequence["Entry"]) -> Vehicle:
    """A vehicle as last entered and put right; what happened to it outside any job stands beside it."""
    vehicle: Vehicle
    vehicle, unread = told_of(entries, _folded, KINDS)
    return vehicle._replace(unread=unread) if unread else vehicle


def _folded(entries: Sequence["Entry"]) -> Vehicle:
    for entry in entries:
        _require_event(entry)
    entered = [entry for entry in entries if entry.kind == "entered.1"][-1]
    tag, model, year = entered.said["tag"], entered.said["model"], entered.said.get("year")
    instrument = Instrument(entered.said.get("instrument", Instrument.KM))
    anew: dict[str, Holding] = {}
    exchanges = _exchanges(entries)
    for entry in (each for each in entries if each.what == CHANGED):
        said = entry.said
        tag, model, year = said.get("tag", tag), said.get("model", model), said.get("year", year)
        instrument = Instrument(said.get("instrument", instrument))
        anew |= {job["job"]: Holding(job["outside"], entry.sequence) for job in entry.judged.get("jobs", ())}
    return Vehicle(
        number=entered.key,
        tag=tag,
        model=model,
        year=year,
        judged_anew=MappingProxyType(anew),
        instrument=exchanges[-1].instrument if exchanges else instrument,
        first_instrument=instrument,
        exchanges=exchanges,
    )


def _exchanges(entries: Sequence["Entry"]) -> tuple[Exchange, ...]:
    """Those that nobody has taken back."""
    struck = {entry.said["entry"] for entry in entries if entry.what == STRUCK}
    told = [entry for entry in entries if entry.what == EXCHANGED and entry.sequence not in struck]
    return tuple(sorted(map(exchange_of, told), key=lambda each: each.order))


def exchange_of(entry: "Entry") -> Exchange:
    """What an entry says of an instrument that was replaced. Raises KeyError, or ValueError."""
    said = entry.said
    order = (datetime.fromisoformat(entry.happened_at), entry.sequence)
    return Exchange(order, run_in(said["was"]), run_in(said["now"]), Instrument(said["instrument"]))


def _require_event(entry: "Entry") -> None:
    """Look whether an event says what its rows are made of. Raises KeyError, or ValueError."""
    if entry.what == REPORTED and not isinstance(entry.said["position"], str):
        raise ValueError("position")
    if entry.what in EVENTS:
        run_in(entry.said)
    if entry.what == EXCHANGED:
        exchange_of(entry)


def standing_events(vehicle: Vehicle, entries: Sequence["Entry"]) -> tuple["Entry", ...]:
    """What happened to a vehicle outside any job and was not struck: it came, went, was read, or had a fastener undone.

    `vehicle` is what these entries are folded to.
    """
    gone = {entry.said["entry"] for entry in entries if entry.what == STRUCK}
    gone |= {each.entry for each in vehicle.unread}
    return tuple(entry for entry in entries if entry.what in EVENTS and entry.sequence not in gone)
