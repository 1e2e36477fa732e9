"""PINs: who sets one, what is no PIN, and what becomes of whoever tries them."""

import os
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from time import thread_time

import pytest
from cryptography.hazmat.primitives.kdf.argon2 import Argon2id

from torqueaudit.book.secrets import Secrets, default_place
from torqueaudit.book.sqlite.connection import sqlite3
from torqueaudit.model.act import Came, Refused, Say
from torqueaudit.model.register.acts import PersonChange
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.register.people import add_person, change_person, end_person, forget_person
from torqueaudit.workshop.signing.hashes import hash_of_pin, is_pin
from torqueaudit.workshop.signing.pins import has_pin, is_locked, require_pin, set_pin, unlock
from torqueaudit.workshop.signing.sessions import session_of, sign_in

from .conftest import FOREMAN, PINS, Wait, let_in

WRONG = "999990"
SAME = "this number and this PIN do not belong together; 5 wrong ones within 15 minutes lock the number and the device"
LOCKED = "this number is locked after 5 wrong PINs; a foreman unlocks it"


def told(workshop: Workshop, device: str, person: str, pin: str = WRONG) -> str:
    """What is said of a PIN; "" where it is right."""
    try:
        require_pin(workshop, device, person, pin)
    except Refused as error:
        return str(error)
    return ""


def test_a_pin_is_kept_as_argon2id_by_the_parameters_of_owasp() -> None:
    """OWASP Password Storage Cheat Sheet, Argon2id: m=19456 (19 MiB), t=2, p=1. RFC 9106 names the string's parts."""
    kept = hash_of_pin("314159", b"0123456789abcdef", b"p" * 32)

    assert kept.startswith("$argon2id$v=19$m=19456,t=2,p=1$")
    assert is_pin("314159", kept, b"p" * 32)
    assert not is_pin("314158", kept, b"p" * 32)
    assert not is_pin("314159", kept, b"q" * 32)  # the pepper is part of it
    assert not is_pin("314159", kept[:-3], b"p" * 32)


def test_argon2id_is_that_of_the_standard() -> None:
    """RFC 9106, section 5.3: the test vector of Argon2id, with a pepper ("secret") and a tag of 32 bytes."""
    made = Argon2id(
        salt=b"\x02" * 16, length=32, iterations=3, lanes=4, memory_cost=32, ad=b"\x04" * 12, secret=b"\x03" * 8
    )
    tag = "0d640df58d78766c08c037a34a8b53c9d01ef0452d75b65eb52520e96b01e659"

    assert tag == made.derive(b"\x01" * 32).hex()


FULL_WIDTH = "".join(chr(ord("\N{FULLWIDTH DIGIT ZERO}") + int(digit)) for digit in PINS["P-2"])
ARABIC = "".join(chr(ord("\N{ARABIC-INDIC DIGIT ZERO}") + int(digit)) for digit in PINS["P-2"])
NO_PINS = ["", "12345", "1234567", "31415a", FULL_WIDTH, ARABIC, "31415\N{SUPERSCRIPT TWO}", " 31415"]
GUESSED = ["000000", "777777", "012345", "123456", "456789", "987654", "543210"]


@pytest.mark.parametrize("pin", [*NO_PINS, *GUESSED], ids=ascii)
def test_what_is_no_pin(workshop: Workshop, pin: str) -> None:
    """Six ASCII digits that nobody would guess first; the sentence repeats nothing."""
    with pytest.raises(Refused) as caught:
        set_pin(workshop, FOREMAN, "P-2", pin)

    assert not pin or pin not in str(caught.value)
    assert not has_pin(workshop, "P-2")


@pytest.mark.parametrize("pin", ["314159", "890123", "112233", "000001"])
def test_any_other_six_digits_are_one(workshop: Workshop, pin: str) -> None:
    """Few are kept out, so that guessing gains nothing by the rule."""
    set_pin(workshop, FOREMAN, "P-2", pin)

    assert "" == told(workshop, "", "P-2", pin)


