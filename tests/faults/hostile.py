"""Requests that are meant to break the server are sent to it, one after the other: it refuses them and lives.

    python hostile.py BOOK REQUESTS SEED [broken]

Half are put together of parts that have broken servers before, half are whole ones with bytes changed. With `broken`
the clock of the pages does not work, which must be found. Prints the figures as JSON.
"""

import json
import re
import signal
import subprocess
import sys
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from random import Random
from socket import SHUT_WR, create_connection
from tempfile import TemporaryFile
from typing import TypeVar

from torqueaudit.workshop.opening import open_workshop

T = TypeVar("T")
WORKING = """
import sys
from torqueaudit.cli.main import main
sys.argv[1:] = ["--book", sys.argv[1], "serve", "--port", "0"]
main()
"""
BROKEN = """
import pathlib, sys
from torqueaudit.web.app import create_app
from torqueaudit.web.server import listening
def clock(): raise RuntimeError("the quartz fell out")
with create_app(pathlib.Path(sys.argv[1]), clock) as app, listening(app, "127.0.0.1", 0) as server:
    print(f"Records open at http://127.0.0.1:{server.effective_port}/", flush=True)
    server.run()
"""
ODD, BODIES = 0.15, 0.4  # shares
EXPECTED = {200, 303, 308, 400, 404, 405, 408, 411, 413, 415, 422, 431, 501}
GO_ON = b"HTTP/1.1 100 Continue\r\n\r\n"
STATUS = re.compile(rb"HTTP/1\.[01] (\d{3}) ")
INSIDE = (b"Traceback", b'File "', b"site-packages", b"waitress", b"werkzeug", b"flask")

METHODS = (b"POST", b"HEAD", b"PUT", b"OPTIONS", b"TRACE", b"CONNECT", b"get", b"G\xc3\x84T", b"", b"A" * 300)
VERSIONS = (b"HTTP/1.0", b"HTTP/0.9", b"HTTP/2.0", b"HTTP/9.9", b"HTTP/1.1 ", b"http/1.1", b"")
NAMES = (b"%%00%s", b"..%%2f%s", b"%s%%0d%%0aSet-Cookie:a=b", b"\xff%s", b"%%ff%%fe%s", b"%%c0%%af%s", b"%s/", b"%s%%")
TYPES = (
    b"multipart/form-data; boundary=b",
    b"multipart/form-data",
    b"multipart/form-data; boundary=",
    b"multipart/form-data; boundary=" + b"b" * 400,
    b'multipart/form-data; boundary="b; charset=utf-16',
    b"application/x-www-form-urlencoded",
    b"application/x-www-form-urlencoded; charset=utf-7",
    b"application/json",
    b"\xff\xfe",
    b"",
)
HOSTS = (b"LOCALHOST:80", b"[::1]", b"[", b"a b", b"evil.example", b"", b"localhost:99999", b"\xe4")
LENGTHS = (
    b"0",
    b"1",
    b"70000",
    b"-1",
    b"+5",
    b"5, 5",
    b"0x10",
    b"9" * 25,
    b"9" * 5000,
    b" 7 ",
    b"7\x0b",
    b"1e3",
    b"\xd9\xa3",
    b"",
)
CODINGS = (
    b"chunked",
    b"Chunked",
    b" chunked",
    b"chunked, chunked",
    b"identity",
    b"gzip, chunked",
    b"\x0bchunked",
    b"x",
)
ADDRESSES = (b"*", b"//evil.example/", b"http://[/", b"http://evil.example/", b"/" * 200, b"/r/" + b"a" * 9000, b"")
QUERIES = (b"token=%ff", b"token=" + b"w-1" * 999, b"&" * 99, b"a=1&" * 999, b"#x", b"token=%s", b"unused=-1&copy=lost")
OTHERS = (
    b"Expect: 100-continue",
    b"Expect: 999",
    b"Connection: keep-alive",
    b"Connection: close, Host",
    b"Cookie: session=" + b"a" * 3000,
    b"Cookie: session=" + b"a" * 20_000,
    b"Range: bytes=5-1",
    b"If-Modified-Since: \xff",
    b"X-Forwarded-Host: evil.example",
    b"X-Forwarded-For: 1.2.3.4, [",
    b"Content-Length : 5",
    b"Content_Length: 5",
    b" folded: line",
    b"no colon",
    b": no name",
    b"bare\rreturn: 1",
    b"bare\nfeed: 1",
    b"nul\x00: \x00",
    b"Accept-Language: " + b"de;q=9," * 300,
    b"Upgrade: h2c",
)
PARTS = (
    b'--b\r\nContent-Disposition: form-data; name="photo"; filename="p.jpg"\r\n\r\n\r\n--b--\r\n',
    b'--b\r\nContent-Disposition: form-data; name="photo"\r\n\r\nwords\r\n--b--\r\n',
    b"--b\r\nContent-Disposition: form-data; name=\xff; filename*=utf-8''%ff\r\n\r\nx\r\n--b--\r\n",
    b"--b\r\n\r\nx\r\n--b--\r\n",
    b"--b\r\nContent-Disposition: attachment\r\nContent-Transfer-Encoding: base64\r\n\r\n=\r\n--b",
    b"--b\r\n" + b"X: y\r\n" * 500,
    b"--b--b--b\r\n--b",
    b"5\r\nhello\r\n0\r\n\r\n",
    b"fffffffffffffffff\r\n",
    b"-1\r\n\r\n0\r\n\r\nGET /nothing HTTP/1.1\r\nHost: localhost\r\n\r\n",
    b"token=%ff&token[]=1&%00=%",
    b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03",
    b"PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n",
)


