"""What the server turns away before any page sees it, and with which words; over real sockets."""

import socket
import sys
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from datetime import datetime
from pathlib import Path
from threading import Event, Thread
from time import sleep
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

import pytest

from torqueaudit.web.bodies import MOST_FORM, MOST_PHOTO
from torqueaudit.web.gate import Bounds

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse, WSGIEnvironment

    from tests.web.conftest import Yard

FORM = "Content-Type: application/x-www-form-urlencoded"
PHOTO = "Content-Type: multipart/form-data; boundary=border"
QUICK = Bounds(head=0.3, idle=0.3, pause=0.3)

Served = Callable[..., str]


@pytest.fixture
def served(book: Path, clock: list[datetime], listen: Callable[..., str]) -> Iterator[Served]:
    """Serve the book with other bounds."""
    with ExitStack() as until:
        yield lambda bounds, tick=lambda: clock[0]: listen(until, book, tick, bounds)


@contextmanager
def connected(address: str, source: str = "127.0.0.1") -> Iterator[socket.socket]:
    """A connection to the server."""
    place = (str(urlsplit(address).hostname), urlsplit(address).port or 0)
    with socket.create_connection(place, timeout=30, source_address=(source, 0)) as connection:
        yield connection


def head(method: str, path: str, *lines: str) -> bytes:
    """The head of a request."""
    return "\r\n".join((f"{method} {path} HTTP/1.1", "Host: localhost", *lines, "", "")).encode()


def all_of(connection: socket.socket) -> str:
    """What the server says until it closes the connection."""
    said = b""
    while part := connection.recv(65536):
        said += part
    return said.decode()


def ask(address: str, request: bytes) -> str:
    """What the server says to these bytes until it closes the connection."""
    with connected(address) as connection:
        connection.sendall(request)
        return all_of(connection)


@pytest.mark.parametrize(
    ("request_", "status", "says"),
    [
        (b"get / HTTP/1.1\r\n\r\n", "400 Bad Request", "no request as browsers send them"),
        (b"GET http://[ HTTP/1.1\r\n\r\n", "400 Bad Request", "no request as browsers send them"),
        (head("POST", "/", FORM, "Content-Length: 1" + "0" * 5000), "400 Bad Request", "no request as browsers"),
        (head("POST", "/", FORM, "Content-Length: 5, 5"), "400 Bad Request", "no request as browsers send them"),
        (head("POST", "/photo", PHOTO, "Transfer-Encoding: chunked"), "411 Length Required", "how long it is"),
        (
            head("POST", "/photo", PHOTO, "Transfer-Encoding: chunked", "Content-Length: 3").replace(b"1.1", b"1.0"),
            "411 Length Required",
            "how long it is",
        ),
        (head("POST", "/", FORM, "Transfer-Encoding: gzip"), "501 Not Implemented", "Send it as browsers do"),
        (b"GET / HTTP/1.1\r\nA: " + b"x" * 20_000, "431 Request Header Fields Too Large", "longer than a browser"),
    ],
)
def test_what_is_no_request_is_refused_in_words(live: str, request_: bytes, status: str, says: str) -> None:
    """In one sentence, after which the connection is closed; nothing names the program behind it."""
    answer = ask(live, request_)

    assert f"HTTP/1.1 {status}\r\n" == answer[: answer.index("\n") + 1].replace("HTTP/1.0", "HTTP/1.1")
    assert says in answer
    assert "nosniff" in answer
    assert [] == [word for word in ("waitress", "Traceback", "Error") if word in answer]


@pytest.mark.parametrize(
    ("path", "kind", "length", "status", "says"),
    [
        ("/photo", PHOTO, MOST_PHOTO + 1, "413 ", "A photo may have 24 MB. Take it smaller."),
        ("/photo", PHOTO, 10**12, "413 ", "A photo may have 24 MB. Take it smaller."),
        ("/PHOTO", FORM, 24_000_000, "415 ", "What was sent is no form of this page."),
        ("/photo", "Content-Type: text/plain", 9, "415 ", "What was sent is no form of this page."),
        ("/", "Content-Type: application/json", 9, "415 ", "What was sent is no form of this page."),
        ("/", FORM, MOST_FORM + 1, "413 ", "A form may have 64 kB here."),
    ],
)
def test_a_body_that_no_page_takes_is_refused_by_its_head(
    live: str, path: str, kind: str, length: int, status: str, says: str
) -> None:
    """Whoever asks before sending is told at once. The answer is a page."""
    method = "POST" if path != "/" else "GET"
    answer = ask(live, head(method, path, kind, f"Content-Length: {length}", "Expect: 100-continue"))

    assert answer.startswith(f"HTTP/1.1 {status}")
    assert says in answer
    assert "Content-Security-Policy" in answer


def test_a_body_that_no_page_takes_is_thrown_away_as_it_comes(live: str) -> None:
    """Whoever sends it all the same reads the answer, and may ask on."""
    with connected(live) as connection:
        connection.sendall(head("POST", "/photo", FORM, "Content-Length: 9000000") + b"a=1&" * 2_250_000)
        first = connection.recv(12)
        connection.sendall(head("GET", "/", "Connection: close"))
        rest = all_of(connection)

    assert b"HTTP/1.1 415" == first
    assert "HTTP/1.1 200 OK" in rest