def test_an_entry_says_that_a_pin_was_set_and_nothing_of_it(workshop: Workshop) -> None:
    """By whom, and by which door."""
    set_pin(workshop, FOREMAN, "P-2", PINS["P-2"])
    entry = workshop.book.entries("person/P-2")[-1]

    assert ("pin_set.1", "P-1", {}, {}) == (entry.kind, entry.who, dict(entry.said), dict(entry.words))
    assert {"role": "foreman", "door": "terminal"} == entry.judged


@pytest.mark.parametrize(
    ("say", "person"),
    [(Say("P-2"), "P-2"), (Say("P-2"), "P-3"), (Say("P-2", came=Came("page", "PIN", "D-1")), "P-3")],
)
def test_nobody_sets_anothers_pin_or_their_own_unproved(workshop: Workshop, say: Say, person: str) -> None:
    """Else whoever holds the keyboard could sign as anybody."""
    with pytest.raises(Refused, match="P-2 is mechanic; only a foreman or setup may do this"):
        set_pin(workshop, say, person, PINS["P-3"])


def test_who_proves_the_old_pin_sets_a_new_one(workshop: Workshop, tablet: str) -> None:
    """And is signed out everywhere: whoever knew the old one is out."""
    key = sign_in(workshop, tablet, "P-2", PINS["P-2"])
    set_pin(workshop, Say("P-2", came=Came("page", "PIN", tablet)), "P-2", "602214")

    assert session_of(workshop, tablet, key) is None
    assert (SAME, "") == (told(workshop, tablet, "P-2", PINS["P-2"]), told(workshop, tablet, "P-2", "602214"))


def test_the_first_foreman_is_given_a_pin_by_the_setup(workshop: Workshop) -> None:
    """At the terminal, before anybody could prove anything."""
    set_pin(workshop, Say("setup"), "P-1", PINS["P-1"])

    assert "" == told(workshop, "", "P-1", PINS["P-1"])


@pytest.mark.parametrize(
    ("person", "says"), [("P-9", "nobody of that number"), ("P-3", "P-3 left on"), ("x", "nobody")]
)
def test_who_is_not_here_gets_no_pin(workshop: Workshop, person: str, says: str) -> None:
    """Neither a number that nobody has, nor who has left."""
    end_person(workshop, "P-3", None, "", FOREMAN)
    with pytest.raises(Refused, match=says):
        set_pin(workshop, FOREMAN, person, PINS["P-3"])


def test_five_wrong_ones_lock_person_and_device(workshop: Workshop, tablet: str) -> None:
    """Then the right one opens nothing either, there or elsewhere, until a foreman unlocks both, with an entry each."""
    other = let_in(workshop)
    assert [SAME] * 5 == [told(workshop, tablet, "P-2") for _ in range(5)]

    assert LOCKED == told(workshop, tablet, "P-2", PINS["P-2"])
    assert LOCKED == told(workshop, other, "P-2", PINS["P-2"])
    assert "this device is locked after 5 wrong PINs; a foreman unlocks it" == told(
        workshop, tablet, "P-3", PINS["P-3"]
    )
    for subject in ("P-2", tablet):
        unlock(workshop, FOREMAN, subject)
    assert ["unlocked.1"] * 2 == [workshop.book.entries(each)[-1].kind for each in ("person/P-2", f"device/{tablet}")]
    assert ("", "") == (told(workshop, tablet, "P-2", PINS["P-2"]), told(workshop, tablet, "P-3", PINS["P-3"]))
    assert workshop.book.verify() == []


def test_wrong_ones_of_a_quarter_of_an_hour_ago_count_no_more(workshop: Workshop, tablet: str, wait: Wait) -> None:
    """Whoever mistypes now and then is not locked."""
    for _ in range(4):
        told(workshop, tablet, "P-2")
    wait(minutes=15)

    assert [SAME] * 4 == [told(workshop, tablet, "P-2") for _ in range(4)]
    assert not is_locked(workshop, "P-2")
    told(workshop, tablet, "P-2")
    assert is_locked(workshop, "P-2")


def test_a_right_one_between_forgives_nothing(workshop: Workshop, tablet: str) -> None:
    """Else whoever has a PIN could try another's four times, sign in, and try again, without end."""
    for _ in range(4):
        told(workshop, tablet, "P-2")
    assert "" == told(workshop, tablet, "P-3", PINS["P-3"])
    assert "" == told(workshop, tablet, "P-2", PINS["P-2"])
    told(workshop, tablet, "P-2")

    assert (True, True) == (is_locked(workshop, "P-2"), is_locked(workshop, tablet))


