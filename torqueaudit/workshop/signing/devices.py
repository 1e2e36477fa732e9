"""Devices: a foreman invites one by a code that is shown once, and whoever opens it there lets that device in.

The code holds for ten minutes and for one device. An entry says which device was let in and by whom; it is withdrawn at
once when it is lost.
"""

from base64 import b32encode
from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import NamedTuple

from torqueaudit.book.signing import Invited, Signing
from torqueaudit.ledger.entry import Draft, Entry, moment_of, stamp
from torqueaudit.ledger.words import FreeWords
from torqueaudit.model.act import Came, Refused, Say, Topic
from torqueaudit.model.register.devices import ADMITTED, DEVICE, WITHDRAWN, Device, fold_device
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.shown.label import ADMIT, base_of
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.signing.admissions import Admissions, new_key
from torqueaudit.workshop.signing.hashes import digest_of

HOLDS = timedelta(minutes=10)  # an invitation
CODE = 128  # bits of chance
INVITATION = "invitation"  # what proves that a device may be let in
DEVICES: Admissions[Device] = Admissions(
    noun=DEVICE,
    begins="D-",
    such_as="tablet at lift 2",
    topic=Topic.DEVICES,
    fold=fold_device,
    act=ActName.WITHDRAW_DEVICE,
    withdrawn=WITHDRAWN,
    take=Signing.take_device,
)
_NOT_OPEN = "This invitation was used, or its ten minutes are over; ask a foreman for a new one."


class Invitation(NamedTuple):
    """An invitation as it is given out: its code, which is kept nowhere, the device's name, and until when it holds."""

    code: str
    name: str
    until: datetime


class Admitted(NamedTuple):
    """A device that was let in: its number, and the key that it shows from now on, which is kept nowhere else."""

    device: str
    key: str


class DeviceView(NamedTuple):
    """A device as lists show it; `has_key` is false where this book does not know its key, as after an import."""

    number: str
    name: str
    admitted_on: str
    by: str
    withdrawn_on: str
    locked: bool
    last_seen: datetime | None
    has_key: bool


def invite(workshop: Workshop, say: Say, name: str) -> Invitation:
    """Give out an invitation for a device, as a foreman. Raises Refused; nothing is recorded yet."""
    name = DEVICES.name_of(workshop, name)
    Attempt(workshop, say).permit(ActName.ADMIT_DEVICE)
    now = workshop.clock()
    code = b32encode(workshop.chance.getrandbits(CODE).to_bytes(CODE // 8, "big")).decode().rstrip("=")
    door, proof, _ = say.came
    told = Invited(digest_of(code), name, say.by, stamp(now + HOLDS), door=door, proof=proof)
    workshop.book.signing.invite(told, stamp(now))
    return Invitation(code, name, now + HOLDS)


def admission_address(workshop: Workshop, code: str) -> str:
    """Where a device has to be opened to be let in by a code."""
    return f"{base_of(workshop.settings, ADMIT)}/{ADMIT}/{code.lower()}"


def invitation(workshop: Workshop, code: str) -> Invited | None:
    """What an invitation is for, which is not taken by looking; None where it was taken, has ended, or never was."""
    told = workshop.book.signing.invitation(digest_of(_read(code)))
    return told if told and _holds(workshop, told) else None


def admit(workshop: Workshop, code: str) -> Admitted:
    """Let in the device that shows a code, in the name of the foreman who gave it out. Only the first one is let in.

    Raises Refused where the code was used, has ended or never was, and for a foreman who has left since.
    """
    told = invitation(workshop, code)
    if told is None:
        raise Refused(_NOT_OPEN)
    key, said = new_key(workshop), {"name": FreeWords(told.name)}
    invited = {"door": told.door, "proof": told.proof}

    def take(signing: Signing, entries: Sequence[Entry]) -> None:
        if not signing.take_invitation(told.digest):
            raise Refused(_NOT_OPEN)
        signing.keep_key(entries[0].key, digest_of(key), stamp(workshop.clock()))

    def build(attempt: Attempt) -> list[Draft]:
        subject = f"{DEVICE}/{DEVICES.next_number(workshop)}"
        attempt.expect[subject], attempt.beside = 0, take
        on = workshop.local_day(attempt.happened_at).isoformat()
        return [attempt.draft(subject, ADMITTED, said, {"on": on, "invited": invited})]

    say = Say(told.by, came=Came("page", INVITATION))
    (entry,) = record(workshop, say, ActName.ADMIT_DEVICE, DEVICE, said, build)
    return Admitted(entry.key, key)


def withdraw_device(workshop: Workshop, say: Say, number: str, why: str) -> None:
    """Let a device in no more, as a foreman; whoever is signed in there is signed out. Raises Refused."""
    DEVICES.withdraw(workshop, say, number, why)


def show_devices(workshop: Workshop) -> tuple[DeviceView, ...]:
    """Every device that was ever let in, in the order of their numbers."""
    signing = workshop.book.signing
    seen = signing.devices_seen()
    return tuple(
        DeviceView(
            number=device.number,
            name=device.name,
            admitted_on=device.admitted_on.isoformat(),
            by=device.admitted_by,
            withdrawn_on=device.withdrawn.on.isoformat() if device.withdrawn else "",
            locked=signing.is_locked(f"{DEVICE}/{device.number}"),
            last_seen=moment_of(seen[device.number]) if device.number in seen else None,
            has_key=device.number in seen,
        )
        for device in DEVICES.all_of(workshop)
    )


def device_of_key(workshop: Workshop, key: str) -> str | None:
    """The number of the device that shows a key; None where none has it, or that one was withdrawn."""
    number = workshop.book.signing.device_of(digest_of(key))
    return number if number and is_admitted(workshop, number) else None


def is_admitted(workshop: Workshop, number: str) -> bool:
    """Whether a device was let in, and not withdrawn since."""
    entries = workshop.book.entries(f"{DEVICE}/{number}")
    return bool(entries) and fold_device(entries).withdrawn is None


def _holds(workshop: Workshop, told: Invited) -> bool:
    return stamp(workshop.clock()) < told.until


def _read(code: str) -> str:
    """A code as it was typed off a screen: any case, with spaces or hyphens."""
    return "".join(code.split()).replace("-", "").upper()
