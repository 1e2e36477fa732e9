"""A connection that speaks TLS, for a server that waits for none: what is not there yet is no error.

The loop of the gate reads and a thread that answers writes, at one time; the library serves one of them, so each
waits for the other, for as long as it takes to encipher 16 kB.
"""

import errno
import logging
import ssl
import time
from collections import Counter
from contextlib import suppress
from datetime import datetime, timedelta
from socket import socket
from threading import RLock
from typing import Any, Self, cast

from torqueaudit.web.refusal import Refusal
from torqueaudit.web.tls.authority import Authority, NoAuthority

RECORD = 16 * 1024  # bytes that TLS sends as one (RFC 8446, 5.1)
LATER = timedelta(hours=1)  # until a renewal that failed is tried again
_PLAIN_HTTP = "HTTP_REQUEST"  # what the library calls it


class NothingYet(Exception):
    """Nothing whole has come; not an OSError, as the connection is sound."""


class Encrypted(ssl.SSLSocket):
    """One connection, used like a plain one. Its handshake is done by the first who reads from it."""

    _alone: RLock

    def __new__(cls, *args: Any, **kwargs: Any) -> Self:
        """Make it; its class is called by the library alone, which allows no `__init__`."""
        one = super().__new__(cls, *args, **kwargs)
        one._alone = RLock()
        return one

    def recv(self, buflen: int = RECORD, flags: int = 0) -> bytes:
        """Give what came, b"" where the other side has ended it. Raises NothingYet, OSError."""
        try:
            with self._alone:
                return super().recv(buflen, flags)
        except (ssl.SSLWantReadError, ssl.SSLWantWriteError):
            raise NothingYet from None
        except ssl.SSLError as error:
            if error.reason == _PLAIN_HTTP:
                self._say_plainly()
            raise

    def send(self, data: Any, flags: int = 0) -> int:
        """Send a part, and say how many bytes of it. Raises BlockingIOError where nothing can be sent now, OSError."""
        try:
            with self._alone:
                return super().send(memoryview(data)[:RECORD], flags)
        except (ssl.SSLWantReadError, ssl.SSLWantWriteError):
            raise BlockingIOError(errno.EWOULDBLOCK, "not now") from None

    def close(self) -> None:
        """Say that nothing more comes, and close it."""
        with self._alone:
            with suppress(OSError, ValueError):  # nobody waits for the other side to say the same
                self.unwrap()
            super().close()

    def _say_plainly(self) -> None:
        with suppress(OSError):
            socket.recv(self, RECORD)  # what is left unread would take the answer back
            socket.send(self, Refusal(426).whole())


class Encryption:
    """What a server needs to speak TLS: 1.2 and later, by the certificate of its authority. Raises NoAuthority."""

    def __init__(self, authority: Authority) -> None:
        self._authority = authority
        self._handshakes: Counter[str] = Counter()
        self._second = 0
        self._context, self._due = self._taken()

    def begun_by(self, address: str) -> int:
        """Count one more handshake of an address; how many it began within this second, wherever it came in."""
        if (second := int(time.monotonic())) != self._second:
            self._second, self._handshakes = second, Counter()
        self._handshakes[address] += 1
        return self._handshakes[address]

    def over(self, plain: socket) -> Encrypted:
        """Speak TLS over a connection that was just accepted, and wait for nothing. Raises OSError."""
        plain.settimeout(0)
        wrapped = self._context.wrap_socket(plain, server_side=True, do_handshake_on_connect=False)
        return cast("Encrypted", wrapped)

    def look(self) -> None:
        """Renew the certificate where it is time; whoever connects from then on is shown the new one."""
        if self._authority.clock() < self._due:
            return
        try:
            self._context, self._due = self._taken()
        except NoAuthority as error:
            logging.getLogger(__name__).error("%s", error)  # noqa: TRY400  # the sentence says all
            self._due = self._authority.clock() + LATER

    def _taken(self) -> tuple[ssl.SSLContext, datetime]:
        """What shows the certificate as it is kept now, and when it has to be renewed. Raises NoAuthority.

        Made anew each time: what a certificate that is refused leaves of the one before could serve nobody.
        """
        path, certificate = self._authority.server()
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        context.minimum_version = ssl.TLSVersion.TLSv1_2
        context.set_alpn_protocols(["http/1.1"])
        context.sslsocket_class = Encrypted
        try:
            context.load_cert_chain(path)
        except OSError as error:  # also whatever the library says of it
            raise NoAuthority(f"{path} cannot be served with: {error.strerror or error}.") from None
        return context, certificate.third_left
