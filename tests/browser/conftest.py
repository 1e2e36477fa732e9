"""A workshop served on a network of its own, and a real browser on it. No page may break its own policy."""

import base64
import shutil
from collections.abc import Callable, Iterator
from contextlib import ExitStack, suppress
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path
from threading import Thread
from typing import TYPE_CHECKING, Any, NamedTuple

import pytest

from between import Between
from chromium import CHROMIUM
from lan import HERE
from torqueaudit.model.act import Came, Say
from torqueaudit.model.job.acts import Opening
from torqueaudit.model.wrench.acts import NewWrench
from torqueaudit.web.app import create_app
from torqueaudit.web.gate import Speaks
from torqueaudit.web.server import PLAINLY, listening, stop
from torqueaudit.web.tls.authority import Authority
from torqueaudit.web.tls.encrypted import Encryption
from torqueaudit.workshop.jobs.job import open_job
from torqueaudit.workshop.opening import new_workshop, open_workshop
from torqueaudit.workshop.register.people import add_person
from torqueaudit.workshop.register.procedures import enter_procedure, read_against_source
from torqueaudit.workshop.signing.devices import admit, invite
from torqueaudit.workshop.signing.pins import set_pin
from torqueaudit.workshop.signing.sessions import sign_in
from torqueaudit.workshop.vehicles.vehicle import add_vehicle
from torqueaudit.workshop.wrenches.wrench import add_wrench

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Page

    from torqueaudit.ledger.entry import Entry
    from torqueaudit.web.app import RecordServer

PROCEDURE = Path(__file__).parents[2] / "examples" / "procedures" / "front-wheel.toml"
PINS = {"P-1": "271828", "P-2": "314159"}
WIDE, HIGH = 390, 844
WAIT = 10_000  # milliseconds


class Workplace(NamedTuple):
    """A server of one book with an open job on it, and what stands between it and the browser."""

    app: "RecordServer"
    between: Between
    address: str  # as the browser reaches it, with its last slash
    device: str
    device_key: str
    ahead: list[timedelta]  # how far the server's clock goes before

    def cookies(self, person: str) -> list[Any]:
        """What a browser holds on which somebody has signed in."""
        key = sign_in(self.app.workshop, self.device, person, PINS[person])
        return [
            {"name": n, "value": v, "url": self.address} for n, v in (("device", self.device_key), ("session", key))
        ]

    def told(self, what: str) -> "list[Entry]":
        """What was recorded of the job, of one kind."""
        return [each for each in self.app.workshop.book.entries("job/1") if each.what == what]


@pytest.fixture(scope="session")
def network(network: str) -> str:
    """The address of this machine on a network of the tests' own; 127.0.0.1 would hide what these tests look at."""
    if network != HERE:
        pytest.skip("no network of its own can be made here")
    return network


@pytest.fixture(scope="session")
def authority(network: str, tmp_path_factory: pytest.TempPathFactory) -> Authority:
    """The authority of the server."""
    return Authority(tmp_path_factory.mktemp("tls"), frozenset({network}), lambda: datetime.now(UTC))


@pytest.fixture(scope="session")
def options(authority: Authority) -> dict[str, Any]:
    """How the browser is started: it knows the server's certificate by its key, as after its authority was accepted."""
    from cryptography import x509
    from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat

    key = x509.load_der_x509_certificate(authority.server()[1].der).public_key()
    spki = key.public_bytes(Encoding.DER, PublicFormat.SubjectPublicKeyInfo)
    known = base64.b64encode(sha256(spki).digest()).decode()
    return {"executable_path": CHROMIUM, "args": [f"--ignore-certificate-errors-spki-list={known}"]}


@pytest.fixture(scope="session")
def browser(playwright: Any, options: dict[str, Any]) -> "Iterator[Browser]":
    """One browser for all tests."""
    from playwright.sync_api import Error

    one = playwright.chromium.launch(**options)
    yield one
    with suppress(Error):  # a driver that is gone has taken its browsers along
        one.close()


