"""A server of PostgreSQL of the tests' own: started where it is first needed, reached through a socket in its folder.

Debian's package `postgresql` brings the programs; they refuse to run as root, so root starts them as that package's
user. What it writes lies in memory, and nothing is flushed: what a power cut does is the server's own affair.
"""

import ctypes
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import count
from pathlib import Path
from urllib.parse import quote

import psycopg

USER = "keeper"  # the server's own superuser
_AS = "postgres" if os.geteuid() == 0 else None
_SECONDS = 30
_PR_SET_PDEATHSIG = 1  # prctl(2)
_NO_FLUSH = ("fsync=off", "synchronous_commit=off", "full_page_writes=off")
_FEW = ("max_connections=60", "shared_buffers=32MB", "listen_addresses=", "jit=off", "autovacuum=off")
_numbers = count(1)


class Server:
    """A running server."""

    def __init__(self, folder: Path, settings: tuple[str, ...] = _NO_FLUSH) -> None:
        self.folder = folder
        self.settings = settings
        self._programs = _programs()
        self._process: subprocess.Popen[bytes] | None = None
        how = ("--username", USER, "--auth", "trust", "--no-sync", "--encoding=UTF8")
        self.run("initdb", "--pgdata", self._data, *how)
        self.start()

    @property
    def _data(self) -> str:
        return str(self.folder / "data")

    def run(self, program: str, *told: str) -> None:
        """Run another program of PostgreSQL, as whom the server runs."""
        command: list[str | Path] = [self._programs / program, *told]
        subprocess.run(command, check=True, capture_output=True, cwd="/", user=_AS, group=_AS)

    def own(self, file: Path) -> None:
        """Give a file to whom the server runs as."""
        if _AS:
            shutil.chown(file, _AS, _AS)

    def start(self) -> None:
        """Let it run, and wait until it answers."""
        told = [f"unix_socket_directories={self.folder}", *_FEW, *self.settings]
        options = [part for each in told for part in ("-c", each)]
        with (self.folder / "log").open("ab") as log:
            program: list[str | Path] = [self._programs / "postgres", "-D", self._data, *options]
            self._process = subprocess.Popen(
                program,
                stdout=log,
                stderr=log,
                cwd="/",
                user=_AS,
                group=_AS,
                preexec_fn=_end_with_parent,  # noqa: PLW1509 no thread holds a lock
            )
        until = time.monotonic() + _SECONDS
        while True:
            try:
                psycopg.connect(self.address("postgres")).close()
            except psycopg.OperationalError:
                if time.monotonic() > until:
                    raise
                time.sleep(0.05)
            else:
                return

    def kill(self) -> None:
        """End every process of it at once, as a machine does that loses its current."""
        self._end(signal.SIGQUIT)

    def stop(self) -> None:
        """End it in order, whoever is connected."""
        self._end(signal.SIGINT)

    def _end(self, how: signal.Signals) -> None:
        if self._process is not None:
            self._process.send_signal(how)
            self._process.wait(_SECONDS)
            self._process = None

    def address(self, name: str, user: str = USER) -> str:
        """The address of a database of it."""
        return f"postgresql://{user}@/{name}?host={quote(str(self.folder), safe='')}"

    def database(self, template: str = "template0") -> str:
        """A new database's name; a copy of another one that nobody is connected to."""
        name = f"made_{next(_numbers)}"
        self.say(f"create database {name} template {template} strategy file_copy")
        return name

    def drop(self, name: str) -> None:
        """Take a database away, whoever is connected."""
        self.say(f"drop database {name} with (force)")

    def say(self, sql: str, name: str = "postgres") -> None:
        """Run statements as the superuser."""
        with psycopg.connect(self.address(name), autocommit=True) as connection:
            connection.execute(sql.encode())


@contextmanager
def running(settings: tuple[str, ...] = _NO_FLUSH) -> Iterator[Server]:
    """A server for a block; nothing is left of it."""
    folder = Path(tempfile.mkdtemp(prefix="pg-"))  # a socket's path has to be short
    if _AS:
        shutil.chown(folder, _AS, _AS)
    server = Server(folder, settings)
    try:
        yield server
    finally:
        server.stop()
        shutil.rmtree(folder)


def _end_with_parent() -> None:
    """Let the server end with the tests that started it, also where these are killed."""
    if sys.platform == "linux":
        ctypes.CDLL(None).prctl(_PR_SET_PDEATHSIG, signal.SIGINT)


def _programs() -> Path:
    """Where the programs of the newest server lie that this machine has."""
    found = [*Path("/usr/lib/postgresql").glob("*/bin/postgres")]
    if found:
        return max(found, key=lambda each: int(each.parts[-3])).parent
    named = shutil.which("postgres")
    assert named, "there is no server of PostgreSQL; `make test` installs it on Debian"
    return Path(named).parent
