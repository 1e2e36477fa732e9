"""The server is asked whatever its description allows, and what it does not: each answer is one that it describes.

schemathesis makes the questions of the description as it is served, and holds code, kind, headers and content of each
answer against it. None may be a fault of the server's own.
"""

import os
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from functools import partial
from itertools import cycle
from pathlib import Path
from random import Random
from typing import Any

import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from schemathesis.core.result import Ok
from schemathesis.generation import GenerationMode
from schemathesis.specs.openapi.checks import negative_data_rejection, positive_data_acceptance

from torqueaudit.model.act import Say
from torqueaudit.model.register.programs import ProgramRole
from torqueaudit.web.app import create_app
from torqueaudit.workshop.signing.programs import let_in

# Of each address, rightly and wrongly asked: more than 2,000 in `make proof`.
CASES = 80 if "TORQUEAUDIT_PROOF" in os.environ else 5
A_PROGRAM = 100  # questions, so that none of them asks too often
PROGRAMS = 30
# What is there, put into every second question of an address: a made-up number is hardly ever one.
THERE = {
    "/job/{number}": "1",
    "/job/{number}/as-of/{entry}": "1",
    "/vehicle/{number}": "V-1",
    "/vehicle/{number}/life": "V-1",
    "/vehicle/{number}/owner": "V-1",
    "/w/{number}": "W-1",
}
# Their words mean more than a schema can say: a day that has come, and signs that somebody sees.
MEANT = ("/find", "/signed")


@pytest.fixture
def keys(yard: Any) -> Iterator[str]:
    """The key of one program after the other."""
    say, last = Say(yard.foreman), yard.workshop.today() + timedelta(days=99)
    shown = [let_in(yard.workshop, say, f"list {n}", ProgramRole.READS_NAMES, last).key for n in range(PROGRAMS)]
    return (key for key in cycle(shown) for _ in range(A_PROGRAM))


def left_out(case: Any, path: str) -> Iterator[Any]:
    """What is not asked of an answer: that it takes words of no meaning, or refuses a word that is never sent."""
    if path in MEANT:
        yield positive_data_acceptance
    if [] in case.query.values():  # an empty list leaves nothing in the address
        yield negative_data_rejection


def tried_with(cases: Any, ask: Callable[[Any], None]) -> None:
    """Ask so many questions, the same ones every time in `make test`."""

    @settings(max_examples=CASES, database=None, suppress_health_check=list(HealthCheck), phases=[Phase.generate])
    @given(case=cases)
    def tried(case: Any) -> None:
        ask(case)

    tried()


@pytest.mark.proof
def test_every_answer_is_one_that_is_described(
    book: Path,
    yard: Any,
    left: str,
    keys: Iterator[str],
    clock: list[datetime],
    record_property: Callable[[str, object], None],
) -> None:
    """Whatever stands in an address, behind its question mark, in its headers, and with whatever key."""
    there, asked, codes = {**THERE, "/r/{token}/record": yard.token(left)}, 0, set[int]()

    def ask(case: Any, path: str) -> None:
        nonlocal asked
        asked += 1
        if path in there and asked % 2 and case.meta.generation.mode is GenerationMode.POSITIVE:
            case.path_parameters = dict.fromkeys(case.path_parameters, there[path])
        answer = case.call(headers={"Accept": "application/json", "Authorization": f"Bearer {next(keys)}"})
        codes.add(answer.status_code)
        case.validate_response(answer, excluded_checks=list(left_out(case, path)))

    with create_app(book, lambda: clock[0], Random(3)) as app:
        for found in schemathesis.openapi.from_wsgi("/openapi.json", app).get_all_operations():
            operation = found.ok() if isinstance(found, Ok) else pytest.fail(str(found.err()))
            for mode in (GenerationMode.POSITIVE, GenerationMode.NEGATIVE):
                tried_with(operation.as_strategy(generation_mode=mode), partial(ask, path=operation.path))

    record_property("figures", f"{asked} questions by the description, answered with {sorted(codes)}")
    assert 25 * CASES <= asked
    assert {200, 400, 401, 404, 406} <= codes <= {200, 400, 401, 404, 406, 409, 422}
    assert [] == yard.workshop.book.verify()
