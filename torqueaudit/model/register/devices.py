"""The devices that were let in: phones and tablets on which people sign, by number."""

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.register.people import UNLOCKED
from torqueaudit.model.unread import Unread, told_of

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry

DEVICE = "device"  # the noun of the subject that each is kept under
ADMITTED, WITHDRAWN = "device_admitted.1", "device_withdrawn.1"
KINDS = frozenset({ADMITTED, WITHDRAWN, UNLOCKED, "struck.2"})


class Device(NamedTuple):
    """A phone or tablet that a foreman let in, and may have withdrawn since."""

    number: str
    name: str
    admitted_on: date
    admitted_by: str
    withdrawn_on: date | None = None
    withdrawn_by: str = ""
    why: str = ""  # it was withdrawn
    unread: tuple[Unread, ...] = ()  # entries of it that cannot be read and were not struck


def fold_device(entries: Sequence["Entry"]) -> Device:
    """A device as it was let in and, where it was, withdrawn; nothing brings it back. Raises NothingKnown."""
    device: Device
    device, unread = told_of(entries, _folded, KINDS)
    return device._replace(unread=unread) if unread else device


def _folded(entries: Sequence["Entry"]) -> Device:
    first, *later = entries
    device = Device(first.key, first.told("name"), date.fromisoformat(first.judged["on"]), first.who)
    for entry in later:
        if entry.kind == WITHDRAWN:
            on = date.fromisoformat(entry.judged["on"])
            device = device._replace(withdrawn_on=on, withdrawn_by=entry.who, why=entry.told("why"))
    return device
