"""Published pages from a plain web space in a browser, by the reader's own clock, with and without a script."""

import threading
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser

from torqueaudit.web.publish.publishing import publish

from .device import PHONE, Device
from .looks import faults_of

BEFORE, ON, LAST, AFTER = "2031-04-16T23:59", "2031-04-17T00:00", "2031-04-24T23:59", "2031-04-25T00:00"
COMES = "Come back It is time for the re-check."
OVERDUE = "Come back The re-check is overdue."
NOW = "When to come back Now The re-check was due by Thursday 17 April 2031 or at 12 100 km."


class Plain(SimpleHTTPRequestHandler):
    """A web space that knows nothing but its files."""

    def log_message(self, *args: Any) -> None:
        """Say nothing."""


@pytest.fixture
def settings() -> dict[str, object]:
    return {
        "zone": "Europe/Vienna",
        "base_address": "https://labels.example",
        "workshop_address": "http://yard.example",
        "telephone": "+99 555 00 00",
        "mail_address": "yard@yard.example",
    }


@pytest.fixture
def space(yard: Any, left: str, tmp_path: Path) -> Iterator[str]:
    """The address of a plain web space with what was published on 3 April."""
    assert left
    folder = tmp_path / "web"
    publish(yard.workshop, folder)
    with ThreadingHTTPServer(("127.0.0.1", 0), partial(Plain, directory=str(folder))) as server:
        thread = threading.Thread(target=server.serve_forever)
        thread.start()
        yield f"http://127.0.0.1:{server.server_port}/"
        server.shutdown()
        thread.join()


@pytest.fixture
def reader(space: str, browser: Browser) -> Iterator[Callable[..., Device]]:
    """Opens a page on a phone whose clock shows a moment; at the end no browser may have complained."""
    made: list[Device] = []
    with ExitStack() as until:

        def opened(path: str, at: str, zone: str = "Europe/Vienna", **context: Any) -> Device:
            window = browser.new_context(viewport=PHONE, timezone_id=zone, **context)
            until.callback(window.close)
            device = Device(window, space, {})
            made.append(device)
            device.page.clock.set_fixed_time(at)
            return device.open(path)

        yield opened
    assert [] == [each for device in made for each in device.trouble]


def seen(device: Device) -> str:
    """What is read, with plain spaces."""
    return " ".join(device.text.replace("\N{NO-BREAK SPACE}", " ").split())


def test_it_turns_on_the_day_by_the_readers_clock(reader: Callable[..., Device], yard: Any, left: str) -> None:
    """Ride until the day, come back from it on, overdue past its grace; each looked at as every page is."""
    address, faults = f"r/{yard.token(left)}", list[str]()
    ride = reader(address, f"{BEFORE}:00+02:00")
    assert "MAY I RIDE? You may ride Nothing speaks against it" in seen(ride)
    assert "Come back" not in seen(ride)
    assert "Until" not in seen(ride)
    assert "by Thursday 17 April 2031 or at 12 100 km" in seen(ride)
    faults += faults_of(ride, "published-ride")

    back = reader(address, f"{ON}:00+02:00")
    assert f"MAY I RIDE? {COMES}" in seen(back)
    assert "You may ride" not in seen(back)
    assert NOW.upper()[:20] in seen(back).upper()
    faults += faults_of(back, "published-come-back")

    assert COMES in seen(reader(address, f"{LAST}:00+02:00"))
    late = reader(address, f"{AFTER}:00+02:00")
    assert OVERDUE in seen(late)
    assert COMES not in seen(late)
    faults += faults_of(late, "published-overdue")
    years = reader(address, "2039-01-01T12:00:00Z")
    assert OVERDUE in seen(years)

    assert [] == faults


def test_without_a_script_all_of_it_is_read(reader: Callable[..., Device], yard: Any, left: str) -> None:
    """Whatever the day: until when to ride, and from when on to come back."""
    page = reader(f"r/{yard.token(left)}", f"{AFTER}:00+02:00", java_script_enabled=False)
    text = seen(page)

    assert "Until Thursday 17 April 2031 or 12 100 km, whichever comes first: You may ride" in text
    assert f"From Thursday 17 April 2031 on: {COMES}" in text
    assert f"From Friday 25 April 2031 on: {OVERDUE}" in text
    assert text.index("You may ride") < text.index(COMES) < text.index(OVERDUE)


def test_the_readers_own_day_counts_and_turns_while_it_is_open(
    reader: Callable[..., Device], yard: Any, left: str
) -> None:
    """Far in the east the day comes earlier; a page that is left open turns within a minute."""
    address = f"r/{yard.token(left)}"
    assert COMES in seen(reader(address, "2031-04-16T20:00:00Z", zone="Pacific/Auckland"))

    page = reader(address, f"{BEFORE}:00+02:00")
    page.page.clock.install(time="2031-04-16T21:59:30Z")
    page.page.reload()
    assert "You may ride" in seen(page)
    page.page.clock.fast_forward(61_000)
    assert COMES in seen(page)
    assert "You may ride" not in seen(page)


def test_its_links_lead_where_they_say(reader: Callable[..., Device], yard: Any, left: str) -> None:
    """The label's address without its last slash, the calendar, telephone, mail, and the record in the workshop."""
    token = yard.token(left)
    page = reader(f"r/{token}", f"{BEFORE}:00+02:00").page
    links = page.eval_on_selector_all("a", "all => all.filter(each => each.offsetParent).map(each => each.href)")

    assert f"/r/{token}/" == page.evaluate("location.pathname")
    assert f"http://yard.example/r/{token}/record" == links[-1]
    assert ["tel:", "mailto:"] == list(dict.fromkeys(each.partition(":")[0] + ":" for each in links[1:-1]))
    with page.expect_download() as download:
        page.get_by_text("Add it to my calendar").click()
    assert b"DTSTART;VALUE=DATE:20310417" in Path(download.value.path()).read_bytes()


def test_the_folder_of_all_labels_names_none(reader: Callable[..., Device], yard: Any, left: str) -> None:
    """Who looks into it, or whose label is not shown any more, is told whom to ask."""
    page = reader("r/", f"{BEFORE}:00+02:00")

    assert "Nothing is shown here" in seen(page)
    assert yard.token(left) not in page.html
    assert [] == faults_of(page, "published-nothing")
