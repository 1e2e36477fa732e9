"""Between the network and the pages: how much one machine may hold of the server.

waitress reads all connections in one thread and gives whole requests to a few threads that answer, so a slow machine
holds none of these. What it leaves open is closed here: the connections and photos of one address, the time of a head
and of a body, bodies of unknown length, and what no page would take, which is thrown away as it comes.
"""

import time
from collections import Counter
from contextlib import suppress
from functools import partial
from io import BytesIO
from typing import TYPE_CHECKING, Any, NamedTuple

from waitress.adjustments import Adjustments
from waitress.channel import HTTPChannel
from waitress.parser import HTTPRequestParser, ParsingError
from waitress.server import MultiSocketServer, TcpWSGIServer
from waitress.task import ThreadedTaskDispatcher, WSGITask

from torqueaudit.web.bodies import MOST_PHOTO, NO_PLACE, brings_file, not_taken
from torqueaudit.web.refusal import Refusal
from torqueaudit.web.tls.encrypted import Encryption, NothingYet

if TYPE_CHECKING:
    from _typeshed.wsgi import WSGIApplication, WSGIEnvironment

THREADS = 8  # more than there are places for photos, so that some always answer pages
PROXY = "127.0.0.1"
MOST_HEAD = 16 * 1024  # bytes
MOST_THROWN_AWAY = 2 * MOST_PHOTO  # what is a little too large is answered once it has come, or nobody reads the answer


class Bounds(NamedTuple):
    """What one address, and all together, may hold; and how long a machine may keep the server waiting, in seconds."""

    connections: int = 128
    connections_each: int = 16  # a browser opens six
    handshakes_each: int = 24  # of TLS in a second; each takes as long as several pages are turned away in
    photos: int = 4  # on their way, waiting, or being read
    photos_each: int = 2
    head: float = 10
    idle: float = 30
    unread: float = 60  # an answer that is not fetched
    pause: float = 15  # in a body; so much time is given on top of the time by `pace`
    pace: int = 16 * 1024  # bytes of a body in a second


BOUNDS = Bounds()


class Speaks(NamedTuple):
    """How the server is spoken to: by TLS where there is an encryption; through a proxy on this machine or not."""

    encryption: Encryption | None = None
    behind_proxy: bool = False

    def adjusted(self) -> dict[str, Any]:
        """What waitress is told of it; who does not come from the proxy can say nothing of this kind."""
        if self.behind_proxy:
            told = {"x-forwarded-for", "x-forwarded-proto"}
            return {"trusted_proxy": PROXY, "trusted_proxy_count": 1, "trusted_proxy_headers": told}
        return {"url_scheme": "https" if self.encryption else "http"}


def bounded(
    application: "WSGIApplication", sockets: dict[int, Any], place: tuple[str, int], bounds: Bounds, speaks: Speaks
) -> Any:
    """Give a server that listens already at a host and port. Raises OSError or ValueError where it cannot."""
    host, port = place
    if speaks.behind_proxy:  # one machine is everybody there
        bounds = bounds._replace(connections_each=bounds.connections, photos_each=bounds.photos)
    adj = Adjustments(
        host=host,
        port=port,
        ident=None,
        recv_bytes=64 * 1024,
        cleanup_interval=1,  # seconds between two looks for who is late
        connection_limit=bounds.connections + 100,  # never reached: there it would stop listening
        max_request_header_size=MOST_HEAD,
        asyncore_use_poll=True,
        log_socket_errors=False,
        clear_untrusted_proxy_headers=True,
        **speaks.adjusted(),
    )
    dispatcher = ThreadedTaskDispatcher()
    rest = {"map": sockets, "dispatcher": dispatcher, "adj": adj}
    servers = [Server(application, bounds, speaks.encryption, sockinfo=each, **rest) for each in adj.listen]
    dispatcher.set_thread_count(THREADS)
    if len(servers) == 1:
        return servers[0]
    listen = [(each.effective_host, each.effective_port) for each in servers]
    return MultiSocketServer(sockets, adj, listen, dispatcher=dispatcher, log_info=servers[0].log_info)


class Request(HTTPRequestParser):  # type: ignore[misc]  # waitress comes without types
    """A request as it comes in. `photo`: its body is kept, and is a photo. `no_place`: it was one, and is not kept."""

    error: Any
    body_rcv: Any
    chunked: bool
    content_length: int

    def __init__(self, channel: "Channel", adj: Adjustments) -> None:
        super().__init__(adj)
        self.begun = time.time()
        self.photo = self.no_place = False
        self._channel = channel

    def received(self, data: bytes) -> int:
        """Take in what came, and give how much of it was used."""
        used: int = super().received(data)
        if self.error:
            self.error = Refusal(self.error.code)
        if self.completed:
            self.expect_continue = False  # nothing is left to ask for, and whoever is asked for it waits
        if self.completed and not self.empty and used < len(data):
            # No browser sends a second request before the first is answered; whoever does asks it again.
            self._close_after()
            return len(data)
        return used

    def parse_header(self, header_plus: bytes) -> None:
        """Read the head, and decide by it what becomes of the body. Raises ParsingError."""
        try:
            super().parse_header(header_plus)
        except ValueError as error:  # an address in brackets that are never closed, a length of thousands of digits
            raise ParsingError(str(error)) from error
        if self.chunked or "TRANSFER_ENCODING" in self.headers:
            self.error, self.chunked = Refusal(411), False
            self._leave_body()
        elif self.content_length:
            self._look_at_body()

    def _look_at_body(self) -> None:
        taken = not not_taken(self.path, self.headers.get("CONTENT_TYPE", ""), self.content_length)
        if taken and brings_file(self.path):
            self.photo = taken = self._channel.server.has_place(self._channel)
            self.no_place = not taken
        if taken:
            return
        if self.expect_continue or self.content_length > MOST_THROWN_AWAY:
            self._leave_body()
        else:
            self.body_rcv = _ThrownAway(self.content_length)

    def _leave_body(self) -> None:
        """Answer without it."""
        self.body_rcv, self.content_length, self.expect_continue = None, 0, False
        self._close_after()

    def _close_after(self) -> None:
        self.headers["CONNECTION"] = "close"


