"""Whether another program that shows its key is answered, and how often: asked before anything of the book is."""

from collections import defaultdict
from http import HTTPStatus
from typing import TYPE_CHECKING

from flask import Response, g, request

from torqueaudit.model.act import Refused
from torqueaudit.web.access import OPENED_TO
from torqueaudit.web.asking import Asking
from torqueaudit.web.pace import Pace
from torqueaudit.web.problem import problem
from torqueaudit.web.programs.routes import ANSWERS
from torqueaudit.web.told import why_refused
from torqueaudit.workshop.signing.programs import program_of_key, see_program

if TYPE_CHECKING:
    from torqueaudit.model.register.programs import Program
    from torqueaudit.workshop.door.workshop import Workshop

A_SECOND, AT_ONCE = 20, 200  # questions of one program; a list of a workshop is read in a few
WRONG_A_SECOND, WRONG_AT_ONCE = 1, 20  # keys of all programs together; one has 256 bits, so nobody guesses it
WAIT = 10  # seconds

NO_BEARER = "Show the key of a program as it was given: Authorization: Bearer KEY."
TOO_MANY_WRONG = f"Too many wrong keys were shown; wait {WAIT} seconds, and ask with the key that was given."
TOO_FAST = f"{{}} asks too often; wait {WAIT} seconds, and ask for more at once."
NOT_GIVEN = "{} is not given this; a program reads what the description names, and what its role says."


class Admission:
    """Looks at the key that is shown, counts questions and wrong keys, and says what a program is not given."""

    def __init__(self, workshop: "Workshop") -> None:
        self._workshop = workshop
        self._wrong = Pace(WRONG_A_SECOND, WRONG_AT_ONCE)
        self._paces: defaultdict[str, Pace] = defaultdict(lambda: Pace(A_SECOND, AT_ONCE))

    def asked(self) -> Response | None:
        """Let a program on as who it is, or say why not."""
        shown = request.authorization
        if shown is None or shown.type != "bearer" or not shown.token:
            return self._is_wrong(NO_BEARER)
        try:
            program = program_of_key(self._workshop, shown.token)
        except Refused as refused:
            return self._is_wrong(why_refused(refused))
        if not self._paces[program.number].one_more():
            return _later(TOO_FAST.format(program.number))
        see_program(self._workshop, program.number)
        g.asking = Asking(program=program.number, role=program.role)
        return None if request.endpoint is None or _is_given(program, request.endpoint) else _not_given(program)

    def _is_wrong(self, says: str) -> Response:
        return problem(HTTPStatus.UNAUTHORIZED, says) if self._wrong.one_more() else _later(TOO_MANY_WRONG)


def _is_given(program: "Program", endpoint: str) -> bool:
    """Whether a program is given an address: what the table gives to its role, and what is opened to anybody."""
    answer = ANSWERS.get(endpoint)
    if answer is None:
        return endpoint == "description"
    return OPENED_TO[endpoint] == "stranger" or (answer.role is not None and program.role.reaches(answer.role))


def _not_given(program: "Program") -> Response:
    return problem(HTTPStatus.FORBIDDEN, NOT_GIVEN.format(program.number))


def _later(says: str) -> Response:
    answer = problem(HTTPStatus.TOO_MANY_REQUESTS, says)
    answer.headers["Retry-After"] = str(WAIT)
    return answer
