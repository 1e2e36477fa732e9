"""The command that serves, as a process of its own; many phones at once."""

import os
import signal
import socket
import ssl
import subprocess
import sys
import urllib.request
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from torqueaudit.book import last_night

if TYPE_CHECKING:
    from tests.web.conftest import Answer, Yard

Get = Callable[..., "Answer"]


def serving(book: Path, *options: str) -> "subprocess.Popen[str]":
    """Start the command on a book."""
    program = "from torqueaudit.cli.main import main; main()"
    return subprocess.Popen(
        [sys.executable, "-c", program, "--book", str(book), "serve", *options],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONWARNINGS": "error::ResourceWarning"},
    )


def test_serve_prints_its_address_answers_and_stops_when_told(
    book: Path, yard: "Yard", get: Get, procedures: Path
) -> None:
    """One line, a record, and a clean end by SIGTERM."""
    token = yard.token(yard.open(procedures / "front-wheel.toml"))
    with serving(book, "--port", "0") as process:
        assert process.stdout
        assert process.stderr
        try:
            line = process.stdout.readline()
            answer = get(f"{line.split()[3]}R/{token.upper()}/RECORD")
        finally:
            process.send_signal(signal.SIGTERM)
        rest = (process.stdout.read(), process.stderr.read(), process.wait(20))

    assert line.startswith("Records open at http://127.0.0.1:")
    assert line.endswith("(labels say http://bench.example); Ctrl-C stops.\n")
    assert (200, True) == (answer.status, "<b>Job 1</b>" in answer.text)
    assert ("", "", 0) == rest


def test_serve_says_that_nobody_can_sign_in(book: Path, yard: "Yard", monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the file of secrets lies beside the book, which nobody would see before the first PIN; a sentence each."""
    del yard
    monkeypatch.setenv("TORQUEAUDIT_SECRETS", str(book.parent / "secrets.json"))
    with serving(book, "--port", "0") as process:
        assert process.stdout
        try:
            lines = [process.stdout.readline() for _ in range(2)]
        finally:
            process.send_signal(signal.SIGTERM)
        rest = (process.stdout.read(), process.wait(20))

    assert lines[1].startswith("Nobody can sign in now: the file of secrets ")
    assert "lies in the book's own folder" in lines[1]
    assert ("", 0) == rest


def test_serve_by_tls_prints_the_fingerprint_of_its_authority(book: Path, yard: "Yard") -> None:
    """Two lines; whoever accepts what has this fingerprint reads a page by https."""
    with serving(book, "--port", "0", "--tls") as process:
        assert process.stdout
        try:
            lines = [process.stdout.readline(), process.stdout.readline()]
            address = lines[0].split()[3]
            unknown = ssl._create_unverified_context()  # noqa: S323, SLF001  # what it is shown is looked at below
            with urllib.request.urlopen(f"{address}authority.crt", context=unknown, timeout=20) as answer:
                der = answer.read()
            known = ssl.create_default_context(cadata=der)
            with urllib.request.urlopen(f"{address}w/{yard.wrench}", context=known, timeout=20) as answer:
                status = answer.status
        finally:
            process.send_signal(signal.SIGTERM)
        process.wait(20)

    assert lines[0].startswith("Records open at https://127.0.0.1:")
    assert f"SHA-256 {sha256(der).digest().hex(':').upper()}\n" == lines[1][lines[1].index("SHA-256") :]
    assert 200 == status


def test_tls_and_a_proxy_are_one_or_the_other(book: Path) -> None:
    """A proxy that speaks https needs no certificate behind it."""
    with serving(book, "--port", "0", "--tls", "--behind-proxy") as process:
        out, told = process.communicate(timeout=20)

    assert ("", 2) == (out, process.returncode)
    assert "--tls and --behind-proxy: give one of them" in told


def test_a_port_in_use_is_told_in_one_sentence(book: Path) -> None:
    """What, where and what to do; no traceback."""
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        with serving(book, "--port", str(port)) as process:
            out, told = process.communicate(timeout=20)

    assert ("", 1) == (out, process.returncode)
    assert f"127.0.0.1 port {port} cannot be listened on (" in told
    assert told.endswith("; give another --host or --port\n")
    assert 1 == told.count("\n")


def test_a_missing_book_is_told_in_one_sentence(tmp_path: Path) -> None:
    """Before anything listens."""
    with serving(tmp_path / "none.book", "--port", "0") as process:
        out, told = process.communicate(timeout=20)

    assert ("", 1, 1) == (out, process.returncode, told.count("\n"))
    assert "none.book" in told


def test_the_command_loads_flask_only_when_run() -> None:
    """`--help` stays quick."""
    asked = "import sys, torqueaudit.cli.serve; print([name for name in ('flask', 'waitress') if name in sys.modules])"

    assert "[]\n" == subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True).stdout


def test_many_phones_at_once_read_the_same_record(live: str, get: Get, yard: "Yard", procedures: Path) -> None:
    """Each thread has its own connection to the book."""
    address = f"{live}r/{yard.token(yard.open(procedures / 'front-wheel.toml'))}"
    with ThreadPoolExecutor(8) as phones:
        answers = list(phones.map(get, [address] * 64))

    assert {200} == {answer.status for answer in answers}
    assert 1 == len({answer.text for answer in answers})


def test_serve_for_owners_alone_says_so_and_opens_nothing_else(
    book: Path, yard: "Yard", get: Get, procedures: Path
) -> None:
    """Two lines; with TLS of the workshop's own it does not start, as no owner's phone knows that authority."""
    token = yard.token(yard.open(procedures / "front-wheel.toml"))
    with serving(book, "--port", "0", "--owner-only") as process:
        assert process.stdout
        try:
            lines = [process.stdout.readline(), process.stdout.readline()]
            address = next(word for word in lines[0].split() if word.startswith("http://127"))
            opened = [get(f"{address}{path}").status for path in (f"r/{token}", f"r/{token}/record", "", "bench")]
        finally:
            process.send_signal(signal.SIGTERM)
        process.wait(20)
    with serving(book, "--port", "0", "--owner-only", "--tls") as refused:
        says = refused.communicate(timeout=20)[1]

    assert [200, 404, 404, 404] == opened
    assert lines[0].startswith("Owners' pages alone open at ")
    assert "Nobody signs in here" in lines[1]
    assert (2, True) == (refused.returncode, "put a proxy in front" in says)


def test_serve_says_which_nights_were_not_audited(book: Path, yard: "Yard") -> None:
    """Behind the address, as it starts: whoever starts it sees that the timer does not run."""
    day = yard.workshop.local_day(datetime.now(UTC)) - timedelta(days=5)
    last_night.keep(book, day, datetime.now(UTC))
    with serving(book, "--port", "0") as process:
        assert process.stdout
        try:
            lines = [process.stdout.readline(), process.stdout.readline()]
        finally:
            process.send_signal(signal.SIGTERM)
        process.wait(20)

    assert lines[0].startswith("Records open at http://127.0.0.1:")
    assert lines[1].startswith(f"The last night that was audited is that of {day}; ")
    assert lines[1].endswith("nights since were not. Look why, and audit them.\n")