class _ThrownAway:
    """Where the bytes of a body go that no page takes; made like the receivers of waitress."""

    error = None

    def __init__(self, length: int) -> None:
        self._left = length

    @property
    def completed(self) -> bool:
        return not self._left

    def received(self, data: bytes) -> int:
        used = min(self._left, len(data))
        self._left -= used
        return used

    def getfile(self) -> BytesIO:
        return BytesIO()

    getbuf = getfile


class _Task(WSGITask):  # type: ignore[misc]  # as above
    def get_environment(self) -> "WSGIEnvironment":
        environ: WSGIEnvironment = super().get_environment()
        if self.request.no_place:
            environ[NO_PLACE] = True
        return environ


class Channel(HTTPChannel):  # type: ignore[misc]  # as above
    """One connection. `holder`: the address whose it is."""

    task_class = _Task

    def __init__(self, server: "Server", sock: Any, address: Any, adj: Adjustments, **rest: Any) -> None:
        self.parser_class = partial(Request, self)
        self.holder: str = address[0]
        super().__init__(server, sock, address, adj, **rest)
        server.make_room(self)

    def handle_read(self) -> None:
        """Read what came; by TLS that may be nothing whole yet."""
        with suppress(NothingYet):
            super().handle_read()

    @property
    def waiting_since(self) -> float:
        """Since when the server waits for the rest of a request, or for the next one."""
        return float(self.request.begun if self.request else self.last_activity)

    def is_late(self, now: float) -> bool:
        """Whether the server has waited for too long."""
        bounds: Bounds = self.server.bounds
        request, waited = self.request, now - self.waiting_since
        if self.requests:
            return False
        if request is None:
            return waited > (bounds.unread if self.total_outbufs_len else bounds.idle)
        if not request.headers_finished:
            return waited > bounds.head
        return bool(request.body_bytes_received < bounds.pace * (waited - bounds.pause))

    def turn_away(self, code: int, *, asked: bool = False) -> None:
        """Close it, and say why where something was asked: a word too much would be the answer to the next request."""
        if asked or self.request:
            with suppress(OSError):
                self.send(Refusal(code).whole())
        self.will_close = True


class Server(TcpWSGIServer):  # type: ignore[misc]  # as above
    """One address that is listened on; what it bounds counts for all of them together."""

    channel_class = Channel

    def __init__(
        self, application: "WSGIApplication", bounds: Bounds, encryption: Encryption | None, **rest: Any
    ) -> None:
        self.bounds = bounds
        self._encryption = encryption
        super().__init__(application, **rest)

    def accept(self) -> Any:
        """Take the next connection, which speaks TLS where the server does; its handshake comes with what it reads.

        None where there is none, or where its machine has had more handshakes within a second than any browser needs.
        """
        accepted = super().accept()
        if accepted is None or self._encryption is None:
            return accepted
        plain, address = accepted
        if self._encryption.begun_by(address[0]) > self.bounds.handshakes_each:
            plain.close()
            return None
        return self._encryption.over(plain), address

    def maintenance(self, now: float) -> None:
        """Turn away who is late, and close who was turned away and fetches no answer; asked every second."""
        if self._encryption:
            self._encryption.look()
        for channel in self._channels():
            if channel.will_close:  # waitress waits until it can be written to
                channel.handle_close()
            elif channel.is_late(now):
                channel.turn_away(408)

    def make_room(self, newest: Channel) -> None:
        """Where there are too many connections, close the one that has waited longest, of whoever holds most.

        Where all of them are being answered it is the newest.
        """
        everybody = self._open()
        held = Counter(channel.holder for channel in everybody)
        if held[newest.holder] > self.bounds.connections_each:
            rivals = [channel for channel in everybody if channel.holder == newest.holder]
        elif len(everybody) > self.bounds.connections:
            rivals = everybody
        else:
            return
        waiting = [channel for channel in rivals if not channel.requests]
        last = min(waiting, key=lambda channel: (-held[channel.holder], channel.waiting_since), default=newest)
        last.turn_away(503, asked=last is newest)

    def has_place(self, channel: Channel) -> bool:
        """Whether one more photo may be sent by a connection."""
        kept = [each.holder for each in self._open() for one in (each.request, *each.requests) if one and one.photo]
        return len(kept) < self.bounds.photos and kept.count(channel.holder) < self.bounds.photos_each

    def _open(self) -> list[Channel]:
        return [each for each in self._channels() if not each.will_close]

    def _channels(self) -> list[Channel]:
        return [each for each in self._map.values() if isinstance(each, Channel)]
