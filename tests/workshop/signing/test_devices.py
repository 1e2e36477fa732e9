"""Devices: let in once, by whoever shows a foreman's code first; listed; and withdrawn."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from functools import partial
from threading import Barrier, Thread

import pytest

from torqueaudit.book.places import written_of
from torqueaudit.book.signing import SIGNING
from torqueaudit.ledger.entry import LOST
from torqueaudit.model.act import Came, Refused, Say, came_of
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.register.people import add_person, end_person
from torqueaudit.workshop.signing.devices import (
    Admitted,
    admit,
    device_of_key,
    invitation,
    invite,
    show_devices,
    withdraw_device,
)
from torqueaudit.workshop.signing.sessions import session_of, sign_in

from .conftest import FOREMAN, PINS, Wait, let_in


def test_a_device_is_let_in_by_a_foremans_code(workshop: Workshop) -> None:
    """The entry says who let it in, that an invitation proved it, and by which door that was given out."""
    given = invite(workshop, Say("P-1", came=Came("page", "PIN", "D-9")), "  tablet at   lift 2 ")
    done = admit(workshop, given.code)
    (entry,) = workshop.book.entries("device/D-1")

    assert ("D-1", "device_admitted.1", "P-1") == (done.device, entry.kind, entry.who)
    assert {"name": "tablet at lift 2"} == entry.words
    assert "page, invitation" == came_of(entry.judged).says
    assert {"door": "page", "proof": "PIN"} == entry.judged["invited"]
    assert "D-1" == device_of_key(workshop, done.key)
    assert workshop.book.verify() == []


def test_an_invitation_can_be_looked_at_and_is_taken_once(workshop: Workshop) -> None:
    """The page asks before it lets the device in; whoever comes second is let in nowhere."""
    given = invite(workshop, FOREMAN, "phone")
    told = invitation(workshop, given.code)
    assert told
    assert ("phone", "P-1") == (told.name, told.by)
    admit(workshop, given.code)

    assert invitation(workshop, given.code) is None
    with pytest.raises(Refused, match="was used, or its ten minutes are over"):
        admit(workshop, given.code)
    assert 1 == len(show_devices(workshop))


def test_a_code_is_read_as_somebody_types_it(workshop: Workshop) -> None:
    """A code has 128 bits in the letters of RFC 4648, and no letter has two sizes."""
    code = invite(workshop, FOREMAN, "phone").code

    assert (26, code.upper()) == (len(code), code)
    assert "D-1" == admit(workshop, f" {code[:13].lower()}-{code[13:]}").device


def test_a_code_holds_for_ten_minutes(workshop: Workshop, wait: Wait) -> None:
    """To the second."""
    late, in_time = (invite(workshop, FOREMAN, name).code for name in ("one", "other"))
    wait(minutes=10, seconds=-1)
    admit(workshop, in_time)
    wait(seconds=1)

    assert invitation(workshop, late) is None
    with pytest.raises(Refused, match="ten minutes are over"):
        admit(workshop, late)


@pytest.mark.parametrize(
    ("say", "name", "says"),
    [
        (Say("P-2"), "phone", "P-2 is mechanic; only a foreman or setup may do this"),
        (FOREMAN, " ", "give the device a name"),
        (FOREMAN, "x" * 61, "give the device a name"),
        (FOREMAN, "Barnaby's phone", "holds a name or number of P-2"),
        (FOREMAN, "pho\u200bne", "sign"),
    ],
)
def test_who_may_invite_and_under_which_name(workshop: Workshop, say: Say, name: str, says: str) -> None:
    """The name stays in the ledger's words, so it names nobody."""
    with pytest.raises(Refused, match=says):
        invite(workshop, say, name)


def test_a_foreman_who_has_left_lets_nothing_in(workshop: Workshop) -> None:
    """Not with a code that was given out before either."""
    another = add_person(workshop, "Fordyce Sample", ("foreman",), "", FOREMAN)
    code = invite(workshop, FOREMAN, "phone").code
    end_person(workshop, "P-1", None, "", Say(another))

    with pytest.raises(Refused, match="P-1 left on"):
        admit(workshop, code)
    assert () == show_devices(workshop)


def test_of_two_who_show_one_code_at_once_one_is_let_in(workshop: Workshop) -> None:
    """A photo of the code that was sent on: the slower one gets nothing."""
    for _ in range(20):
        code = invite(workshop, FOREMAN, "phone").code
        done: list[Admitted | str] = []
        at_once(partial(admit, workshop, code), done)

        assert 1 == sum(isinstance(each, Admitted) for each in done)
    assert 20 == len(show_devices(workshop))
    assert workshop.book.verify() == []


