"""The description is true: every address of it is there, and what each gives is what its schema says."""

import csv
import json
import re
from collections.abc import Callable, Iterator
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator, FormatChecker
from openapi_spec_validator import validate

from torqueaudit.model.act import Say
from torqueaudit.model.register.programs import ProgramRole
from torqueaudit.web.access import OPENED_TO
from torqueaudit.web.app import create_app
from torqueaudit.web.programs.description import description
from torqueaudit.web.programs.routes import ANSWERS
from torqueaudit.web.wanted import PROBLEM
from torqueaudit.workshop.search.disclosures import disclose
from torqueaudit.workshop.signing.programs import let_in
from torqueaudit.workshop.vehicles.vehicle import add_vehicle

WRITTEN = Path(__file__).parents[3] / "docs" / "openapi.json"
# What stands in the addresses, of the workshop that is played here; "{token}" is that of the label of job 1.
FILLED = {
    "job": "1",
    "job_then": "1",
    "vehicle": "v-1",
    "life_page": "V-1",
    "owner_card": "V-1",
    "wrench": "W-1",
    "office_wrench": "W-1",
    "office_person": "P-2",
}
ASKED = {
    "find_page": "?find=kestrel",
    "compare_page": "?one=1&other=2",
    "signed": "?from=2031-04-01&to=2031-04-05",
    "events": "?after=3&most=900",
}


def strict(schema: Any) -> Any:
    """A schema that also refuses a key that it does not name."""
    if isinstance(schema, list):
        return [strict(each) for each in schema]
    if not isinstance(schema, dict):
        return schema
    closed = {key: strict(value) for key, value in schema.items()}
    if isinstance(schema.get("properties"), dict) and "required" in schema:
        closed["additionalProperties"] = False
    return closed


def lacks(name: str, told: Any) -> list[str]:
    """Where an answer is not what its schema says, in words."""
    described = strict(description()["components"])
    schema = {**ANSWERS[name].schema, "components": described}
    return [error.message for error in Draft202012Validator(schema, format_checker=FormatChecker()).iter_errors(told)]


def address(yard: Any, name: str) -> str:
    """An address of the table with something in it."""
    path = ANSWERS[name].path.replace("{number}", FILLED.get(name, "")).replace("{token}", yard.token("1"))
    path = path.replace("{entry}", str(yard.workshop.book.head().sequence))
    return f"{path.lstrip('/')}{ASKED.get(name, '')}"


@pytest.fixture
def served(yard: Any, left: str, live: str) -> str:
    """A workshop in which one job has left and was not re-checked, and one is open on another motorcycle."""
    assert left == "1"
    yard.vehicle = add_vehicle(yard.workshop, "blue Kestrel", "Kestrel 500", 2030, {}, Say(yard.foreman))
    job = yard.open(Path(__file__).parents[3] / "examples" / "procedures" / "front-wheel.toml")
    yard.work(job)
    yard.loosen(job, yard.workshop.job(job).procedure.fasteners()[0].key)
    yard.later(days=30)
    let_in(yard.workshop, Say(yard.foreman), "accounts", ProgramRole.READS, yard.workshop.today())
    disclose(yard.workshop, Say(yard.foreman), {"vehicle/V-1": ["plate"]})
    return live


def test_every_address_gives_what_its_schema_says(
    served: str, yard: Any, foreman: dict[str, str], get: Callable[..., Any]
) -> None:
    """To a foreman, who is shown all: each key is described, and none is missing."""
    for name in ANSWERS:
        told = get(served + address(yard, name), {**foreman, "Accept": "application/json"})

        assert (200, "application/json") == (told.status, told.headers["Content-Type"]), told.text
        assert json.loads(told.text), name
        assert [] == lacks(name, json.loads(told.text)), name


def test_the_spelling_in_the_address_gives_the_same(
    served: str, yard: Any, foreman: dict[str, str], get: Callable[..., Any]
) -> None:
    """For whoever can set no header."""
    by_header = get(served + address(yard, "vehicle"), {**foreman, "Accept": "application/json"}).text
    by_address = get(f"{served}{address(yard, 'vehicle')}?as=json", foreman).text

    assert json.loads(by_header) == json.loads(by_address)


def test_every_list_is_given_as_a_table_too(
    served: str, yard: Any, foreman: dict[str, str], get: Callable[..., Any]
) -> None:
    """With as many cells in each row as it has columns."""
    for name, answer in ANSWERS.items():
        told = get(served + address(yard, name), {**foreman, "Accept": "text/csv"})
        if not answer.has_table:
            assert 406 == told.status
            continue
        first, *rows = csv.reader(StringIO(told.text.removeprefix("\ufeff")))

        assert (200, "text/csv; charset=utf-8") == (told.status, told.headers["Content-Type"]), told.text
        assert "attachment" in told.headers["Content-Disposition"]
        assert not answer.columns or list(answer.columns) == first
        assert rows, name
        assert {len(first)} == {len(row) for row in rows}


def test_a_spreadsheet_runs_nothing_of_a_table(
    served: str, yard: Any, foreman: dict[str, str], get: Callable[..., Any]
) -> None:
    """A tag that begins as a formula does is made text."""
    add_vehicle(yard.workshop, "=1+1", "Kestrel 500", None, {}, Say(yard.foreman))

    assert "V-3,'=1+1" in get(f"{served}vehicles?as=csv", foreman).text


