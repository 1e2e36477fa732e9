"""Sessions: somebody who signed in on a device, until the end of a shift, by one tap, or everywhere at once.

One device has one session, so that a shared tablet never records under whoever had it before. After ten idle minutes a
session sleeps: it is there, and records nothing before the PIN was told again.
"""

from collections.abc import Mapping
from contextlib import suppress
from datetime import datetime, timedelta
from typing import NamedTuple

from torqueaudit.book.errors import BookError
from torqueaudit.book.signing import Kept
from torqueaudit.ledger.entry import moment_of, stamp
from torqueaudit.model.act import Refused
from torqueaudit.model.register.devices import DEVICE
from torqueaudit.model.register.people import Person
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.signing.admissions import new_key
from torqueaudit.workshop.signing.devices import is_admitted
from torqueaudit.workshop.signing.hashes import digest_of
from torqueaudit.workshop.signing.pins import require_pin

SHIFT, IDLE, SEEN = timedelta(hours=12), timedelta(minutes=10), timedelta(minutes=1)
MOST_CHOSEN, LONGEST_CHOICE = 20, 200  # choices, characters of each
_ENDED = "you are signed out here; sign in with your number and PIN"


class Session(NamedTuple):
    """Who is signed in on a device, in which roles, whether their PIN is asked again, and what stays chosen."""

    person: str
    roles: tuple[str, ...]
    device: str
    asleep: bool
    chosen: Mapping[str, str]


def sign_in(workshop: Workshop, device: str, person: str, pin: str) -> str:
    """Begin a session; its key, which is kept nowhere else. Whoever was signed in on the device is signed out.

    Raises Refused as `require_pin`, and for a device that was not let in; BookError.
    """
    if not is_admitted(workshop, device):
        raise Refused("this device was not let in, or was withdrawn; ask a foreman for an invitation")
    require_pin(workshop, device, person, pin)
    now, key = workshop.clock(), new_key(workshop)
    one = Kept(digest_of(key), device, person, stamp(now), seen=stamp(now), chosen={})
    workshop.book.signing.begin_session(one, stamp(now - SHIFT))
    return key


def session_of(workshop: Workshop, device: str, key: str) -> Session | None:
    """The session of a key on a device that was found by its own key; None where it has ended.

    It ends after a shift, when somebody signs out or has left, and with its device. That somebody is at work is noted
    once a minute.
    """
    found = _going_on(workshop, device, key)
    if found is None:
        return None
    one, person = found
    asleep = _since(workshop, one.seen) >= IDLE or workshop.book.signing.is_locked(f"{DEVICE}/{device}")
    if not asleep and _since(workshop, one.seen) >= SEEN:
        with suppress(BookError):  # a disk that takes nothing keeps nobody from reading
            workshop.book.signing.see(one, stamp(workshop.clock()))
    return Session(one.person, person.roles, device, asleep, chosen=one.chosen)


def wake(workshop: Workshop, device: str, key: str, pin: str) -> None:
    """Go on with a session that sleeps. Raises Refused as `require_pin`, and where it has ended; BookError."""
    found = _going_on(workshop, device, key)
    if found is None:
        raise Refused(_ENDED)
    require_pin(workshop, device, found[0].person, pin)
    workshop.book.signing.see(found[0], stamp(workshop.clock()))


def sign_out(workshop: Workshop, key: str) -> None:
    """End a session; one that has ended stays so."""
    workshop.book.signing.end_session(digest_of(key))


def sign_out_everywhere(workshop: Workshop, person: str) -> None:
    """End every session of somebody."""
    workshop.book.signing.end_sessions_of(person)


def choose(workshop: Workshop, key: str, chosen: Mapping[str, str]) -> None:
    """Remember what stays chosen in a session, beside what was chosen before; "" takes a choice away.

    Raises Refused for a session that has ended, and where more would be kept than `MOST_CHOSEN` choices, or a name or
    a value longer than `LONGEST_CHOICE`: then nothing changes. BookError.
    """
    one = workshop.book.signing.session(digest_of(key))
    if one is None:
        raise Refused(_ENDED)
    now = {name: value for name, value in {**one.chosen, **chosen}.items() if value}
    if len(now) > MOST_CHOSEN or any(len(each) > LONGEST_CHOICE for pair in now.items() for each in pair):
        raise Refused(f"no more than {MOST_CHOSEN} choices of {LONGEST_CHOICE} characters are kept")
    if now != one.chosen:
        workshop.book.signing.choose(one.digest, now)


def _going_on(workshop: Workshop, device: str, key: str) -> tuple[Kept, Person] | None:
    """A session that has not ended, and whose it is.

    It ends with its device in the same transaction, and whoever asks has found the device by its key (`device_of_key`).
    """
    one = workshop.book.signing.session(digest_of(key))
    if one is None or one.device != device or _since(workshop, one.started) >= SHIFT:
        return None
    person = workshop.person(one.person)
    if person is None or not person.works_on(workshop.today()):
        return None
    return one, person


def _since(workshop: Workshop, moment: str) -> timedelta:
    """How long ago it was; by as much ahead of a clock that was set back, which may have been set back to get in."""
    now: datetime = workshop.clock()
    return abs(now - moment_of(moment))
