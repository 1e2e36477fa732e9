"""PINs: set, asked, and locked once too many wrong ones were told.

Whoever tells a wrong PIN learns nothing: the sentence, the time it takes and the locking are the same for a number that
nobody has, for one without a PIN, and for who has left. A try is counted before its PIN is looked at, so that many at
once try no more often than one after the other.
"""

import re
from collections.abc import Sequence
from datetime import timedelta

from torqueaudit.book.errors import BookError
from torqueaudit.book.secrets import LENGTH_OF_PEPPER, Secrets, default_place
from torqueaudit.book.signing import Pin, Signing, Try
from torqueaudit.ledger.entry import Draft, Entry, stamp
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.register.devices import DEVICE
from torqueaudit.model.register.people import PIN_SET, UNLOCKED
from torqueaudit.model.register.permits import ActName
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.signing.devices import DEVICES
from torqueaudit.workshop.signing.hashes import MADE_UP, SALT, hash_of_pin, id_of_pepper, is_pin

DIGITS = 6
MOST_WRONG, WITHIN = 5, timedelta(minutes=15)
PROVED = "PIN"  # what proves who says something
_NUMBER = re.compile(r"P-[1-9][0-9]{0,5}")
_NOBODY = "P-0"  # whoever tells something that is no number is counted as this
_STRAIGHT = "0123456789"
_OTHER_PEPPER = (
    "The PINs of this book were set with another file of secrets than {path}; name that one in TORQUEAUDIT_SECRETS, or "
    "bring it back. If it is lost, set every PIN anew, and say that the secrets are lost"
)


def set_pin(workshop: Workshop, say: Say, person: str, pin: str, *, secrets_lost: bool = False) -> None:
    """Set somebody's PIN: a foreman or the setup anybody's, and who has proved their old one their own.

    Whatever was counted against the old one is forgotten, and the person is signed out everywhere. With `secrets_lost`
    every PIN that was set with a pepper that is no more is taken away. Raises Refused, also for a PIN that anybody
    would guess; BookError.
    """
    require_good(pin)
    subject = f"person/{person}"
    pepper = _pepper_to_set(workshop, secrets_lost=secrets_lost)
    salt = workshop.chance.getrandbits(8 * SALT).to_bytes(SALT, "big")
    made = Pin(hash_of_pin(pin, salt, pepper), id_of_pepper(pepper))

    def keep(signing: Signing, _: Sequence[Entry]) -> None:
        signing.keep_pin(person, made)
        if secrets_lost:
            signing.take_other_pins(made.pepper)

    def build(attempt: Attempt) -> list[Draft]:
        if say.by != person or say.came.proof != PROVED:
            attempt.permit(ActName.SET_ANOTHERS_PIN)
        _require_here(attempt, person)
        attempt.beside = keep
        return [attempt.draft(subject, PIN_SET, {})]

    record(workshop, say, ActName.SET_PIN, subject, {}, build)
    if secrets_lost:
        workshop.book.signing.overwrite_pins()


def require_good(pin: str) -> None:
    """Refuse what is not six digits, or what whoever guesses tries first. Raises Refused, which never repeats it."""
    if not _is_pin(pin):
        raise Refused(f"a PIN has {DIGITS} digits, 0 to 9")
    if len(set(pin)) == 1 or pin in _STRAIGHT or pin[::-1] in _STRAIGHT:
        raise Refused("anybody would guess this PIN; take one that is no straight run, nor the same digit six times")


