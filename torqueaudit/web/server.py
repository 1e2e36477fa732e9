"""Answering on a network address, by waitress, until stopped."""

import logging
import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from typing import TYPE_CHECKING, Any

from waitress import wasyncore

from torqueaudit.book.address import Place
from torqueaudit.model.shown.label import JOB, base_of
from torqueaudit.web.app import RecordServer, create_app
from torqueaudit.web.authority_page import LISTENS_ON, authority_here
from torqueaudit.web.gate import BOUNDS, Bounds, Speaks, bounded
from torqueaudit.web.tls.authority import Authority
from torqueaudit.web.tls.encrypted import Encryption
from torqueaudit.workshop.night.heartbeat import heartbeat
from torqueaudit.workshop.signing.pins import why_nobody_signs

if TYPE_CHECKING:
    from _typeshed.wsgi import WSGIApplication

EVERYWHERE = frozenset({"0.0.0.0", "::", "*", ""})  # noqa: S104  # told apart from names, not listened on
PLAINLY = Speaks()


def serve(
    place: Place,
    host: str,
    port: int,
    say: Callable[[str], object],
    *,
    tls: bool = False,
    behind_proxy: bool = False,
    owner_only: bool = False,
) -> None:
    """Serve a book's records until the process is told to stop; `say` is given each line that is to be printed.

    With `tls` by certificates of the workshop's own authority; with `behind_proxy` a proxy on this machine is believed
    who asks and whether by TLS; with `owner_only` nothing is there but the owner's pages. Raises BookError, or OSError
    with a sentence when the address or a certificate cannot be had.
    """
    with create_app(place, owner_only=owner_only) as app:
        _listen_on(app, host)
        authority = authority_here(app, app.workshop) if tls else None
        speaks = Speaks(Encryption(authority) if authority else None, behind_proxy)
        signal.signal(signal.SIGTERM, lambda *_: sys.exit(0))  # so that the book is closed as after Ctrl-C
        with listening(app, host, port, speaks=speaks) as server:
            printed = base_of(app.workshop.settings, JOB)
            what = "Owners' pages alone" if owner_only else "Records"
            say(f"{what} open at {address_of(server)} (labels say {printed}); Ctrl-C stops.")
            if owner_only:
                say("Nobody signs in here, and every other address says that nothing is there.")
            if authority:
                say(f"Each phone accepts its authority once, at /authority; SHA-256 {_fingerprint(authority)}")
            if not owner_only and (why := why_nobody_signs(app.workshop)):
                say(f"Nobody can sign in now: {why[0].lower()}{why[1:].rstrip('.')}.")
            if missed := heartbeat(app.workshop).says:
                say(str(missed))
            server.run()


def _listen_on(app: RecordServer, host: str) -> None:
    """Let the pages answer to what is listened on, where that is one address."""
    if host not in EVERYWHERE:
        app.config["TRUSTED_HOSTS"] = [*app.config["TRUSTED_HOSTS"], host.lower()]
        app.config[LISTENS_ON] = host


def _fingerprint(authority: Authority) -> str:
    return authority.find_or_make().fingerprint


@contextmanager
def listening(
    app: "WSGIApplication", host: str, port: int, bounds: Bounds = BOUNDS, speaks: Speaks = PLAINLY
) -> Iterator[Any]:
    """Give a server that listens already, to be run and then closed. Port 0 takes a free one."""
    # That a request waits for a thread, or is still being answered at the end, is nothing that a workshop could act on.
    logging.getLogger("waitress").setLevel(logging.ERROR)
    sockets: dict[int, Any] = {}
    try:
        try:
            server = bounded(app, sockets, (host, port), bounds, speaks)
        except (OSError, ValueError) as error:
            told = f"{host} port {port} cannot be listened on ({error}); give another --host or --port"
            raise OSError(told) from error
        yield server
        server.task_dispatcher.shutdown()
    finally:
        wasyncore.close_all(sockets)


def stop(server: Any) -> None:
    """End a server that runs in another thread: it closes what it has, and its `run` returns.

    Its trigger is pulled at the end of each answer too, so the threads that answer go first; and without the lock a
    pull that came earlier could run the close, and with it close the pipe that is still to be written to. Connections
    are closed with it: a request that came meanwhile would be waited for, and nobody is left to answer it.
    """
    server.task_dispatcher.shutdown()
    with server.trigger.lock:
        server.trigger.thunks.append(partial(wasyncore.close_all, server._map))  # noqa: SLF001  # of waitress
        server.trigger.pull_trigger()


def address_of(server: Any) -> str:
    """Give the address a server listens on; the first one when a name stands for several."""
    several = getattr(server, "effective_listen", None)
    host, port = several[0] if several else (server.effective_host, server.effective_port)
    return f"{server.adj.url_scheme}://{f'[{host}]' if ':' in host else host}:{port}/"