def test_two_who_show_two_codes_at_once_are_both_let_in(workshop: Workshop) -> None:
    """Each under a number of its own."""
    codes = [invite(workshop, FOREMAN, f"phone {number}").code for number in range(2)]
    done: list[Admitted | str] = []
    at_once(lambda: admit(workshop, codes.pop()), done)

    assert {"D-1", "D-2"} == {each.device for each in done if isinstance(each, Admitted)}


def at_once(act: Callable[[], Admitted], done: list[Admitted | str]) -> None:
    """Do it in two threads that wait for each other, and note what each was given or told."""
    both = Barrier(2)

    def one() -> None:
        both.wait()
        try:
            done.append(act())
        except Refused as error:
            done.append(str(error))

    threads = [Thread(target=one) for _ in range(2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()


def test_a_lost_tablet_is_withdrawn_at_once(workshop: Workshop, tablet: str) -> None:
    """Its key opens nothing any more, whoever was signed in there is signed out, and nobody signs in there again."""
    done = admit(workshop, invite(workshop, FOREMAN, "phone").code)
    key = sign_in(workshop, done.device, "P-2", PINS["P-2"])
    withdraw_device(workshop, FOREMAN, done.device, "left on a train")

    assert device_of_key(workshop, done.key) is None
    assert session_of(workshop, done.device, key) is None
    with pytest.raises(Refused, match="was withdrawn; ask a foreman"):
        sign_in(workshop, done.device, "P-2", PINS["P-2"])
    with pytest.raises(Refused, match="D-2 was withdrawn on 2031-04-02 already"):
        withdraw_device(workshop, FOREMAN, done.device, "again")
    assert sign_in(workshop, tablet, "P-2", PINS["P-2"])
    assert workshop.book.verify() == []


@pytest.mark.parametrize(
    ("say", "number", "why", "says"),
    [
        (Say("P-2"), "D-1", "lost", "P-2 is mechanic; only a foreman or setup may do this"),
        (FOREMAN, "D-7", "lost", "D-7: no device of that number was let in"),
        (FOREMAN, "D-1", " ", "D-1: say why it is withdrawn"),
    ],
)
def test_who_withdraws_says_why(workshop: Workshop, tablet: str, say: Say, number: str, why: str, says: str) -> None:
    """A foreman, of a device that there is."""
    assert "D-1" == tablet
    with pytest.raises(Refused, match=says):
        withdraw_device(workshop, say, number, why)


def test_every_device_is_listed(workshop: Workshop, tablet: str, wait: Wait) -> None:
    """Also one that was withdrawn, and when somebody last worked on each."""
    other = let_in(workshop, "old phone")
    wait(hours=2)
    sign_in(workshop, tablet, "P-2", PINS["P-2"])
    withdraw_device(workshop, FOREMAN, other, "its screen broke")
    first, second = show_devices(workshop)

    assert ("D-1", "tablet at lift 2", "2031-04-02", "P-1", "") == first[:5]
    assert (False, workshop.clock(), True) == (first.locked, first.last_seen, first.has_key)
    assert ("D-2", "old phone", "2031-04-02") == (second.number, second.name, second.withdrawn_on)
    assert (None, False) == (second.last_seen, second.has_key)


def test_nothing_that_opens_anything_is_kept(workshop: Workshop, tablet: str) -> None:
    """Neither code, key nor PIN stands in the file, whoever reads every byte of it."""
    given = invite(workshop, FOREMAN, "phone")
    done = admit(workshop, given.code)
    still_open = invite(workshop, FOREMAN, "one more").code
    session = sign_in(workshop, tablet, "P-2", PINS["P-2"])
    kept = repr([workshop.book.rows(f"select * from {table}") for table in SIGNING])  # noqa: S608  # no stranger's
    in_file = b"".join(each.read_bytes() for each in written_of(workshop.book.path) if each.exists())

    assert "argon2id" in kept
    assert not [pin for pin in PINS.values() if pin in kept]
    for secret in (given.code, still_open, done.key, session):
        assert secret.encode() not in in_file


def test_the_words_of_a_device_can_be_erased_and_it_stays_known(workshop: Workshop, tablet: str) -> None:
    """Its name may have named somebody after all."""
    with workshop.book.engine.writing():
        workshop.book.engine.run("delete from words where subject = 'device/D-1'")

    assert (tablet, LOST) == show_devices(workshop)[0][:2]


def test_an_invitation_says_until_when_it_holds(workshop: Workshop) -> None:
    """The page counts the minutes down."""
    given = invite(workshop, FOREMAN, "phone")

    assert given.until - workshop.clock() == timedelta(minutes=10)
    assert given.until.astimezone(UTC) > datetime(2031, 1, 1, tzinfo=UTC)
