"""What was told of a motorcycle outside of any job, act by act: that it came, was put right, had something undone."""

from typing import TYPE_CHECKING

from torqueaudit.model.job.facts import Strike
from torqueaudit.model.job.noted import noted_of
from torqueaudit.model.shown.course import Said
from torqueaudit.model.vehicle.instrument import Instrument, run_in, run_text
from torqueaudit.model.vehicle.vehicle import STRUCK, fold_vehicle
from torqueaudit.workshop.life.course import UNREAD, happenings
from torqueaudit.workshop.vehicles.corrections import said_in

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

    from torqueaudit.ledger.entry import Entry
    from torqueaudit.model.register.settings import Settings
    from torqueaudit.model.shown.course import Happening
    from torqueaudit.model.vehicle.vehicle import Vehicle


def course_of_vehicle(
    vehicle: "Vehicle", entries: "Sequence[Entry]", settings: "Settings", later: "Sequence[Entry]" = ()
) -> "tuple[Happening, ...]":
    """Each act on a vehicle, in the order in which it happened; `entries` are all of its own that are told of.

    What was recorded `later` strikes some of them.
    """
    told_of = fold_vehicle([each for each in entries if each.what != STRUCK])  # also what is struck and cannot be read
    unread = {each.entry for each in (*vehicle.unread, *told_of.unread)}
    readable = {each.sequence: each for each in entries if each.sequence not in unread}

    def says(act: "Sequence[Entry]") -> Said:
        told = [each for each in act if each.sequence in readable]
        whys = dict.fromkeys(each.told("why") for each in told)
        return Said("; ".join(_says(each, vehicle, readable) for each in told) or UNREAD, "; ".join(filter(None, whys)))

    told = happenings(entries, settings, dict(_strikes([*readable.values(), *later])), says)
    return tuple(sorted(told, key=lambda each: each.order))


def _strikes(entries: "Iterable[Entry]") -> "Iterator[tuple[int, Strike]]":
    for each in entries:
        struck = each.said.get("entry")
        if each.what == STRUCK and isinstance(struck, int):
            yield struck, Strike(noted_of(each), struck, each.judged.get("kind", ""), each.told("why"))


def _says(entry: "Entry", vehicle: "Vehicle", readable: "Mapping[int, Entry]") -> str:
    if entry.what == STRUCK:
        of = readable.get(entry.said["entry"])
        return f"struck (#{entry.said['entry']}): {_says(of, vehicle, readable) if of else UNREAD}"
    words = SAID.get(entry.what)
    return words(entry, vehicle) if words else entry.what.replace("_", " ")


def _event(entry: "Entry", vehicle: "Vehicle") -> str:
    """What an event says, with what was read then, as the instrument of that moment showed it."""
    read = run_text(run_in(entry.said), vehicle.instrument_at(noted_of(entry).happened_at))
    return f"{said_in(entry)}{f' at {read}' if read else ''}"


def _entered(entry: "Entry", _: "Vehicle") -> str:
    said = entry.said
    year = f", {said['year']}" if said.get("year") else ""
    return f"entered as {said['tag']}, {said['model']}{year}"


def _changed(entry: "Entry", _: "Vehicle") -> str:
    said = entry.said
    told = [f"{name} {said[name]}" for name in ("tag", "model", "year", "instrument") if name in said]
    told += [each.replace("_", " ") for each in said.get("personal", ())]
    return f"put right: {', '.join(told)}"


def _exchanged(entry: "Entry", vehicle: "Vehicle") -> str:
    """What the old instrument showed last, and the new one first."""
    said, at = entry.said, noted_of(entry).happened_at
    before = [each for each in vehicle.exchanges if each.order < (at, entry.sequence)]
    old = before[-1].instrument if before else vehicle.first_instrument
    new = Instrument(said["instrument"])
    was, now = run_text(run_in(said["was"]), old), run_text(run_in(said["now"]), new)
    last = f": the old one showed {was} last" if was else ""
    return f"{said_in(entry)}{last}; now {new.says}{f', at {now}' if now else ''}"


def _agreed(entry: "Entry", _: "Vehicle") -> str:
    ways = " and ".join(each.replace("mobile", "short message") for each in entry.said["ways"])
    return f"its owner agreed to reminders by {ways}"


SAID: "Mapping[str, Callable[[Entry, Vehicle], str]]" = {
    "entered": _entered,
    "changed": _changed,
    "arrived": _event,
    "read_off": _event,
    "gone": _event,
    "loosened": _event,
    "exchanged": _exchanged,
    "contact_agreed": _agreed,
    "contact_ended": lambda entry, _: f"its owner is reminded no more: {entry.said['what']}",
}
