"""The ready-made book, the workshop opened on it, and the reader of job cards; nobody's secrets are met.

What drives browsers is one for all rooms, as no process can hold two of it.
"""

import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import Any

import pytest
from hypothesis import is_hypothesis_test, settings

pytest_plugins = ["torqueaudit.testing"]

# No test is timed. `make test` tries the same examples every time; `make proof` looks for new ones, and for more.
settings.register_profile("test", deadline=None, derandomize=True, max_examples=50)
settings.register_profile("proof", deadline=None, max_examples=500)
settings.load_profile("proof" if "TORQUEAUDIT_PROOF" in os.environ else "test")

MEMORY = Path("/dev/shm")  # noqa: S108  # Linux has it; a container may have little of it
ROOM = 1 << 30  # bytes: many times what stands there at once


def pytest_configure() -> None:
    """Lay what tests write in memory, so that they wait for no disk; what a disk does is tried in tests/faults."""
    if "TMPDIR" not in os.environ and MEMORY.is_dir() and shutil.disk_usage(MEMORY).free > ROOM:
        os.environ["TMPDIR"] = tempfile.tempdir = str(MEMORY)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Every test that is tried on examples belongs to `make proof` too."""
    for item in items:
        if isinstance(item, pytest.Function) and is_hypothesis_test(item.obj):
            item.add_marker("proof")


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """The figures that tests measured, as they stand in the log."""
    for report in terminalreporter.getreports("passed"):
        for name, value in report.user_properties:
            if name == "figures":
                terminalreporter.write_line(str(value))


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
def playwright(network: str) -> Iterator[Any]:
    """What drives browsers; they live on the network of the tests."""
    from playwright.sync_api import sync_playwright

    assert network
    with sync_playwright() as driver:
        yield driver
