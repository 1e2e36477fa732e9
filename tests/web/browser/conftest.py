"""Debian's Chromium on a network of its own, driven by taps: one browser a session, one window a device."""

import shutil
from collections.abc import Callable, Iterator
from contextlib import ExitStack, suppress
from datetime import datetime
from pathlib import Path
from typing import Any, Protocol

import pytest
from playwright.sync_api import Browser, Error, ViewportSize

from lan import HERE
from torqueaudit.model.act import Came, Say
from torqueaudit.workshop.signing.devices import invite

from .device import PHONE, Device

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or ""


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
def let_in(served: str, yard: Any, pins: dict[str, str], browser: Browser) -> Iterator[LetIn]:
    """Devices that a foreman lets in; at the end none of their browsers may have complained."""
    made: list[Device] = []
    with ExitStack() as until:

        def admitted(name: str = "tablet at lift 2", *, size: ViewportSize = PHONE, **context: Any) -> Device:
            window = browser.new_context(viewport=size, **context)
            until.callback(window.close)
            device = Device(window, served, pins)
            made.append(device)
            given = invite(yard.workshop, Say(yard.foreman, came=Came("terminal")), name)
            device.open(f"admit/{given.code.lower()}").tap("Yes, this one")
            device.taps = device.loaded = 0  # this is done once in a device's life
            return device

        yield admitted
    assert [] == [each for device in made for each in device.trouble]


@pytest.fixture
def signed_in(let_in: LetIn) -> Callable[..., Device]:
    """A device on which a person is signed in."""

    def signed_in(person: str, name: str = "tablet at lift 2", **how: Any) -> Device:
        return let_in(name, **how).sign_in(person)

    return signed_in
