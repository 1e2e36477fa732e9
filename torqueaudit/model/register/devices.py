"""The devices that were let in: phones and tablets on which people sign, by number."""

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.register.people import UNLOCKED
from torqueaudit.model.register.withdrawal import Withdrawal, withdrawal_in
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
    withdrawn: Withdrawal | None = None
    unread: tuple[Unread, ...] = ()  # entries of it that cannot be read and were not struck


def fold_device(entries: Sequence["Entry"]) -> Device:
    """A device as it was let in and, where it was, withdrawn; nothing brings it back. Raises NothingKnown."""
    device: Device
    device, unread = told_of(entries, _folded, KINDS)
    return device._replace(unread=unread) if unread else device


def _folded(entries: Sequence["Entry"]) -> Device:
    first, *later = entries
    return Device(
        number=first.key,
        name=first.told("name"),
        admitted_on=date.fromisoformat(first.judged["on"]),
        admitted_by=first.who,
        withdrawn=withdrawal_in(later, WITHDRAWN),
    )
