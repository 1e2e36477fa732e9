"""Answering on a network address, by waitress, until stopped."""

import logging
import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from waitress import wasyncore

from torqueaudit.web.app import create_app
from torqueaudit.web.gate import BOUNDS, Bounds, bounded

if TYPE_CHECKING:
    from _typeshed.wsgi import WSGIApplication

EVERYWHERE = frozenset({"0.0.0.0", "::", "*", ""})  # noqa: S104  # told apart from names, not listened on


def serve(path: Path, host: str, port: int, say: Callable[[str], object], bounds: Bounds = BOUNDS) -> None:
    """Serve a book's records until the process is told to stop; `say` is given one line with the address.

    Raises BookError, or OSError with a sentence when the address cannot be had.
    """
    with create_app(path) as app:
        if host not in EVERYWHERE:
            app.config["TRUSTED_HOSTS"] = [*app.config["TRUSTED_HOSTS"], host.lower()]
        signal.signal(signal.SIGTERM, lambda *_: sys.exit(0))  # so that the book is closed as after Ctrl-C
        with listening(app, host, port, bounds) as server:
            printed = app.workshop.settings.base_address
            say(f"Records open at {address_of(server)} (labels say {printed}); Ctrl-C stops.")
            server.run()


@contextmanager
def listening(app: "WSGIApplication", host: str, port: int, bounds: Bounds = BOUNDS) -> Iterator[Any]:
    """Give a server that listens already, to be run and then closed. Port 0 takes a free one."""
    # That a request waits for a thread, or is still being answered at the end, is nothing that a workshop could act on.
    logging.getLogger("waitress").setLevel(logging.ERROR)
    sockets: dict[int, Any] = {}
    try:
        try:
            server = bounded(app, sockets, host, port, bounds)
        except (OSError, ValueError) as error:
            told = f"{host} port {port} cannot be listened on ({error}); give another --host or --port"
            raise OSError(told) from error
        yield server
        server.task_dispatcher.shutdown()
    finally:
        wasyncore.close_all(sockets)


def address_of(server: Any) -> str:
    """Give the address a server listens on; the first one when a name stands for several."""
    several = getattr(server, "effective_listen", None)
    host, port = several[0] if several else (server.effective_host, server.effective_port)
    return f"http://{f'[{host}]' if ':' in host else host}:{port}/"
