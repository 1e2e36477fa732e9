"""Chromium on a network of its own, driven by taps: one browser a session, one window a device."""

from collections.abc import Callable, Iterator
from contextlib import ExitStack, suppress
from datetime import datetime
from pathlib import Path
from typing import Any, Protocol

import pytest
from playwright.sync_api import Browser, Error, ViewportSize

from chromium import CHROMIUM
from lan import HERE
from torqueaudit.model.act import Came, Say
from torqueaudit.workshop.signing.devices import admit, invite
from torqueaudit.workshop.signing.sessions import sign_in

from .device import PHONE, Device


class LetIn(Protocol):
    """Makes a device that was let in under a name."""

    def __call__(self, name: str = ..., *, size: ViewportSize = ..., **context: Any) -> Device: ...


@pytest.fixture(scope="session")
def browser(playwright: Any) -> Iterator[Browser]:
    one = playwright.chromium.launch(executable_path=CHROMIUM)
    yield one
    with suppress(Error):  # a driver that is gone has taken its browsers along
        one.close()


@pytest.fixture
def settings(network: str) -> dict[str, object]:
    return {"zone": "Europe/Vienna", "base_address": f"http://{network}"}


@pytest.fixture(autouse=True)
def secrets(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file of secrets outside of the book's folder."""
    monkeypatch.setenv("TORQUEAUDIT_SECRETS", str(tmp_path_factory.mktemp("secrets") / "secrets.json"))


@pytest.fixture
def served(
    network: str,
    book: Path,
    clock: list[datetime],
    listen: Callable[..., str],
    record_property: Callable[[str, object], None],
) -> Iterator[str]:
    """The address of a server of the workshop."""
    if network != HERE:
        record_property("figures", f"browser tests on {network}: no network of their own is allowed here")
    with ExitStack() as until:
        yield listen(until, book, lambda: clock[0], host=network)


@pytest.fixture
def opened(served: str, pins: dict[str, str], browser: Browser) -> Iterator[Callable[..., Device]]:
    """Windows of browsers, each a device that nobody let in; at the end none of them may have complained."""
    made: list[Device] = []
    with ExitStack() as until:

        def window(size: ViewportSize = PHONE, **context: Any) -> Device:
            one = browser.new_context(viewport=size, **context)
            until.callback(one.close)
            made.append(Device(one, served, pins))
            return made[-1]

        yield window
    assert [] == [each for device in made for each in device.trouble]


@pytest.fixture
def let_in(opened: Callable[..., Device], yard: Any) -> LetIn:
    """Devices that a foreman lets in, on their own pages."""

    def admitted(name: str = "tablet at lift 2", *, size: ViewportSize = PHONE, **context: Any) -> Device:
        device = opened(size, **context)
        given = invite(yard.workshop, Say(yard.foreman, came=Came("terminal")), name)
        device.open(f"admit/{given.code.lower()}").tap("Yes, this one")
        device.taps = device.loaded = 0  # this is done once in a device's life
        return device

    return admitted


@pytest.fixture
def signed_in(opened: Callable[..., Device], yard: Any, pins: dict[str, str]) -> Callable[[str], Device]:
    """A device that holds what it was given where a foreman let it in and a person signed in: no page is open yet."""

    def signed(person: str) -> Device:
        workshop, device = yard.workshop, opened()
        given = invite(workshop, Say(yard.foreman, came=Came("terminal")), "tablet at lift 2")
        admitted = admit(workshop, given.code)
        device.hold(device=admitted.key, session=sign_in(workshop, admitted.device, person, pins[person]))
        return device

    return signed
