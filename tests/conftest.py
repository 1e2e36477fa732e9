"""The ready-made book, the workshop opened on it, and the reader of job cards; nobody's secrets are met.

What drives browsers is one for all rooms, as no process can hold two of it.
"""

import gc
import os
import shutil
import tempfile
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, ExitStack, contextmanager
from datetime import UTC, datetime
from inspect import signature
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING, Any
from zlib import crc32

import pytest
from hypothesis import is_hypothesis_test, settings

from torqueaudit.cli.start import OBJECTS

from .compiled_once import pages_compiled_once

if TYPE_CHECKING:
    from database import Server
    from torqueaudit.book.address import Place
    from torqueaudit.plugins import Plugins
    from torqueaudit.testing import Clock
    from torqueaudit.workshop.door.workshop import Workshop

pytest_plugins = ["torqueaudit.testing"]

# No test is timed. `make test` tries the same examples every time; `make proof` looks for new ones, and for more.
settings.register_profile("test", deadline=None, derandomize=True, max_examples=50)
settings.register_profile("proof", deadline=None, max_examples=500)
settings.load_profile("proof" if "TORQUEAUDIT_PROOF" in os.environ else "test")

SQLITE = "sqlite"
SHARE = 1 if "TORQUEAUDIT_PROOF" in os.environ else 60  # of how many tests one is tried with both engines
USUAL = gc.get_threshold()
MEMORY = Path("/dev/shm")  # noqa: S108  # Linux has it; a container may have little of it
ROOM = 1 << 30  # bytes: many times what stands there at once


def pytest_configure() -> None:
    """Lay what tests write in memory, so that they wait for no disk; what a disk does is tried in tests/faults.

    While tests are collected garbage is looked for as seldom as a command does it.
    """
    gc.set_threshold(OBJECTS)
    if "TMPDIR" not in os.environ and MEMORY.is_dir() and shutil.disk_usage(MEMORY).free > ROOM:
        os.environ["TMPDIR"] = tempfile.tempdir = str(MEMORY)


def pytest_collection_finish() -> None:
    """Never look for garbage among ten thousand tests, which all stay; and in a test as often as ever.

    What a failed opening leaves keeps a book's file locked until it is found.
    """
    gc.freeze()
    gc.set_threshold(*USUAL)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Every test that is tried on examples belongs to `make proof` too."""
    for item in items:
        if isinstance(item, pytest.Function) and is_hypothesis_test(item.obj):
            item.add_marker("proof")


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Let a share of the tests that have a workshop have it in a database as well: one of many, all in `make proof`."""
    names = metafunc.fixturenames
    of_a_file = "book_file" in names or "book" in signature(metafunc.function).parameters
    if "engine" in names and not of_a_file and not crc32(metafunc.definition.nodeid.encode()) % SHARE:
        metafunc.parametrize("engine", [SQLITE, "postgres"], indirect=True)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """The figures that tests measured, as they stand in the log."""
    for report in terminalreporter.getreports("passed"):
        for name, value in report.user_properties:
            if name == "figures":
                terminalreporter.write_line(str(value))


@pytest.fixture(autouse=True, scope="session")
def compiled_once() -> Iterator[None]:
    """Pages are compiled once in each process, whatever number of servers it starts."""
    with pages_compiled_once():
        yield


@pytest.fixture(autouse=True, scope="session")
def own_secrets(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """Where the keys of every test and of every program that it starts lie: no book lies there."""
    with pytest.MonkeyPatch.context() as patch:
        patch.delenv("TORQUEAUDIT_SECRETS", raising=False)
        patch.setenv("XDG_CONFIG_HOME", str(tmp_path_factory.mktemp("configuration")))
        yield Path(os.environ["XDG_CONFIG_HOME"]) / "torqueaudit" / "secrets.json"


@pytest.fixture(scope="session")
def network() -> Iterator[str]:
    """The address of this machine on a network of the tests' own; 127.0.0.1 where nobody may make one."""
    from lan import LOOPBACK, NoNetwork, own_network

    with ExitStack() as until:
        try:
            address = until.enter_context(own_network())
        except NoNetwork:
            address = LOOPBACK
        yield address


@pytest.fixture(scope="session")
def server() -> "Iterator[Server]":
    """A server of PostgreSQL, one for each process of the tests."""
    from database import running

    with running() as started:
        yield started


@pytest.fixture(scope="session")
def in_database(
    server: "Server", tmp_path_factory: pytest.TempPathFactory
) -> "Callable[[Path, Path], AbstractContextManager[Place]]":
    """A book's file moved into a database for a block, with a folder for what lies beside; the file stays.

    Of a file that was moved before, the database is copied.
    """
    from torqueaudit.book.address import place_of
    from torqueaudit.book.copies.moving import move

    moved: dict[bytes, str] = {}

    @contextmanager
    def place(book: Path, folder: Path) -> "Iterator[Place]":
        content = book.read_bytes()
        if content not in moved:
            copy = Path(shutil.copy(book, tmp_path_factory.mktemp("moved")))
            moved[content] = server.database()
            to = place_of(f"{server.address(moved[content])}&beside={copy.parent / 'beside'}")
            move(copy, to, lambda: datetime.now(UTC), Random(1))
        name = server.database(moved[content])
        yield place_of(f"{server.address(name)}&site=YARD&beside={folder}")
        server.drop(name)

    return place


@pytest.fixture
def engine(request: pytest.FixtureRequest) -> str:
    """What keeps the book of the test's workshop."""
    return str(getattr(request, "param", SQLITE))


@pytest.fixture
def workshop(
    engine: str, request: pytest.FixtureRequest, tmp_path: Path, clock: "Clock", installed_plugins: "Plugins"
) -> "Iterator[Workshop]":
    """The ready-made book, opened as a workshop; in a share of the tests also one in a database."""
    from torqueaudit.testing import open_ready

    with ExitStack() as until:
        place: Place = request.getfixturevalue("book_file")
        if engine != SQLITE:
            place = until.enter_context(request.getfixturevalue("in_database")(place, tmp_path))
        yield until.enter_context(open_ready(place, clock, installed_plugins))


@pytest.fixture(scope="session")
def playwright(network: str) -> Iterator[Any]:
    """What drives browsers; they live on the network of the tests."""
    from playwright.sync_api import sync_playwright

    assert network
    with sync_playwright() as driver:
        yield driver