def test_a_browser_is_given_pages(served: str, foreman: dict[str, str], get: Callable[..., Any]) -> None:
    """By what browsers accept; a list that has no other page is a table, which leads on as it was asked for."""
    accepts = {**foreman, "Accept": "text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8"}
    pages = [get(f"{served}{path}", accepts) for path in ("vehicle/V-1", "jobs", "jobs?most=1", "people", "w/W-1")]

    assert [200] * 5 == [page.status for page in pages]
    assert {"text/html; charset=utf-8"} == {page.headers["Content-Type"] for page in pages}
    assert 'href="jobs?most=1&amp;before=2">Earlier ones' in pages[2].text
    assert ['href="jobs?as=csv"', 'href="jobs?most=1&amp;as=csv"'] == [
        re.findall(r'href="jobs\?[^"]*as=csv"', page.text)[0] for page in pages[1:3]
    ]
    assert "Accept" in pages[0].headers["Vary"]


def test_nobody_is_given_data_whom_no_page_is_shown(
    served: str, yard: Any, mechanic: dict[str, str], get: Callable[..., Any]
) -> None:
    """A stranger is told to sign in, a mechanic is kept from what a foreman opens: one sentence as problem JSON."""
    accepts = {"Accept": "application/json"}
    for name, answer in ANSWERS.items():
        stranger = get(served + address(yard, name), accepts)
        worker = get(served + address(yard, name), {**mechanic, **accepts})
        assert {"stranger": 200}.get(OPENED_TO[name], 401) == stranger.status, name
        assert {"foreman": 403}.get(OPENED_TO[name], 200) == worker.status, name
        for told in (stranger, worker):
            if told.status != 200:
                assert answer.path
                assert PROBLEM == told.headers["Content-Type"]
                assert told.status == json.loads(told.text)["status"]


def test_a_stranger_is_given_what_the_record_shows(
    served: str, yard: Any, get: Callable[..., Any], personal: tuple[str, ...]
) -> None:
    """The record and the wrench by data hide what their pages hide."""
    record = json.loads(get(f"{served}{address(yard, 'record')}?as=json").text)
    wrench = json.loads(get(f"{served}w/W-1?as=json").text)

    assert ("", []) == (record["digest"], [photo for each in record["fasteners"] for photo in each["photos"]])
    assert ("", []) == (wrench["owner"], wrench["uses"])
    assert [] == [word for word in personal if word in f"{record}{wrench}"]


BAD = {
    "jobs?most=0": (400, "most: give a whole number from 1 to 1000."),
    "jobs?most=1&most=2": (400, "most: give it once."),
    "jobs?newest=1": (400, "newest: this address knows no such word; it takes before, most."),
    "signed?from=2031-02-30": (400, "from: 2031-02-30: the calendar has no such day; look again."),
    "signed?from=20310402": (400, "from: write a date as 2031-04-02."),
    "signed?from=2099-01-01&to=2099-01-02": (422, None),
    "job/99": (404, "Job 99: no such job; look at the list of jobs."),
    "w/W-99": (404, None),
    "vehicle/x": (404, None),
    "find": (400, "find: is missing; Three letters at least."),
    "r/zzzz/record": (404, None),
    "no-such-page": (404, None),
    "events?after=999999": (409, None),
    f"events?after=1&hash={'0' * 64}": (409, None),
    "job/1?as=csv": (406, "This address is given as application/json; ask for one of them by Accept, or by ?as=json."),
    "job/1?as=xml": (406, None),
}


def test_what_cannot_be_answered_is_told_in_one_sentence(
    served: str, foreman: dict[str, str], get: Callable[..., Any]
) -> None:
    """As problem JSON (RFC 9457), with the code of the answer in it."""
    for path, (code, says) in BAD.items():
        told = get(f"{served}{path}", {**foreman, "Accept": "application/json"})
        problem = json.loads(told.text)

        assert (code, PROBLEM) == (told.status, told.headers["Content-Type"]), path
        assert ["type", "title", "status", "detail"] == list(problem)
        assert says is None or says == problem["detail"]
        assert problem["detail"].endswith(".")


def routes(book: Path) -> Iterator[tuple[str, str]]:
    """The name of each address that is read, and how it is built."""
    with create_app(book) as app:
        for rule in app.url_map.iter_rules():
            if "GET" in (rule.methods or ()):
                yield rule.endpoint, rule.rule.replace("<", "{").replace(">", "}")


def test_every_address_of_the_table_is_one_of_the_server(book: Path) -> None:
    """By the name of its function and as it is built."""
    served = set(routes(book))

    assert set() == {(name, answer.path) for name, answer in ANSWERS.items()} - served


def test_the_description_is_openapi_and_is_written_down(live: str, get: Callable[..., Any]) -> None:
    """By the rules of OpenAPI 3.1; what is served is what stands in the documents."""
    served = json.loads(get(f"{live}openapi.json").text)

    validate(served)
    assert description() == served == json.loads(WRITTEN.read_text(encoding="utf-8"))
    assert all(Draft202012Validator.check_schema(each) is None for each in served["components"]["schemas"].values())


def test_a_long_list_is_asked_for_in_pieces(
    served: str, yard: Any, foreman: dict[str, str], get: Callable[..., Any]
) -> None:
    """The newest first, each once, up to the first."""
    for number in range(9):
        add_vehicle(yard.workshop, f"bike {number}", "Kestrel 500", None, {}, Say(yard.foreman))
    read, before = list[str](), ""
    while piece := json.loads(get(f"{served}vehicles?as=json&most=4{before}", foreman).text):
        read += [each["vehicle"] for each in piece]
        before = f"&before={read[-1].removeprefix('V-')}"

    assert [f"V-{number}" for number in range(11, 0, -1)] == read
    assert "vehicles?most=4&amp;before=8" in get(f"{served}vehicles?most=4", foreman).text
    assert "Earlier ones" not in get(f"{served}vehicles", foreman).text
    assert [2, 1] == [each["job"] for each in json.loads(get(f"{served}jobs?as=json", foreman).text)]
    assert [1] == [each["job"] for each in json.loads(get(f"{served}jobs?as=json&before=2", foreman).text)]
