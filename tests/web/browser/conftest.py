"""Debian's Chromium on a network of its own, driven by taps: one browser a session, one window a device."""

import shutil
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from datetime import datetime
from pathlib import Path
from typing import Any, Protocol

import pytest
from playwright.sync_api import Browser, ViewportSize, sync_playwright

from torqueaudit.model.act import Came, Say
from torqueaudit.workshop.signing.devices import invite

from .device import PHONE, Device
from .network import ADDRESS, Network, inside, new_network

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or ""


class LetIn(Protocol):
    """Makes a device that was let in under a name."""

    def __call__(self, name: str = ..., *, size: ViewportSize = ..., **context: Any) -> Device: ...


@pytest.fixture(scope="session")
def network() -> Network:
    """Where nobody else is; on 127.0.0.1, in the machine's own network, where that is not allowed."""
    return new_network()


@pytest.fixture(scope="session")
def browser(network: Network) -> Iterator[Browser]:
    """Started inside the network; what else this process does stays where it was."""
    with inside(network):
        playwright = sync_playwright().start()
        browser = playwright.chromium.launch(executable_path=CHROMIUM)
    yield browser
    browser.close()
    playwright.stop()


@pytest.fixture
def settings(network: Network) -> dict[str, object]:
    return {"zone": "Europe/Vienna", "base_address": f"http://{network.host}"}


@pytest.fixture(autouse=True)
def secrets(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file of secrets outside of the book's folder."""
    monkeypatch.setenv("TORQUEAUDIT_SECRETS", str(tmp_path_factory.mktemp("secrets") / "secrets.json"))


@pytest.fixture
def served(
    network: Network,
    book: Path,
    clock: list[datetime],
    listen: Callable[..., str],
    record_property: Callable[[str, object], None],
) -> Iterator[str]:
    """The address of a server of the workshop."""
    if network.host != ADDRESS:
        record_property("figures", f"browser tests on {network.host}: no network of their own is allowed here")
    with inside(network), ExitStack() as until:
        yield listen(until, book, lambda: clock[0], host=network.host)


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
            return device

        yield admitted
    assert [] == [each for device in made for each in device.trouble]


@pytest.fixture
def signed_in(let_in: LetIn) -> Callable[..., Device]:
    """A device on which a person is signed in."""

    def signed_in(person: str, name: str = "tablet at lift 2", **how: Any) -> Device:
        return let_in(name, **how).sign_in(person)

    return signed_in