def require_pin(workshop: Workshop, device: str, person: str, pin: str) -> None:
    """Let nobody sign as somebody whose PIN they do not know, on a device ("" at a terminal).

    Raises Refused; five wrong ones within fifteen minutes lock the person, and the device they were told on, until a
    foreman unlocks them. BookError.
    """
    if not _is_pin(pin):
        raise Refused(f"a PIN has {DIGITS} digits, 0 to 9")
    pepper, signing, now = _pepper(workshop), workshop.book.signing, workshop.clock()
    number = person if _NUMBER.fullmatch(person) else _NOBODY
    one = Try(workshop.new_id(), number, device, stamp(now))
    if stopped := signing.begin(one, stamp(now - WITHIN), MOST_WRONG):
        raise _locked(stopped)
    kept = signing.pin_of(number) if _works_here(workshop, number) else None
    if is_pin(pin, kept.phc if kept else MADE_UP, pepper) and kept:
        signing.was_right(one)
        return
    signing.was_wrong(one, MOST_WRONG)
    raise Refused(
        f"this number and this PIN do not belong together; {MOST_WRONG} wrong ones within "
        f"{WITHIN.seconds // 60} minutes lock the number and the device"
    )


def why_nobody_signs(workshop: Workshop) -> str:
    """Why no PIN can be asked for, as the file of secrets lies wrong or is another one; "" where one can."""
    try:
        _pepper(workshop)
    except (BookError, Refused) as error:
        return str(error)
    return ""


def has_pin(workshop: Workshop, person: str) -> bool:
    """Whether a PIN is kept of somebody."""
    return workshop.book.signing.pin_of(person) is not None


def is_locked(workshop: Workshop, subject: str) -> bool:
    """Whether a person ("P-2") or a device ("D-3") is locked after too many wrong PINs."""
    return workshop.book.signing.is_locked(_subject(subject))


def unlock(workshop: Workshop, say: Say, subject: str) -> None:
    """Unlock a person ("P-2") or a device ("D-3"), as a foreman. Raises Refused where neither is locked."""
    full = _subject(subject)

    def build(attempt: Attempt) -> list[Draft]:
        if full.startswith(f"{DEVICE}/"):
            if not attempt.entries(full):
                raise DEVICES.none(subject)
        else:
            _require_here(attempt, subject)
        if not is_locked(workshop, subject):
            raise Refused(f"{subject} is not locked, so nothing is recorded")
        attempt.beside = lambda signing, _: signing.unlock(full)
        return [attempt.draft(full, UNLOCKED, {})]

    record(workshop, say, ActName.UNLOCK, full, {}, build)


def _subject(number: str) -> str:
    return f"{DEVICE if number.startswith('D-') else 'person'}/{number}"


def _require_here(attempt: Attempt, person: str) -> None:
    if left := attempt.known(person).left:
        raise Refused(f"{person} left on {left.on}, and who has left signs nothing")


def _works_here(workshop: Workshop, number: str) -> bool:
    person = workshop.person(number)
    return person is not None and person.works_on(workshop.today())


def _locked(subject: str) -> Refused:
    whose = "device" if subject.startswith(f"{DEVICE}/") else "number"
    return Refused(f"this {whose} is locked after {MOST_WRONG} wrong PINs; a foreman unlocks it")


def _is_pin(pin: str) -> bool:
    return len(pin) == DIGITS and pin.isascii() and pin.isdigit()


def _pins(workshop: Workshop) -> dict[str, str]:
    return workshop.book.signing.people_with_pins()


def _secrets(workshop: Workshop) -> Secrets:
    return Secrets(default_place(), workshop.book.path)


def _pepper(workshop: Workshop) -> bytes:
    """The pepper that the PINs were made with; where nobody has a PIN, anything. Raises Refused where it is lost."""
    secrets, made_with = _secrets(workshop), set(_pins(workshop).values())
    pepper = secrets.pepper()
    if made_with and (pepper is None or id_of_pepper(pepper) not in made_with):
        raise Refused(_OTHER_PEPPER.format(path=secrets.path))
    return pepper or bytes(LENGTH_OF_PEPPER)


def _pepper_to_set(workshop: Workshop, *, secrets_lost: bool) -> bytes:
    """The pepper to make a PIN with, which is made and kept first where there is none. Raises Refused as `_pepper`."""
    if not secrets_lost:
        _pepper(workshop)
    made = workshop.chance.getrandbits(8 * LENGTH_OF_PEPPER).to_bytes(LENGTH_OF_PEPPER, "big")
    secrets = _secrets(workshop)
    return secrets.pepper() or secrets.keep_pepper(made)
