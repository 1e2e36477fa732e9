"""A server for owners alone, reached from outside: their pages, their forms and the calendar, and nothing else."""

import re
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from datetime import datetime
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING
from urllib.parse import urlencode

import pytest

from torqueaudit.model.act import Came, Say
from torqueaudit.model.job.road import Ride
from torqueaudit.model.register.programs import ProgramRole
from torqueaudit.model.shown.reminder import Contact
from torqueaudit.web.access import OPENED_TO, opens
from torqueaudit.web.app import create_app
from torqueaudit.web.gate import BOUNDS
from torqueaudit.workshop.signing.devices import admit, invite
from torqueaudit.workshop.signing.programs import let_in
from torqueaudit.workshop.signing.sessions import sign_in
from torqueaudit.workshop.vehicles.contact import agree_contact, stop_token_of

if TYPE_CHECKING:
    from tests.web.conftest import Answer, Yard

Get = Callable[..., "Answer"]


@pytest.fixture
def settings() -> dict[str, object]:
    return {
        "zone": "Europe/Vienna",
        "base_address": "https://labels.example",
        "workshop_address": "http://yard.example",
    }


@pytest.fixture
def outside(book: Path, clock: list[datetime], run: Callable[..., str]) -> Iterator[str]:
    """The address of a server that answers owners alone."""
    with ExitStack() as until:
        app = until.enter_context(create_app(book, lambda: clock[0], Random(3), owner_only=True))
        yield run(until, app, BOUNDS)


def new_link(yard: "Yard") -> str:
    """The token of a new link that ends the reminders of the motorcycle; whoever posts to it has used it up."""
    agree_contact(yard.workshop, yard.vehicle, Contact(mail="owner@home.example"), Say("P-2"))
    return stop_token_of(yard.workshop, yard.vehicle)


def filled(rule: str, yard: "Yard", job: str) -> str:
    """An address of a route, with the token of a label, or of a mail's link, where it takes one."""
    token = new_link(yard) if rule.startswith("/stop/") else yard.token(job)
    rule = re.sub(r"<any\((\w+)[^>]*>", r"\1", rule.replace("<token>", token))
    return re.sub(r"<[^>]+>", "1", rule).removeprefix("/")


def test_every_other_route_says_that_nothing_is_here(
    outside: str, get: Get, book: Path, yard: "Yard", left: str
) -> None:
    """Each route of the whole server, read and written to: 404, also for whoever is signed in elsewhere."""
    with create_app(book) as whole:
        rules = [(rule.endpoint, rule.rule, rule.methods or set()) for rule in whole.url_map.iter_rules()]
    told: dict[tuple[str, str], tuple[int, bool]] = {}
    for endpoint, rule, ways in rules:
        for way, data in (("GET", None), ("POST", b"id=1")):
            answer = get(outside + filled(rule, yard, left), data=data)
            told[endpoint, way] = answer.status, way in ways
            if not opens("owner", endpoint):
                assert (404, True) == (answer.status, "Nothing here" in answer.text), (endpoint, way)
                assert "<form" not in answer.text

    assert {endpoint for endpoint, _ in told} == set(OPENED_TO)
    own = {at: status for at, (status, taken) in told.items() if opens("owner", at[0]) and taken}
    assert {200, 303, 422} >= set(own.values()), own
    assert {"owner", "calendar", "ridden", "loosened", "day", "stop", "stopped"} <= {endpoint for endpoint, _ in own}


def test_nobody_is_known_there(outside: str, get: Get, yard: "Yard", left: str, pins: dict[str, str]) -> None:
    """The cookies of a foreman who is signed in open the owner's page, as everybody's do, and no bench."""
    device = admit(yard.workshop, invite(yard.workshop, Say("P-1", came=Came("terminal")), "tablet").code)
    session = sign_in(yard.workshop, device.device, "P-1", pins["P-1"])
    cookies = {"Cookie": f"device={device.key}; session={session}"}
    page = get(f"{outside}r/{yard.token(left)}", cookies)

    assert (200, f"{outside}r/{yard.token(left)}") == (page.status, page.address)
    assert "May I ride?" in page.text
    assert 404 == get(f"{outside}bench", cookies).status


def test_an_owner_reads_and_tells(outside: str, get: Get, yard: "Yard", left: str) -> None:
    """The page without a way to the record; kilometres; the day for a calendar."""
    address = f"{outside}r/{yard.token(left)}"
    sent = get(f"{address}/ridden", data=urlencode({"odometer": "12050", "odometer_unit": "km"}).encode())

    assert "Your kilometres are noted" in sent.text
    assert [12_050_000] == [ride.odometer_m for ride in yard.workshop.record(left).of(Ride)]
    assert "/record" not in get(address).text
    assert "BEGIN:VCALENDAR" in get(f"{address}/re-check.ics").text


def test_a_wrong_token_and_a_strange_host_are_told_without_a_form(outside: str, get: Get, left: str) -> None:
    """There is no page on which a token is typed; it answers to the labels' address alone."""
    unknown, nonsense = get(f"{outside}r/{'2' * 19}"), get(f"{outside}r/nonsense")

    assert [404, 404] == [unknown.status, nonsense.status]
    assert not any("<form" in each.text for each in (unknown, nonsense))
    hosts = {host: get(outside, {"Host": host}).status for host in ("labels.example", "yard.example")}
    assert {"labels.example": 404, "yard.example": 400} == hosts
    assert left


def test_a_key_of_a_program_opens_nothing_here(yard: "Yard", outside: str, get: Get) -> None:
    """Whoever shows one is nobody, as whoever shows the cookies of a foreman."""
    given = let_in(yard.workshop, Say(yard.foreman), "accounts", ProgramRole.READS_NAMES, yard.workshop.today())

    for path in ("jobs", "events", "openapi.json", "vehicle/V-1", "people?as=json"):
        assert 404 == get(f"{outside}{path}", {"Authorization": f"Bearer {given.key}"}).status
    assert {"A-1": ""} == yard.workshop.book.signing.programs.seen()
