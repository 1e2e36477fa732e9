"""Other programs over HTTP: what each is given by its key, how often, and that names leave noted or not at all."""

import json
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from random import Random
from typing import Any

import pytest

from torqueaudit.model.act import Say
from torqueaudit.model.register.programs import ProgramRole
from torqueaudit.model.wrench.acts import NewWrench
from torqueaudit.web.app import create_app
from torqueaudit.web.programs.admission import AT_ONCE, WRONG_AT_ONCE
from torqueaudit.web.programs.routes import ANSWERS
from torqueaudit.web.wanted import PROBLEM
from torqueaudit.workshop.recheck.arranging import refer_recheck
from torqueaudit.workshop.signing.programs import let_in, show_programs, withdraw_program
from torqueaudit.workshop.wrenches.wrench import add_wrench

LENDER, ELSEWHERE = "the yard next door", "Irmgard at the lake"
FILLED = {
    "job": "1",
    "job_then": "1",
    "vehicle": "V-1",
    "life_page": "V-1",
    "owner_card": "V-1",
    "wrench": "W-2",
    "office_wrench": "W-2",
    "office_person": "P-2",
}
ASKED = {
    "compare_page": "?one=1&other=2",
    "find_page": "?find=kestrel",
    "signed": "?from=2031-04-01&to=2031-04-05",
    "events": "?most=1000",
    "rechecks": "?ahead=92",
}
PROCEDURE = Path(__file__).parents[3] / "examples" / "procedures" / "front-wheel.toml"


def address(yard: Any, name: str) -> str:
    """An address of the table with something in it."""
    path = ANSWERS[name].path.replace("{number}", FILLED.get(name, "")).replace("{token}", yard.token("1"))
    path = path.replace("{entry}", str(yard.workshop.book.head().sequence))
    return f"{path.lstrip('/')}{ASKED.get(name, '')}"


@pytest.fixture
def key(yard: Any) -> Callable[[ProgramRole], dict[str, str]]:
    """Gives what a program of a role sends with each question."""

    def shown(role: ProgramRole) -> dict[str, str]:
        given = let_in(yard.workshop, Say(yard.foreman), "accounts", role, yard.workshop.today() + timedelta(days=60))
        return {"Authorization": f"Bearer {given.key}"}

    return shown


@pytest.fixture
def served(yard: Any, left: str, live: str) -> str:
    """A workshop with a lender of a wrench, a re-check that somebody else does, and a second job."""
    add_wrench(yard.workshop, NewWrench("setting", "red", "5 N·m", "200 N·m", owner=LENDER), Say(yard.foreman))
    yard.later(days=3)
    refer_recheck(yard.workshop, left, ELSEWHERE, "it is nearer to Irmgard", Say(yard.foreman))
    yard.open(PROCEDURE)
    return live


def test_each_role_is_given_what_the_table_says(
    served: str, yard: Any, key: Callable[..., dict[str, str]], get: Callable[..., Any]
) -> None:
    """Every address with every role; without a word about the form a program is given JSON."""
    for role in ProgramRole:
        shown = key(role)
        for name, answer in ANSWERS.items():
            told = get(served + address(yard, name), shown)
            given = answer.role is not None and role.reaches(answer.role)
            assert (200 if given else 403) == told.status, (name, role, told.text)
            assert ("application/json" if given else PROBLEM) == told.headers["Content-Type"]


def test_nothing_that_names_anybody_is_given_to_a_program_that_reads_no_names(
    served: str, yard: Any, key: Callable[..., dict[str, str]], get: Callable[..., Any], personal: tuple[str, ...]
) -> None:
    """At no address, in no form; and nothing had to be noted."""
    shown = key(ProgramRole.READS)
    for name, answer in ANSWERS.items():
        for accept in ("application/json", *(["text/csv"] if answer.has_table else [])):
            text = get(served + address(yard, name), {**shown, "Accept": accept}).text
            assert [] == [word for word in (*personal, LENDER, ELSEWHERE, "Irmgard") if word in text], name

    assert [] == yard.workshop.book.disclosures.newest("", 9)


def test_names_are_given_to_a_program_that_reads_them_and_each_time_is_noted(
    served: str, yard: Any, key: Callable[..., dict[str, str]], get: Callable[..., Any], personal: tuple[str, ...]
) -> None:
    """Under its number and by its door."""
    shown = key(ProgramRole.READS_NAMES)
    people = json.loads(get(f"{served}people", shown).text)
    card = get(f"{served}vehicle/V-1/owner", shown).text
    found = get(f"{served}find?find=QX+4711", shown).text
    noted = yard.workshop.book.disclosures.newest("", 9)

    assert [each["name"] for each in people] == [personal[0], personal[1]]
    assert "QX 4711 Z" in card
    assert "QX 4711 Z" in found
    assert LENDER in get(f"{served}w/W-2", shown).text
    assert {("A-1", "program")} == {(each.by, each.door) for each in noted}
    assert ["vehicle/V-1", "vehicle/V-1", "person/P-2", "person/P-1"] == [each.subject for each in noted]


def test_a_key_that_lets_nobody_in_is_refused_in_one_sentence(
    served: str, yard: Any, key: Callable[..., dict[str, str]], get: Callable[..., Any]
) -> None:
    """A wrong one, none, one that ended, and one that was withdrawn a moment ago."""
    shown, gone = key(ProgramRole.READS), key(ProgramRole.READS)
    assert 200 == get(f"{served}jobs", gone).status
    withdraw_program(yard.workshop, Say(yard.foreman), "A-2", "lost")
    for told in ({"Authorization": "Bearer 123"}, {"Authorization": "Bearer"}, {"Authorization": "bearer 1 2"}, gone):
        refused = get(f"{served}jobs", told)
        assert (401, "Bearer", PROBLEM) == (
            refused.status,
            refused.headers["Www-Authenticate"],
            refused.headers["Content-Type"],
        )
        assert 1 == json.loads(refused.text)["detail"].count(".")
    yard.later(days=61)

    assert "The key of A-1 ended on" in json.loads(get(f"{served}jobs", shown).text)["detail"]
    assert 200 == get(f"{served}openapi.json").status


