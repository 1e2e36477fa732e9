"""Who may open which address: every route with every role, and none without a row."""

import re
from typing import Any

import pytest

from torqueaudit.model.act import Say
from torqueaudit.web.access import OPENED_TO, REACHES
from torqueaudit.web.app import create_app
from torqueaudit.workshop.register.settings import settle

from .phone import LetIn

# One address for each route that takes something in its address.
FILLED = {
    "<token>": "zzzz",
    "<number>": "1",
    "<code>": "nobody",
    "<written>": "step",
    "<key>": "bike-secured",
    "<any(crt, pem):form>": "crt",
    "<digest>": "0" * 64,
    "<small>": "0" * 64,
    "<waits>": "nothing",
    "<procedure>": "0" * 64,
    "<entry>": "1",
    "<int:entry>": "1",
    "<name>": "zone",
}


@pytest.fixture
def phones(let_in: LetIn) -> dict[str, Any]:
    """A phone for each reach."""
    stranger = let_in("lost")
    stranger.cookies.clear()
    people = {"staff": "P-2", "foreman": "P-1"}
    signed = {reach: let_in(reach).sign_in(person) for reach, person in people.items()}
    return {"stranger": stranger, "device": let_in("device"), **signed}


def routes(book: Any) -> list[tuple[str, str, str]]:
    """Each route: the name of its function, its address, and the way it is asked."""
    with create_app(book) as app:
        rules = [(rule.endpoint, rule.rule, rule.methods or set()) for rule in app.url_map.iter_rules()]
    return [(name, path, way) for name, path, ways in rules for way in ways & {"GET", "POST"}]


def test_every_route_has_its_row(book: Any) -> None:
    """A new one fails here until somebody has thought of who may open it."""
    assert {name for name, _, _ in routes(book)} == set(OPENED_TO)


def test_each_role_opens_what_its_row_says(phones: dict[str, Any], book: Any) -> None:
    """Whoever lacks the reach is turned away or led to sign in, before anything is looked up."""
    for name, path, way in routes(book):
        path = re.sub(r"<any\((\w+)[^>]*>", r"\1", path)  # noqa: PLW2901  # the address itself
        for part, filled in FILLED.items():
            path = path.replace(part, filled)  # noqa: PLW2901  # as above
        for reach, phone in phones.items():
            status = phone.asked_for(path, way)
            opened = REACHES.index(reach) >= REACHES.index(OPENED_TO[name])
            turned_away = {"stranger": 403, "device": 303 if way == "GET" else 401, "staff": 403}.get(reach)
            if opened:
                # A form without its token is sent by no page of ours; a stranger's forms need none.
                allowed = {200, 303, 404, 415, 422} if way == "GET" or reach == "stranger" else {403, 415}
                assert status in allowed, (name, reach, status)
            else:
                assert status == turned_away, (name, reach, status)


def test_every_page_of_the_workshop_says_once_that_a_book_is_a_demo(
    phones: dict[str, Any], book: Any, yard: Any
) -> None:
    """A new page has it by what it is made from, and none has it twice."""
    settle(yard.workshop, {"demo": True}, Say("P-1"))
    seen, desk = 0, phones["foreman"]
    for _, path, way in routes(book):
        path = re.sub(r"<any\((\w+)[^>]*>", r"\1", path)  # noqa: PLW2901  # the address itself
        for part, filled in FILLED.items():
            path = path.replace(part, filled)  # noqa: PLW2901  # as above
        page = desk.open(path).page if way == "GET" else ""
        if re.search(r"bench-[0-9a-f]+\.css", page):
            seen += 1
            assert 1 == page.count("DEMO: an invented workshop"), path

    assert seen > 20
