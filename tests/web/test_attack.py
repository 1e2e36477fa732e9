"""One machine attacks the server, which is a process of its own, while another one asks for a record."""

import importlib.util
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from http.client import HTTPConnection
from pathlib import Path
from types import ModuleType
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

import pytest

if TYPE_CHECKING:
    from tests.web.conftest import Answer, Yard

BENCHMARKS = Path(__file__).parents[2] / "benchmarks"
PROOF = "TORQUEAUDIT_PROOF" in os.environ
LINUX = pytest.mark.skipif(sys.platform != "linux", reason="reads the memory of processes, and takes other addresses")


def attackers() -> ModuleType:
    """The ways to attack, each with a name."""
    spec = importlib.util.spec_from_file_location("attackers", BENCHMARKS / "attackers.py")
    assert spec
    assert spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@contextmanager
def attacked(address: str, way: str) -> Iterator[None]:
    """Attack a server from this machine's usual address."""
    place = urlsplit(address)
    command = [sys.executable, str(BENCHMARKS / "attackers.py"), way, str(place.hostname), str(place.port), "/"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout
        process.stdout.readline()
        try:
            yield
        finally:
            process.kill()


# Each in its own way: connections, bodies, answers that nobody fetches, photos. All of them in `make proof`.
WAYS = attackers().WAYS if PROOF else ("idle", "slow-body", "unread", "large-photo")
TLS_WAYS = ("idle", "slow-hello", "slow-body", "unread", "asking") if PROOF else ("slow-hello",)


@LINUX
@pytest.mark.proof
@pytest.mark.parametrize("way", WAYS)
def test_a_record_opens_while_one_machine_attacks(way: str) -> None:
    """Each page is answered, and server and reader of photos together stay within 300 MB."""
    command = [sys.executable, str(BENCHMARKS / "attack.py"), "--untimed", way]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=120)

    assert (0, "") == (done.returncode, done.stderr), done.stdout


@LINUX
@pytest.mark.proof
@pytest.mark.parametrize("way", TLS_WAYS)
def test_a_record_opens_by_tls_too_while_one_machine_attacks(way: str) -> None:
    """Each page with a handshake of its own, and the machine that attacks has as many as it gets."""
    command = [sys.executable, str(BENCHMARKS / "attack.py"), "--untimed", "--tls", way]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=120)

    assert (0, "") == (done.returncode, done.stderr), done.stdout


@pytest.mark.parametrize("way", ["idle", "slow-head", "slow-body"])
def test_behind_a_proxy_a_record_opens_too(way: str, live: str, get: Callable[..., "Answer"], yard: "Yard") -> None:
    """There all have one address: the connections that have waited longest are closed for the new one."""
    with attacked(live, way):
        answers = [get(f"{live}w/{yard.wrench}").status for _ in range(5)]

    assert [200] * 5 == answers


@LINUX
@pytest.mark.proof
@pytest.mark.parametrize("way", ["idle", "slow-body"] if PROOF else ["slow-body"])
def test_without_the_gate_one_machine_blocks_the_server(book: Path, way: str) -> None:
    """The attack is a real one: the library alone, as it comes, answers nobody any more."""
    program = "import pathlib, sys; from torqueaudit.web.app import create_app; from waitress import create_server\n"
    program += "with create_app(pathlib.Path(sys.argv[1])) as app:\n"
    program += "    server = create_server(app, host='127.0.0.1', port=0); print(server.effective_port, flush=True)\n"
    program += "    server.run()\n"
    with subprocess.Popen([sys.executable, "-c", program, str(book)], stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout
        port = int(process.stdout.readline())
        try:
            with attacked(f"http://127.0.0.1:{port}/", way):
                connection = HTTPConnection("127.0.0.1", port, timeout=3, source_address=("127.0.0.2", 0))
                connection.request("GET", "/")
                with pytest.raises(TimeoutError):
                    connection.getresponse()
                connection.close()
        finally:
            process.kill()