def test_what_a_proxy_asks_for_is_no_key(served: str, get: Callable[..., Any], foreman: dict[str, str]) -> None:
    """Whoever is signed in behind a proxy with a password of its own is shown pages, whatever else they accept."""
    behind = {**foreman, "Authorization": "Basic eDp5"}

    assert "Jobs" in get(f"{served}jobs", behind).text
    assert (200, "text/html; charset=utf-8") == (
        (told := get(f"{served}job/1", {**behind, "Accept": "image/png"})).status,
        told.headers["Content-Type"],
    )
    assert 200 == get(f"{served}openapi.json", {"Authorization": "Basic eDp5"}).status


def test_a_program_opens_no_page_and_records_nothing(
    served: str, key: Callable[..., dict[str, str]], get: Callable[..., Any], foreman: dict[str, str], yard: Any
) -> None:
    """Not even with the cookies of a foreman beside its key."""
    shown, before = key(ProgramRole.READS_NAMES), yard.workshop.book.head().sequence
    assert 403 == get(f"{served}devices", {**shown, **foreman, "Accept": "text/html"}).status
    assert 403 == get(f"{served}bench-0.css", shown).status
    assert 406 == get(f"{served}jobs", {**shown, "Accept": "text/html"}).status
    for path, code in (("programs", 403), ("vehicle/V-1/here", 403), ("vehicle/V-1/owner", 403), ("jobs", 405)):
        assert code == get(f"{served}{path}", {**shown, **foreman}, b"act=forget&yes=yes").status, path

    assert before == yard.workshop.book.head().sequence


def test_whoever_asks_too_often_waits_and_nobody_else_does(
    book: Path, clock: list[datetime], key: Callable[..., dict[str, str]]
) -> None:
    """One program pushes no other out; wrong keys are counted by themselves."""
    shown, other, wrong = key(ProgramRole.READS), key(ProgramRole.READS), {"Authorization": "Bearer 1"}
    with create_app(book, lambda: clock[0], Random(3)) as app:
        client = app.test_client()
        answered = [client.get("/vehicles", headers=shown) for _ in range(3 * AT_ONCE)]
        refused = [client.get("/vehicles", headers=wrong) for _ in range(3 * WRONG_AT_ONCE)]
        codes, late = [each.status_code for each in answered], answered[-1]

        assert {200} == set(codes[:AT_ONCE])
        assert (429, "10") == (late.status_code, late.headers["Retry-After"])
        assert "A-1 asks too often; wait 10 seconds, and ask for more at once." == json.loads(late.data)["detail"]
        assert [401] * WRONG_AT_ONCE == [each.status_code for each in refused[:WRONG_AT_ONCE]]
        assert 429 == refused[-1].status_code
        assert 200 == client.get("/vehicles", headers=other).status_code


def test_a_foreman_lets_a_program_in_on_a_page_and_withdraws_it(
    served: str,
    yard: Any,
    foreman: dict[str, str],
    mechanic: dict[str, str],
    personal: tuple[str, ...],
    get: Callable[..., Any],
) -> None:
    """The key stands on one page, once; a mechanic opens neither. What was typed stays where it is refused."""
    import re
    from urllib.parse import urlencode

    page = get(f"{served}programs", foreman).text
    hidden = dict(re.findall(r'name="(form|id)" value="([^"]+)"', page))
    typed = {**hidden, "name": "calendar", "role": "reads", "until": "2031-12-31"}
    once = get(f"{served}programs", foreman, urlencode(typed).encode())
    (key,) = re.findall(r"<code>([0-9a-f]{64})</code>", once.text)
    shown = {"Authorization": f"Bearer {key}"}
    again = get(f"{served}programs", foreman, urlencode(typed).encode())
    over = get(f"{served}programs", foreman, urlencode({**typed, "id": "x", "until": "2030-01-01"}).encode())

    assert "Key of A-1" in once.text
    assert 200 == get(f"{served}jobs", shown).status
    assert (422, True) == (again.status, "was let in by this before" in again.text)
    assert (422, True) == (over.status, 'value="calendar"' in over.text)
    assert key not in get(f"{served}programs", foreman).text
    assert "Last asked on 2031-04-" in get(f"{served}programs", foreman).text
    assert 403 == get(f"{served}programs", mechanic).status
    form = dict(re.findall(r'name="(form|id)" value="([^"]+)"', get(f"{served}programs", foreman).text))
    for_ada = {**form, "why": f"as {personal[0]} wishes"}
    refused = get(f"{served}programs/A-1/withdraw", foreman, urlencode(for_ada).encode())
    assert (422, True) == (refused.status, f'name="why" value="{for_ada["why"]}"' in refused.text)
    assert "<details open><summary>Let it in no more</summary>" in refused.text
    assert 'id="name" name="name" value=""' in refused.text
    get(f"{served}programs/A-1/withdraw", foreman, urlencode({**form, "why": "kept elsewhere"}).encode())
    assert [False] == [each.is_let_in for each in show_programs(yard.workshop)]
    assert 401 == get(f"{served}jobs", shown).status