def test_a_device_that_tries_everybody_once_is_locked(workshop: Workshop, tablet: str) -> None:
    """And the people, of whom one wrong one each was told, are not."""
    for person in ("P-1", "P-2", "P-3", "P-1", "P-2"):
        told(workshop, tablet, person)

    assert [True, False, False, False] == [is_locked(workshop, each) for each in (tablet, "P-1", "P-2", "P-3")]


def test_guessing_from_many_devices_at_once_gains_nothing(workshop: Workshop, tablet: str) -> None:
    """Forty tries at the same moment from twelve devices: five are looked at, whoever is quicker."""
    devices = [tablet, *(let_in(workshop, f"phone {number}") for number in range(11))]
    with ThreadPoolExecutor(12) as pool:
        says = list(pool.map(lambda number: told(workshop, devices[number % 12], "P-2", f"{number:06}"), range(10, 50)))

    assert 5 == says.count(SAME)
    assert 35 == says.count(LOCKED)
    assert is_locked(workshop, "P-2")


@pytest.mark.usefixtures("tablet")
@pytest.mark.parametrize("nobody", ["P-77", "no PIN", "left", "nothing at all"])
def test_nobody_learns_whether_a_number_is_anybodys(workshop: Workshop, nobody: str) -> None:
    """The sentences are the same, and so is the locking."""
    number = (
        add_person(workshop, "Fordyce Sample", ("mechanic",), "", FOREMAN) if nobody in {"no PIN", "left"} else nobody
    )
    if nobody == "left":
        set_pin(workshop, FOREMAN, number, PINS["P-2"])
        end_person(workshop, number, None, "", FOREMAN)
    phones = [let_in(workshop, f"phone {phone}") for phone in range(6)]
    known = [told(workshop, phone, "P-2") for phone in phones]

    assert known == [told(workshop, phone, number, PINS["P-2"]) for phone in phones]
    assert [SAME] * 5 + [LOCKED] == known


@pytest.mark.usefixtures("tablet")
def test_it_takes_as_long_where_there_is_nobody(workshop: Workshop) -> None:
    """A made-up hash is looked at: it takes the processor within a factor of two, where without one it is a hundredth.

    The quickest of seven turns of each counts, for others work on this machine.
    """
    took: dict[str, list[float]] = {"P-77": [], "P-2": []}
    for number in range(7):
        phone = let_in(workshop, f"phone {number}")
        for person, times in took.items():
            begun = thread_time()
            told(workshop, phone, person)
            times.append(thread_time() - begun)
            workshop.book.signing.unlock(f"person/{person}")

    assert 0.5 < min(took["P-77"]) / min(took["P-2"]) < 2


def test_what_is_no_pin_is_not_counted(workshop: Workshop, tablet: str) -> None:
    """Five digits and a slip of the thumb lock nobody."""
    assert ["a PIN has 6 digits, 0 to 9"] * 9 == [told(workshop, tablet, "P-2", "12345") for _ in range(9)]
    assert not is_locked(workshop, "P-2")


def test_a_new_pin_unlocks_whoever_forgot_the_old_one(workshop: Workshop, tablet: str) -> None:
    """A foreman set it, which an entry says; the device stays locked."""
    for _ in range(5):
        told(workshop, tablet, "P-2")
    set_pin(workshop, FOREMAN, "P-2", "602214")

    assert (False, True) == (is_locked(workshop, "P-2"), is_locked(workshop, tablet))
    assert "" == told(workshop, "", "P-2", "602214")


@pytest.mark.parametrize(
    ("say", "subject", "says"),
    [
        (Say("P-2"), "P-3", "P-2 is mechanic; only a foreman or setup may do this"),
        (FOREMAN, "P-3", "P-3 is not locked, so nothing is recorded"),
        (FOREMAN, "P-9", "P-9: nobody of that number works here"),
        (FOREMAN, "D-9", "D-9: no device of that number was let in"),
    ],
)
@pytest.mark.usefixtures("tablet")
def test_who_unlocks_and_what(workshop: Workshop, say: Say, subject: str, says: str) -> None:
    """A foreman, whoever is locked."""
    with pytest.raises(Refused, match=says):
        unlock(workshop, say, subject)


