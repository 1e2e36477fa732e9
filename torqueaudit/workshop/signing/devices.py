"""Devices: a foreman invites one by a code that is shown once, and whoever opens it there lets that device in.

The code holds for ten minutes and for one device. An entry says which device was let in and by whom; it is withdrawn at
once when it is lost.
"""

from base64 import b32encode
from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from typing import NamedTuple

from torqueaudit.book.signing import Invited, Signing
from torqueaudit.ledger.entry import Draft, Entry, moment_of, stamp
from torqueaudit.ledger.words import FreeWords
from torqueaudit.model.act import Came, Refused, Say, See, Topic
from torqueaudit.model.register.devices import ADMITTED, DEVICE, WITHDRAWN, Device, fold_device
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.shown.label import ADMIT, base_of
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.names import refuse_personal
from torqueaudit.workshop.door.refusal import refuse_unseen
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.signing.hashes import digest_of

HOLDS = timedelta(minutes=10)  # an invitation
CODE, KEY = 128, 256  # bits of chance
LONGEST_NAME = 60
INVITATION = "invitation"  # what proves that a device may be let in
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
    name = " ".join(name.split())
    if not name or len(name) > LONGEST_NAME:
        raise Refused(f"give the device a name of 1 to {LONGEST_NAME} characters, such as “tablet at lift 2”")
    refuse_unseen(name, "name")
    refuse_personal(workshop, FreeWords(name))
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
        subject = f"{DEVICE}/D-{workshop.book.next_number(DEVICE)}"
        attempt.expect[subject], attempt.beside = 0, take
        on = workshop.local_day(attempt.happened_at).isoformat()
        return [attempt.draft(subject, ADMITTED, said, {"on": on, "invited": invited})]

    say = Say(told.by, came=Came("page", INVITATION))
    (entry,) = record(workshop, say, ActName.ADMIT_DEVICE, DEVICE, said, build)
    return Admitted(entry.key, key)


def withdraw_device(workshop: Workshop, say: Say, number: str, why: str) -> None:
    """Let a device in no more, as a foreman; whoever is signed in there is signed out. Raises Refused."""
    if not why.strip():
        raise Refused(f"{number}: say why it is withdrawn")
    subject, said = f"{DEVICE}/{number}", {"why": FreeWords(why)}

    def build(attempt: Attempt) -> list[Draft]:
        entries = attempt.entries(subject)
        if not entries:
            raise no_device(number)
        if (device := fold_device(entries)).withdrawn_on:
            raise Refused(f"{number} was withdrawn on {device.withdrawn_on} already")
        attempt.beside = lambda signing, _: signing.take_device(number)
        on = workshop.local_day(attempt.happened_at).isoformat()
        return [attempt.draft(subject, WITHDRAWN, said, {"on": on})]

    record(workshop, say, ActName.WITHDRAW_DEVICE, subject, said, build)


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
            withdrawn_on=device.withdrawn_on.isoformat() if device.withdrawn_on else "",
            locked=signing.is_locked(f"{DEVICE}/{device.number}"),
            last_seen=moment_of(seen[device.number]) if device.number in seen else None,
            has_key=device.number in seen,
        )
        for device in _devices(workshop)
    )


def device_of_key(workshop: Workshop, key: str) -> str | None:
    """The number of the device that shows a key; None where none has it, or that one was withdrawn."""
    number = workshop.book.signing.device_of(digest_of(key))
    return number if number and is_admitted(workshop, number) else None


def is_admitted(workshop: Workshop, number: str) -> bool:
    """Whether a device was let in, and not withdrawn since."""
    entries = workshop.book.entries(f"{DEVICE}/{number}")
    return bool(entries) and fold_device(entries).withdrawn_on is None


def no_device(number: str) -> Refused:
    """The refusal of a number that no device has."""
    return Refused(f"{number}: no device of that number was let in", See(Topic.DEVICES))


def new_key(workshop: Workshop) -> str:
    """A key that nobody guesses, for a device or for a session."""
    return f"{workshop.chance.getrandbits(KEY):0{KEY // 4}x}"


def _devices(workshop: Workshop) -> Iterator[Device]:
    for number in range(1, workshop.book.next_number(DEVICE)):
        if entries := workshop.book.entries(f"{DEVICE}/D-{number}"):
            yield fold_device(entries)


def _holds(workshop: Workshop, told: Invited) -> bool:
    return stamp(workshop.clock()) < told.until


def _read(code: str) -> str:
    """A code as it was typed off a screen: any case, with spaces or hyphens."""
    return "".join(code.split()).replace("-", "").upper()
