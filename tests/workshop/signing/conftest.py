"""A workshop in which everybody has a PIN, and a tablet that was let in."""

from datetime import timedelta
from typing import Protocol

import pytest

from torqueaudit.model.act import Came, Say
from torqueaudit.testing import Clock
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.signing.devices import admit, invite
from torqueaudit.workshop.signing.pins import set_pin

FOREMAN = Say("P-1", came=Came("terminal"))
PINS = {"P-1": "271828", "P-2": "314159", "P-3": "141421"}


class Wait(Protocol):
    """Lets the clock go on."""

    def __call__(self, **time: float) -> None: ...


@pytest.fixture
def wait(workshop: Workshop) -> Wait:
    """Let the clock go on by minutes or hours."""

    def waited(**time: float) -> None:
        clock = workshop.clock
        assert isinstance(clock, Clock)
        clock.moment += timedelta(**time)

    return waited


@pytest.fixture
def tablet(workshop: Workshop) -> str:
    """Everybody has a PIN, and the tablet at lift 2 was let in; its number."""
    for person, pin in PINS.items():
        set_pin(workshop, FOREMAN, person, pin)
    return let_in(workshop)


def let_in(workshop: Workshop, name: str = "tablet at lift 2") -> str:
    """Let one more device in; its number."""
    return admit(workshop, invite(workshop, FOREMAN, name).code).device