def test_a_forgotten_person_has_no_pin_and_comes_back_without_one(workshop: Workshop, tablet: str) -> None:
    """Who has left signs nothing, and keeps their PIN only until the name is erased."""
    end_person(workshop, "P-2", None, "", FOREMAN)
    assert (SAME, True) == (told(workshop, tablet, "P-2", PINS["P-2"]), has_pin(workshop, "P-2"))
    forget_person(workshop, "P-2", FOREMAN)

    assert not has_pin(workshop, "P-2")
    change_person(workshop, "P-2", PersonChange(start=workshop.today()), FOREMAN)
    assert SAME == told(workshop, tablet, "P-2", PINS["P-2"])
    assert workshop.book.verify() == []


@pytest.fixture
def elsewhere(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Callable[[str], Path]:
    """Let the secrets lie in another file."""

    def moved(name: str) -> Path:
        place = tmp_path.parent / f"{tmp_path.name}-{name}" / "secrets.json"
        monkeypatch.setenv("TORQUEAUDIT_SECRETS", str(place))
        return place

    return moved


def test_pins_need_the_pepper_that_they_were_set_with(workshop: Workshop, elsewhere: Callable[[str], Path]) -> None:
    """Another user's file of secrets, or a lost one, is told, and counted against nobody."""
    elsewhere("own")
    set_pin(workshop, FOREMAN, "P-2", PINS["P-2"])
    place = elsewhere("another")

    for _ in range(6):
        assert f"were set with another file of secrets than {place}" in told(workshop, "", "P-2", PINS["P-2"])
    with pytest.raises(Refused, match="were set with another file of secrets"):
        set_pin(workshop, FOREMAN, "P-3", PINS["P-3"])
    assert not place.exists()
    elsewhere("own")
    assert "" == told(workshop, "", "P-2", PINS["P-2"])


def test_lost_secrets_end_every_pin_that_was_set_with_them(
    workshop: Workshop, elsewhere: Callable[[str], Path]
) -> None:
    """Whoever sets the first one anew says that they are lost."""
    elsewhere("own")
    for person in ("P-2", "P-3"):
        set_pin(workshop, FOREMAN, person, PINS[person])
    place = elsewhere("another")
    set_pin(workshop, FOREMAN, "P-2", "602214", secrets_lost=True)

    assert (True, False) == (has_pin(workshop, "P-2"), has_pin(workshop, "P-3"))
    assert ("", SAME) == (told(workshop, "", "P-2", "602214"), told(workshop, "", "P-3", PINS["P-3"]))
    assert 0o600 == place.stat().st_mode & 0o777 or os.name == "nt"


@pytest.mark.usefixtures("book_file")
def test_lost_secrets_end_the_old_pins_with_the_new_one_or_not_at_all(
    workshop: Workshop, elsewhere: Callable[[str], Path]
) -> None:
    """Where one of them cannot be taken away nothing is set, and no entry says so."""
    elsewhere("own")
    for person in ("P-2", "P-3"):
        set_pin(workshop, FOREMAN, person, PINS[person])
    elsewhere("another")
    head, kept = workshop.book.head(), workshop.book.rows("select * from pins order by person")
    workshop.book.engine.run(
        "create trigger stuck before delete on pins when old.person = 'P-3' begin select raise(abort, 'stuck'); end"
    )
    with pytest.raises(sqlite3.IntegrityError, match="stuck"):
        set_pin(workshop, FOREMAN, "P-2", "602214", secrets_lost=True)

    assert (head, kept) == (workshop.book.head(), workshop.book.rows("select * from pins order by person"))


def test_one_pepper_serves_every_book(workshop: Workshop) -> None:
    """And is the same whoever asks first."""
    set_pin(workshop, FOREMAN, "P-2", PINS["P-2"])
    secrets = Secrets(default_place(), workshop.book.path)
    pepper = secrets.pepper()

    assert pepper
    assert (32, pepper) == (len(pepper), secrets.keep_pepper(b"q" * 32))
