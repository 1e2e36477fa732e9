"""A workshop in which everybody has a PIN, and a tablet that was let in."""

import shutil
from datetime import timedelta
from pathlib import Path
from random import Random
from typing import Protocol

import pytest

from torqueaudit.model.act import Came, Say
from torqueaudit.testing import Clock
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.opening import open_workshop
from torqueaudit.workshop.signing.devices import admit, invite
from torqueaudit.workshop.signing.pins import set_pin

FOREMAN = Say("P-1", came=Came("terminal"))
TABLET = "D-1"
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


@pytest.fixture(scope="session")
def signing_book(ready_made_book: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The ready-made book once everybody has a PIN, whose hash takes long, and the tablet at lift 2 was let in."""
    path = Path(shutil.copy(ready_made_book, tmp_path_factory.mktemp("signing")))
    with open_workshop(path, clock=Clock(), chance=Random(4)) as workshop:
        for person, pin in PINS.items():
            set_pin(workshop, FOREMAN, person, pin)
        assert let_in(workshop) == TABLET
    return path


@pytest.fixture
def book_file(request: pytest.FixtureRequest, ready_made_book: Path, signing_book: Path, tmp_path: Path) -> Path:
    """A book of the test's own, with PINs in it where the test asks for the tablet."""
    made = signing_book if "tablet" in request.fixturenames else ready_made_book
    return Path(shutil.copy(made, tmp_path / "yard.book"))


@pytest.fixture
def tablet() -> str:
    """Everybody has a PIN, and the tablet at lift 2 was let in; its number."""
    return TABLET


def let_in(workshop: Workshop, name: str = "tablet at lift 2") -> str:
    """Let one more device in; its number."""
    return admit(workshop, invite(workshop, FOREMAN, name).code).device
