"""The command that serves, as a process of its own; many phones at once."""

import os
import signal
import socket
import subprocess
import sys
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import TYPE_CHECKING

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
            answer = get(line.split()[3] + "R/" + token.upper())
        finally:
            process.send_signal(signal.SIGTERM)
        rest = (process.stdout.read(), process.stderr.read(), process.wait(20))

    assert line.startswith("Records open at http://127.0.0.1:")
    assert line.endswith("(labels say http://bench.example); Ctrl-C stops.\n")
    assert (200, True) == (answer.status, "<b>Job 1</b>" in answer.text)
    assert ("", "", 0) == rest


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