@pytest.fixture(scope="session")
def prepared(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str, str]:
    """A book with an open job and a device that was let in, and the device's number and key."""
    path = tmp_path_factory.mktemp("prepared") / "yard.book"
    begun = [datetime.now(UTC) - timedelta(hours=1)]
    new_workshop(path, "YARD", {"zone": "Europe/Vienna"}, clock=lambda: begun[0])
    with open_workshop(path, clock=lambda: begun[0]) as workshop:
        foreman = add_person(workshop, "Ingrun Feldtaler", ("foreman", "mechanic"), "", Say("setup"))
        mechanic = add_person(workshop, "Basto Quill", ("mechanic",), "", Say(foreman))
        for person, pin in PINS.items():
            set_pin(workshop, Say(foreman), person, pin)
        add_wrench(workshop, NewWrench("setting", "long one", "5 N·m", "200 N·m"), Say(foreman))
        vehicle = add_vehicle(workshop, "red Kestrel", "Kestrel 500", 2030, {}, Say(foreman))
        digest = enter_procedure(workshop, PROCEDURE, Say(foreman))
        read_against_source(workshop, digest, "", Say(mechanic))
        open_job(workshop, Opening(vehicle, digest, 12_000_000, ""), Say(foreman))
        invitation = invite(workshop, Say(foreman, came=Came("terminal")), "tablet at lift 2")
        admitted = admit(workshop, invitation.code)
    return path, admitted.device, admitted.key


@pytest.fixture
def serve(prepared: tuple[Path, str, str], network: str, tmp_path: Path) -> Iterator[Callable[..., Workplace]]:
    """Serves a copy of the book, plainly or by TLS."""
    source, device, key = prepared
    with ExitStack() as until:

        def served(speaks: Speaks = PLAINLY) -> Workplace:
            folder = tmp_path / "book"
            shutil.copytree(source.parent, folder)
            ahead = [timedelta()]
            clock = lambda: datetime.now(UTC) + ahead[0]  # noqa: E731  # said in one line
            app = until.enter_context(create_app(folder / source.name, clock, trusted_hosts=[network]))
            server = until.enter_context(listening(app, network, 0, speaks=speaks))
            running = Thread(target=server.run)
            running.start()
            until.callback(running.join)
            until.callback(stop, server)
            between = Between(network, server.effective_port)
            until.callback(between.close)
            scheme = server.adj.url_scheme
            address = f"{scheme}://{network}:{between.port}/"
            return Workplace(app, between, address, device=device, device_key=key, ahead=ahead)

        yield served


@pytest.fixture
def served(serve: Callable[..., Workplace]) -> Workplace:
    """A server that speaks plain http."""
    return serve()


@pytest.fixture
def served_by_tls(serve: Callable[..., Workplace], authority: Authority) -> Workplace:
    """A server that speaks https."""
    return serve(Speaks(Encryption(authority)))


@pytest.fixture
def said() -> Iterator[list[str]]:
    """What the consoles of all pages said; none may speak of a policy that was broken."""
    lines: list[str] = []
    yield lines
    assert [] == [line for line in lines if "Content Security Policy" in line]


@pytest.fixture
def opened(browser: "Browser", said: list[str]) -> "Iterator[Callable[[Workplace, str], BrowserContext]]":
    """Gives a browser's profile on which somebody is signed in."""
    with ExitStack() as until:

        def context(place: Workplace, person: str) -> "BrowserContext":
            one = browser.new_context(viewport={"width": WIDE, "height": HIGH}, base_url=place.address)
            until.callback(one.close)
            one.set_default_timeout(WAIT)
            one.on("console", lambda message: said.append(message.text))
            one.add_cookies(place.cookies(person))
            return one

        yield context


@pytest.fixture
def page(opened: "Callable[[Workplace, str], BrowserContext]", served: Workplace) -> "Page":
    """A page of a browser on which the mechanic is signed in, at the plain server."""
    return opened(served, "P-2").new_page()
