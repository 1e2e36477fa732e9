"""Sessions: somebody signed in on a device, until a shift ends, by one tap, or everywhere."""

from collections.abc import Callable

import pytest

from torqueaudit.model.act import Refused
from torqueaudit.model.register.acts import PersonChange
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.register.people import change_person, end_person
from torqueaudit.workshop.signing.devices import show_devices
from torqueaudit.workshop.signing.pins import require_pin
from torqueaudit.workshop.signing.sessions import (
    choose,
    session_of,
    sign_in,
    sign_out,
    sign_out_everywhere,
    wake,
)

from .conftest import FOREMAN, PINS, Wait, let_in


@pytest.fixture
def key(workshop: Workshop, tablet: str) -> str:
    """P-2 is signed in on the tablet."""
    return sign_in(workshop, tablet, "P-2", PINS["P-2"])


def test_a_session_says_who_is_at_work_where(workshop: Workshop, tablet: str, key: str) -> None:
    """With the roles they have now."""
    assert ("P-2", ("mechanic",), tablet, False, {}) == session_of(workshop, tablet, key)
    change_person(workshop, "P-2", PersonChange(roles=("mechanic", "foreman")), FOREMAN)
    now = session_of(workshop, tablet, key)

    assert now
    assert ("mechanic", "foreman") == now.roles


@pytest.mark.parametrize("pin", ["999990", "12345"])
def test_nobody_signs_in_without_their_pin(workshop: Workshop, tablet: str, pin: str) -> None:
    """Nor on a device that was not let in."""
    with pytest.raises(Refused):
        sign_in(workshop, tablet, "P-2", pin)
    with pytest.raises(Refused, match="was not let in"):
        sign_in(workshop, "D-9", "P-2", PINS["P-2"])


@pytest.mark.parametrize("other", ["", "0" * 64, "D-1"])
def test_a_key_that_nobody_was_given_opens_nothing(workshop: Workshop, tablet: str, key: str, other: str) -> None:
    """Nor the right one on another device."""
    assert session_of(workshop, tablet, other) is None
    assert session_of(workshop, let_in(workshop, "phone"), key) is None


def ended_by_leaving(workshop: Workshop, key: str) -> None:
    """P-2 has left."""
    assert key
    end_person(workshop, "P-2", None, "", FOREMAN)


@pytest.mark.parametrize(
    "end",
    [
        sign_out,
        lambda workshop, _: sign_out_everywhere(workshop, "P-2"),
        ended_by_leaving,
        lambda workshop, _: sign_in(workshop, "D-1", "P-3", PINS["P-3"]),
    ],
    ids=["one tap", "everywhere", "left", "somebody else signs in"],
)
def test_a_session_ends(workshop: Workshop, tablet: str, key: str, end: Callable[[Workshop, str], object]) -> None:
    """And nothing wakes it."""
    end(workshop, key)

    assert session_of(workshop, tablet, key) is None
    with pytest.raises(Refused, match="you are signed out here"):
        wake(workshop, tablet, key, PINS["P-2"])
    with pytest.raises(Refused, match="you are signed out here"):
        choose(workshop, key, {"wrench": "W-1"})


def test_who_comes_back_after_leaving_signs_in_anew(workshop: Workshop, tablet: str, key: str) -> None:
    """A session of before does not go on."""
    end_person(workshop, "P-2", None, "", FOREMAN)
    change_person(workshop, "P-2", PersonChange(start=workshop.today()), FOREMAN)

    assert session_of(workshop, tablet, key) is None


def test_one_tap_ends_it_on_one_device_only(workshop: Workshop, tablet: str, key: str) -> None:
    """Somebody has a phone of their own beside the tablet."""
    phone = let_in(workshop, "phone")
    other = sign_in(workshop, phone, "P-2", PINS["P-2"])
    sign_out(workshop, key)

    assert (None, "P-2") == (session_of(workshop, tablet, key), (session_of(workshop, phone, other) or ("",))[0])


def test_a_session_ends_after_a_shift_of_twelve_hours(workshop: Workshop, tablet: str, key: str, wait: Wait) -> None:
    """However busy somebody is."""
    for _ in range(12 * 60 // 9 - 1):
        wait(minutes=9)
        now = session_of(workshop, tablet, key)
        assert now
        assert not now.asleep
    wait(minutes=9)

    assert session_of(workshop, tablet, key) is None


def test_after_ten_idle_minutes_the_pin_is_asked_again(workshop: Workshop, tablet: str, key: str, wait: Wait) -> None:
    """Looking does not wake it; the PIN does, and the wrong one is counted."""
    wait(minutes=10)
    for _ in range(2):
        now = session_of(workshop, tablet, key)
        assert now
        assert now.asleep
    with pytest.raises(Refused, match="do not belong together"):
        wake(workshop, tablet, key, "999990")
    wake(workshop, tablet, key, PINS["P-2"])
    now = session_of(workshop, tablet, key)

    assert now
    assert not now.asleep


def test_it_sleeps_while_its_device_is_locked(workshop: Workshop, tablet: str, key: str) -> None:
    """Whoever tries PINs there may be who is signed in."""
    for _ in range(5):
        with pytest.raises(Refused):
            require_pin(workshop, tablet, "P-3", "999990")
    now = session_of(workshop, tablet, key)

    assert now
    assert now.asleep
    with pytest.raises(Refused, match="this device is locked"):
        wake(workshop, tablet, key, PINS["P-2"])


def test_a_clock_that_was_set_back_opens_nothing(workshop: Workshop, tablet: str, key: str, wait: Wait) -> None:
    """A session that seems to begin later sleeps, and one that seems to begin tomorrow has ended."""
    wait(minutes=-11)
    now = session_of(workshop, tablet, key)
    assert now
    assert now.asleep
    wait(hours=-12)

    assert session_of(workshop, tablet, key) is None


def test_it_is_noted_once_a_minute_that_somebody_is_at_work(
    workshop: Workshop, tablet: str, key: str, wait: Wait
) -> None:
    """So that most pages write nothing."""
    begun = workshop.clock()
    wait(seconds=59)
    session_of(workshop, tablet, key)
    assert begun == show_devices(workshop)[0].last_seen
    wait(seconds=1)
    session_of(workshop, tablet, key)

    assert workshop.clock() == show_devices(workshop)[0].last_seen


def test_what_was_chosen_stays_until_it_is_changed(workshop: Workshop, tablet: str, key: str) -> None:
    """A wrench and its adapter, for this person on this device."""
    choose(workshop, key, {"wrench": "W-1", "adapter": "60 mm @ 45°"})
    choose(workshop, key, {"wrench": "W-2"})
    choose(workshop, key, {"adapter": ""})
    now = session_of(workshop, tablet, key)

    assert now
    assert {"wrench": "W-2"} == now.chosen


@pytest.mark.parametrize(
    "chosen", [{"wrench": "W" * 201}, {"w" * 201: "W"}, {f"{number}": "W" for number in range(21)}]
)
def test_no_more_is_kept_than_a_few_words(workshop: Workshop, tablet: str, key: str, chosen: dict[str, str]) -> None:
    """A forged form fills no disk."""
    with pytest.raises(Refused, match="no more than 20 choices"):
        choose(workshop, key, chosen)
    now = session_of(workshop, tablet, key)

    assert now
    assert {} == now.chosen
