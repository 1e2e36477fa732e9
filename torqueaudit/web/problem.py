"""A refusal as data: one sentence as problem JSON (RFC 9457)."""

import json
from http import HTTPStatus

from flask import Response

from torqueaudit.web.wanted import PROBLEM

UNAUTHORIZED = HTTPStatus.UNAUTHORIZED
KEY_ASKED = "Sign in, or show the key of a program that a foreman let in: Authorization: Bearer KEY."


def problem(code: int, says: str) -> Response:
    """The answer with a code (RFC 9110) and one sentence that says what is wrong and what to do."""
    told = {"type": "about:blank", "title": HTTPStatus(code).phrase, "status": code, "detail": says}
    answer = Response(f"{json.dumps(told, ensure_ascii=False)}\n", status=code, content_type=PROBLEM)
    if code == UNAUTHORIZED:
        answer.headers["WWW-Authenticate"] = "Bearer"  # RFC 6750
    return answer
