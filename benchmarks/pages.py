"""What does a page of the bench cost, against a bare Flask view that reads the same entries and sends as many bytes?

The job is that of judging.py, with twelve fasteners, played to its end. Every page is asked for in four ways, in turns:
again within a minute, with nothing changed, as a server keeps it; as another screen of a job that was judged a moment
ago; judged and drawn anew, as after an act on the job; and as the bare view. Both applications are called in this
process, without a network, which would add the same to both. Told is the time of the processor.

The floor is stated for the first way. The bare view reads the stored texts of the entries that the page is worked out
of, by the same connection, and understands nothing of them; what a view takes that also parses them is told beside it.
"""

import io
import json
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Mapping
from itertools import count
from pathlib import Path
from random import Random
from typing import Any, NamedTuple

from flask import Flask
from judging import EXAMPLE, ONE_MORE, furnish

from torqueaudit.cards.card import Clock
from torqueaudit.model.act import Say
from torqueaudit.web.app import RecordServer, create_app
from torqueaudit.workshop.opening import new_workshop, open_workshop
from torqueaudit.workshop.signing.devices import admit, invite
from torqueaudit.workshop.signing.pins import set_pin
from torqueaudit.workshop.signing.sessions import sign_in

FLOOR = 0.5
ROUNDS = 200
PIN = "314159"
PAGES = ("job/1", "job/1/work", "job/1/release/job", "job/1/tighten/rear-axle-nut", "vehicle/v-1", "bench")
WAYS = ("again", "another screen", "anew", "bare", "bare, parsed")


class Browser:
    """Whatever asks an application in this process, with its cookies."""

    def __init__(self, cookies: str) -> None:
        self._cookies = cookies

    def ask(self, application: Callable[..., Any], path: str, query: str = "") -> bytes:
        """The bytes of a page."""
        codes: list[str] = []
        answer = application(self._environment(path, query), lambda code, *_: codes.append(code))
        body = b"".join(answer)
        answer.close()
        if codes != ["200 OK"]:
            raise ValueError(f"{path}: {codes}")
        return body

    def _environment(self, path: str, query: str) -> dict[str, object]:
        return {
            "REQUEST_METHOD": "GET",
            "PATH_INFO": f"/{path}",
            "QUERY_STRING": query,
            "SERVER_NAME": "bench.example",
            "SERVER_PORT": "80",
            "SERVER_PROTOCOL": "HTTP/1.1",
            "HTTP_HOST": "bench.example",
            "HTTP_COOKIE": self._cookies,
            "wsgi.url_scheme": "http",
            "wsgi.input": io.BytesIO(),
            "wsgi.errors": sys.stderr,
        }


class Page(NamedTuple):
    """What a page is worked out of, and what it sends."""

    path: str
    subjects: tuple[str, ...]
    body: str


def signed_in(folder: Path, clock: Clock) -> tuple[Path, Browser]:
    """The book, and a browser on a device that was let in, on which a mechanic has signed in."""
    book, procedure = folder / "yard.book", folder / "final-drive.toml"
    procedure.write_text(EXAMPLE.read_text(encoding="utf-8").replace("\n[recheck]", ONE_MORE), encoding="utf-8")
    settings = {"zone": "UTC", "base_address": "http://bench.example"}
    new_workshop(book, "YARD", settings, clock=clock, chance=Random(1))
    with open_workshop(book, clock=clock, chance=Random(2)) as workshop:
        furnish(workshop, procedure)
        device = admit(workshop, invite(workshop, Say("P-1"), "tablet").code)
        set_pin(workshop, Say("P-1"), "P-2", PIN)
        key = sign_in(workshop, device.device, "P-2", PIN)
    return book, Browser(f"device={device.key}; session={key}")


def page_of(app: RecordServer, browser: Browser, path: str) -> Page:
    """A page, and the subjects whose entries it asks for where nothing is kept."""
    asked: dict[str, None] = {}
    book, read = app.workshop.book, app.workshop.book.entries

    def noted(subject: str) -> Any:
        asked[subject] = None
        return read(subject)

    kept, app.workshop.kept, book.entries = app.workshop.kept, None, noted  # type: ignore[method-assign]
    body = browser.ask(app, path).decode()
    app.workshop.kept, book.entries = kept, read  # type: ignore[method-assign]
    return Page(path, tuple(asked), body)


def bare(app: RecordServer, pages: Mapping[str, Page], understood: Callable[[str], object]) -> Flask:
    """A view that reads the texts of the same entries and sends as many bytes."""
    view, engine = Flask("bare"), app.workshop.book.engine

    @view.get("/<path:path>")
    def page(path: str) -> str:
        """Read, and send."""
        for subject in pages[path].subjects:
            for text in engine.texts_of(subject, 0):
                understood(text)
        return pages[path].body

    return view


def ways_of(app: RecordServer, pages: Mapping[str, Page], browser: Browser) -> dict[str, Callable[[str], object]]:
    """How each page is asked for. A query that no page reads makes it another page of the same job."""
    plain, parsed = bare(app, pages, lambda text: text), bare(app, pages, json.loads)
    drawn, kept = count(), app.workshop.kept

    def anew(path: str) -> None:
        app.workshop.kept = None
        browser.ask(app, path)
        app.workshop.kept = kept

    asked = (
        lambda path: browser.ask(app, path),
        lambda path: browser.ask(app, path, f"read=1&n={next(drawn)}"),
        anew,
        lambda path: browser.ask(plain, path),
        lambda path: browser.ask(parsed, path),
    )
    return dict(zip(WAYS, asked, strict=True))


def measure(ways: Mapping[str, Callable[[str], object]], path: str) -> dict[str, float]:
    """The median milliseconds of each way, in turns so that the machine's mood hits all alike."""
    times: dict[str, list[float]] = {name: [] for name in ways}
    for number in range(ROUNDS + 1):
        for name, ask in ways.items():
            start = time.process_time()
            ask(path)
            if number:
                times[name].append(time.process_time() - start)
    return {name: statistics.median(each) * 1e3 for name, each in times.items()}


def told(app: RecordServer, browser: Browser) -> Iterator[float]:
    """Print what each page takes; its ratio to the bare view."""
    pages = {path: page_of(app, browser, path) for path in PAGES}
    ways = ways_of(app, pages, browser)
    for path, page in pages.items():
        took = measure(ways, path)
        print(f"{path}, {len(page.body)} bytes of {len(page.subjects)} subjects, ms: ", end="")
        print(", ".join(f"{name} {each:.2f}" for name, each in took.items()), end="; ")
        ratio = took["bare"] / took["again"]
        print(
            f"bare / again {ratio:.2f}, floor {FLOOR}; bare, parsed / again {took['bare, parsed'] / took['again']:.2f}"
        )
        yield ratio


def main() -> int:
    """1 when a page costs more than twice the bare view."""
    clock = Clock("2031-04-02 08:00")
    with tempfile.TemporaryDirectory() as folder:
        book, browser = signed_in(Path(folder), clock)
        with create_app(book, clock, Random(3)) as app:
            lowest = min(told(app, browser))
    return int(lowest < FLOOR)


if __name__ == "__main__":
    sys.exit(main())