def test_who_asks_before_sending_nothing_is_answered(live: str) -> None:
    """A request without a body that announces one, as RFC 9110 (10.1.1) forbids and machines do."""
    assert ask(live, head("GET", "/", "Expect: 100-continue", "Connection: close")).startswith("HTTP/1.1 200 OK")


def test_a_request_sent_before_the_answer_to_the_first_is_not_read(live: str) -> None:
    """So none can be hidden behind another, and no answers pile up."""
    answer = ask(live, head("GET", "/") + head("GET", "/nothing") * 9)

    assert (1, True) == (answer.count("HTTP/1.1 "), "Connection: close" in answer)


@pytest.mark.parametrize(
    "sent",
    [
        b"GET / HT",
        head("POST", "/photo", PHOTO, "Content-Length: 90000") + b"x" * 10,
        head("POST", "/", FORM, "Content-Length: 90000") + b"x" * 10,
    ],
)
def test_who_sends_too_slowly_is_told(served: Served, sent: bytes) -> None:
    """408, in a sentence."""
    answer = ask(served(QUICK), sent)

    assert answer.startswith("HTTP/1.1 408 Request Timeout\r\n")
    assert "This took too long, and was given up." in answer


def test_a_connection_on_which_nothing_comes_is_closed(served: Served) -> None:
    """Without a word that could be taken for the answer to the next request."""
    assert "" == ask(served(QUICK), b"")


@pytest.mark.parametrize("bounds", [QUICK._replace(unread=0.3), Bounds(connections_each=1)])
def test_who_asks_and_fetches_no_answer_is_closed(run: Callable[..., str], bounds: Bounds) -> None:
    """When it is late, or has to make room: nothing can be sent to it any more, so nobody waits for that."""
    with ExitStack() as until:
        address = run(until, longer_than_a_socket_holds, bounds)
        stuck = until.enter_context(connected(address))
        stuck.sendall(head("GET", "/"))
        assert stuck.recv(1)  # it is being answered

        assert closed_within(10, stuck, address)


def longer_than_a_socket_holds(_environ: "WSGIEnvironment", start: "StartResponse") -> list[bytes]:
    """An application whose every answer is too long to be sent to somebody who does not fetch it."""
    start("200 OK", [])
    return [bytes(15_000_000)]


def closed_within(seconds: int, stuck: socket.socket, address: str) -> bool:
    """Whether a connection takes nothing more after so long at most, while others come and go."""
    for _ in range(seconds * 10):
        try:
            stuck.sendall(b"x")
        except OSError:
            return True
        with connected(address):
            sleep(0.1)
    return False


def test_photos_beyond_the_places_are_asked_to_come_again(served: Served) -> None:
    """Two of one address may be on their way; the third is told when to try again, and may once a place is free."""
    address = served(Bounds(photos_each=2))
    start = head("POST", "/photo", PHOTO, "Content-Length: 20000")
    with connected(address) as first, connected(address) as second:
        first.sendall(start)
        second.sendall(start)
        full = ask(address, start.replace(b"\r\n\r\n", b"\r\nConnection: close\r\n\r\n") + b"x" * 20_000)
    while "Other files" in (free := ask(address, start + b"x" * 20_001)):
        pass

    assert full.startswith("HTTP/1.1 503 ")
    assert "Retry-After: 10\r\n" in full
    assert "Send it again in ten seconds." in full
    assert "No photo was sent" in free


def test_the_newest_is_turned_away_where_all_others_are_being_answered(served: Served, yard: "Yard") -> None:
    """503, with when to try again; here the clock that a page asks for stands still."""
    asked, go_on = Event(), Event()

    def tick() -> datetime:
        asked.set()
        go_on.wait()
        return yard.workshop.clock()

    address = served(Bounds(connections_each=1), tick)
    answers: list[str] = []
    page = head("GET", f"/w/{yard.wrench}", "Connection: close")
    busy = Thread(target=lambda: answers.append(ask(address, page)))
    busy.start()
    asked.wait()
    with connected(address) as late:
        refused = all_of(late)
    go_on.set()
    busy.join()

    assert refused.startswith("HTTP/1.1 503 Service Unavailable\r\n")
    assert "Retry-After: 10\r\n" in refused
    assert "You have too many connections open here." in refused
    assert answers[0].startswith("HTTP/1.1 200 OK")


@pytest.mark.skipif(sys.platform != "linux", reason="takes another address of this machine")
def test_whoever_holds_most_makes_room(served: Served) -> None:
    """Where there are too many connections in all, not the oldest is closed, but the oldest of who has most."""
    address = served(Bounds(connections=2))
    with connected(address, "127.0.0.2") as oldest, connected(address) as older, connected(address) as newest:
        gone = all_of(older)
        for each in (oldest, newest):
            each.sendall(head("GET", "/", "Connection: close"))
        answers = [all_of(each)[:15] for each in (oldest, newest)]

    assert "" == gone
    assert ["HTTP/1.1 200 OK"] * 2 == answers
