"""The description of what is given as data, by OpenAPI 3.1: made of the table of addresses and of the schemas."""

import re
from collections.abc import Iterator
from typing import Any

from torqueaudit import __version__
from torqueaudit.model.register.programs import ProgramRole
from torqueaudit.reports.json.schema import events, job, life, register, told, vehicle, wrench
from torqueaudit.reports.json.schema.terms import TEXT, WHOLE, Schema, of, record
from torqueaudit.web.access import OPENED_TO
from torqueaudit.web.programs.asked import Answer, Word
from torqueaudit.web.programs.routes import ANSWERS
from torqueaudit.web.wanted import CSV, FORM, JSON, KINDS, PROBLEM

SAYS = """Data of one workshop's book, at the addresses of its pages: where `Accept` asks for `application/json` or
`text/csv`, or the address ends in `?as=json` or `?as=csv`. A program shows the key that a foreman gave it; it reads,
and records nothing. Whoever is signed in is given the same in a browser. People are numbers. No torque given here is a
specification: what was specified names its source, and the maker's manual comes first. A later version may add keys
and addresses."""
PARTS = {
    "number": ("The number, such as {example}; case does not matter.", "^[A-Za-z0-9-]{1,20}$"),
    "entry": ("The number of the entry in the ledger.", "^[0-9]{1,15}$"),
    "token": ("The token that stands on the label.", "^[0-9A-Za-z-]{1,80}$"),
}
EXAMPLES = {"job": "12", "job_then": "12", "vehicle": "V-1", "life_page": "V-1", "owner_card": "V-1", "wrench": "W-1"}
REFUSED = {
    "400": "What stands behind the question mark cannot be read.",
    "401": "Nobody known asks: no key, a wrong one, or one that has ended or was withdrawn.",
    "403": "Whoever asks is not given this.",
    "404": "There is no such thing in this book.",
    "405": "This address is asked in another way.",
    "406": "This address is not given in the form that is asked for.",
    "409": "This book is not the one that was read before.",
    "413": "More was sent than is taken here.",
    "415": "What was sent is not taken here.",
    "422": "What is asked for cannot be answered.",
    "429": "Too much was asked, or too many keys were wrong; wait as long as Retry-After says.",
    "503": "The book cannot be read now.",
}
ALWAYS = ("400", "401", "403", "406", "413", "415", "429", "503")


def description() -> dict[str, Any]:
    """The whole description; it is the same for every book."""
    return {
        "openapi": "3.1.1",
        "info": {
            "title": "torqueaudit: a workshop's torque and fastener record",
            "version": __version__,
            "summary": "Data for other programs",
            "description": " ".join(SAYS.split()),
            "license": {"name": "Apache-2.0", "identifier": "Apache-2.0"},
        },
        "servers": [{"url": "."}],
        "security": [{"key": []}],
        "paths": {answer.path: {"get": _asked(name, answer, role)} for name, answer, role in given()},
        "components": {
            "schemas": dict(_schemas()),
            "responses": dict(_refusals()),
            "securitySchemes": {"key": {"type": "http", "scheme": "bearer", "description": "The key of a program."}},
        },
    }


def _schemas() -> Iterator[tuple[str, Schema]]:
    for subject in (job, vehicle, life, wrench, told, register, events):
        yield from subject.SCHEMAS.items()
    yield (
        "Problem",
        record(
            "Why it is refused (RFC 9457): `detail` is one sentence.",
            {"type": TEXT, "title": TEXT, "status": WHOLE, "detail": TEXT},
        ),
    )


def _refusals() -> Iterator[tuple[str, Schema]]:
    for code, says in REFUSED.items():
        yield code_name(code), {"description": says, "content": {PROBLEM: {"schema": of("Problem")}}}


def code_name(code: str) -> str:
    """The name of a refusal in the description."""
    return f"Refused{code}"


def given() -> Iterator[tuple[str, Answer, ProgramRole]]:
    """The addresses that a program may be given, by the names of their functions; the others are people's alone."""
    for name, answer in ANSWERS.items():
        if answer.role is not None:
            yield name, answer, answer.role


def _asked(name: str, answer: Answer, role: ProgramRole) -> dict[str, Any]:
    codes = (*ALWAYS, *(["404"] if "{" in answer.path else []), str(answer.refused))
    refused = {code: {"$ref": f"#/components/responses/{code_name(code)}"} for code in sorted(set(codes))}
    anybody = OPENED_TO[name] == "stranger"
    asked: dict[str, Any] = {
        "operationId": name,
        "summary": answer.says,
        "description": "To anybody." if anybody else f"To a program that {role.says}.",
        "parameters": [*_parts(name, answer.path), *map(_word, answer.query), _form(answer)],
        "responses": {"200": {"description": "It is given.", "content": dict(_contents(answer))}, **refused},
    }
    return {**asked, "security": [{}, {"key": []}]} if anybody else asked


def _contents(answer: Answer) -> Iterator[tuple[str, Any]]:
    yield KINDS[JSON], {"schema": answer.schema}
    if answer.has_table:
        yield KINDS[CSV], {"schema": TEXT}


def _parts(name: str, path: str) -> Iterator[dict[str, Any]]:
    for part in re.findall(r"{(\w+)}", path):
        says, pattern = PARTS[part]
        yield {
            "name": part,
            "in": "path",
            "required": True,
            "description": says.format(example=EXAMPLES.get(name, "")),
            "schema": {"type": "string", "pattern": pattern},
        }


def _word(word: Word) -> dict[str, Any]:
    told = {"name": word.name, "in": "query", "description": word.says, "schema": word.schema}
    return {**told, "required": True} if word.required else told


def _form(answer: Answer) -> dict[str, Any]:
    forms = [JSON, CSV] if answer.has_table else [JSON]
    says = "The form, for whoever can set no Accept."
    return {"name": FORM, "in": "query", "description": says, "schema": {"type": "string", "enum": forms}}
