"""Answering on a network address, by waitress, until stopped."""

import signal
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from torqueaudit.web.app import MOST_BYTES, RecordServer, create_app

THREADS = 4
EVERYWHERE = frozenset({"0.0.0.0", "::", "*", ""})  # noqa: S104  # told apart from names, not listened on


def serve(path: Path, host: str, port: int, say: Callable[[str], object]) -> None:
    """Serve a book's records until the process is told to stop; `say` is given one line with the address.

    Raises BookError, or OSError with a sentence when the address cannot be had.
    """
    with create_app(path) as app:
        if host not in EVERYWHERE:
            app.config["TRUSTED_HOSTS"] = [*app.config["TRUSTED_HOSTS"], host.lower()]
        server = make_server(app, host, port)
        signal.signal(signal.SIGTERM, lambda *_: sys.exit(0))  # so that the book is closed as after Ctrl-C
        say(f"Records open at {address_of(server)} (labels say {app.workshop.settings.base_address}); Ctrl-C stops.")
        server.run()


def make_server(app: RecordServer, host: str, port: int) -> Any:
    """Make a waitress server that listens already; port 0 takes a free one."""
    import waitress

    try:
        return waitress.create_server(
            app, host=host, port=port, threads=THREADS, ident=None, max_request_body_size=MOST_BYTES
        )
    except (OSError, ValueError) as error:
        raise OSError(f"{host} port {port} cannot be listened on ({error}); give another --host or --port") from error


def address_of(server: Any) -> str:
    """Give the address a server listens on; the first one when a name stands for several."""
    several = getattr(server, "effective_listen", None)
    host, port = several[0] if several else (server.effective_host, server.effective_port)
    return f"http://{f'[{host}]' if ':' in host else host}:{port}/"