class Maker:
    """Makes requests by chance; `pages` are paths that the server has."""

    def __init__(self, chance: Random, pages: list[bytes]) -> None:
        self._chance = chance
        self._pages = pages

    def request(self) -> bytes:
        """One request."""
        return self._put_together() if self._chance.random() < 0.5 else self._changed()

    def _put_together(self) -> bytes:
        pick, odd, body = self._chance.choice, self._odd, b""
        lines = [b" ".join((odd(b"GET", METHODS), self._path(), odd(b"HTTP/1.1", VERSIONS)))]
        lines += [b"Host: " + odd(b"localhost", HOSTS)] * odd(1, (0, 2))
        if self._chance.random() < BODIES:
            body = b"".join(pick(PARTS) for _ in range(pick((1, 1, 2, 5))))
            lines += [b"Content-Type: " + odd(TYPES[0], TYPES)]
            lines += [b"Content-Length: " + odd(b"%d" % len(body), LENGTHS)]
        lines += odd([], [[b"Transfer-Encoding: " + coding] for coding in CODINGS])
        lines += self._chance.sample(OTHERS, odd(0, (1, 1, 3)))
        return odd(b"\r\n", (b"\n", b"\r"), 0.02).join((*lines, b"", b"")) + body

    def _path(self) -> bytes:
        path = self._chance.choice(self._pages)
        start, _, last = path.rpartition(b"/")
        ways = (
            start + b"/" + self._chance.choice(NAMES) % last,
            path + b"?" + self._chance.choice(QUERIES),
            self._chance.choice(ADDRESSES),
            b"/" + self._chance.randbytes(self._chance.choice((1, 4, 30))),
        )
        return self._odd(path, ways, 2 * ODD)

    def _changed(self) -> bytes:
        """A whole request, with bytes changed."""
        pick = self._chance.choice
        body = self._odd(b"", PARTS[:2], BODIES)
        method, path = (b"POST", b"/photo") if body else (b"GET", pick(self._pages))
        head = b"%s %s HTTP/1.1\r\nHost: localhost\r\n" % (method, path)
        if body:
            head += b"Content-Type: %s\r\nContent-Length: %d\r\n" % (TYPES[0], len(body))
        request = bytearray(head + b"\r\n" + body)
        for _ in range(pick((1, 1, 2, 4))):
            at = self._chance.randrange(len(request) + 1)
            upto = min(len(request), at + pick((0, 1, 1, 4, 20)))
            new = pick((b"", self._chance.randbytes(1), b"\r\n", b"\x00", bytes(request[at:upto]) * 3, b"9" * 40))
            request[at:upto] = new
        return bytes(request)

    def _odd(self, usual: T, odd: Sequence[T], share: float = ODD) -> T:
        """What is usual, and now and then something odd."""
        return self._chance.choice(odd) if self._chance.random() < share else usual


@contextmanager
def served(book: Path, program: str, told: Callable[[bytes], None]) -> Iterator[int]:
    """The port of a server, stopped as a user would stop it; `told` gets its error output."""
    with TemporaryFile() as errors:
        with subprocess.Popen(
            [sys.executable, "-c", program, str(book)], stdout=subprocess.PIPE, stderr=errors
        ) as server:
            assert server.stdout
            try:
                yield int(server.stdout.readline().split()[3].rstrip(b"/").rpartition(b":")[2])
            finally:
                alive = server.poll() is None
                server.send_signal(signal.SIGTERM)
        errors.seek(0)
        told(errors.read() if alive else b"it ended: " + errors.read())


def answer(port: int, request: bytes) -> bytes:
    """Everything that the server says to a request."""
    said = b""
    with create_connection(("127.0.0.1", port), timeout=60) as connection:
        try:
            connection.sendall(request)
            connection.shutdown(SHUT_WR)
            while part := connection.recv(65536):
                said += part
        except ConnectionError:
            pass  # turned away while it was still being sent
    return said


def codes_of(said: bytes) -> list[int]:
    """The codes of the answers, without those that say no more than "go on"."""
    return [int(code) for code in STATUS.findall(said) if code != b"100"]


def fault_of(said: bytes) -> str:
    """What is wrong with an answer; nothing where nothing is, or where a request broke off and there is none."""
    if said in {b"", GO_ON}:
        return ""
    codes = codes_of(said)
    if len(codes) > 1:
        return "more than one answer"
    if not codes or codes[0] not in EXPECTED:
        return f"answered by {codes or said[:40]!r}"
    if b"nosniff" not in said:
        return "an answer without its guard"
    return next((f"tells of its inside: {word!r}" for word in INSIDE if word in said), "")


def main() -> None:
    """Send the requests and print what became of them."""
    book, count, seed, broken = Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]), "broken" in sys.argv
    with open_workshop(book) as workshop:
        token = workshop.record("1").token.encode()
    maker = Maker(
        Random(seed), [b"/", b"/?token=" + token, b"/r/" + token, b"/R/" + token.upper(), b"/w/W-1", b"/photo"]
    )
    statuses, faults, errors = Counter[str](), list[tuple[str, str]](), list[bytes]()
    with served(book, BROKEN if broken else WORKING, errors.append) as port:
        for _ in range(count):
            request = maker.request()
            said = answer(port, request)
            statuses.update([str(code) for code in codes_of(said)] or ["none"])
            if fault := fault_of(said):
                faults.append((fault, repr(request[:3000])))
        page = answer(port, b"GET /w/W-1 HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n")
    figures = {
        "requests": count,
        "faults": len(faults),
        "first": faults[0] if faults else "",
        "errors": errors[0].decode(errors="replace")[:2000],
        "lives": b"<b>W-1</b>" in page,
        "answers": dict(sorted(statuses.items())),
    }
    print(json.dumps(figures))  # noqa: T201  # it is read by the test


if __name__ == "__main__":
    main()
