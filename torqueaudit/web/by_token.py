"""Finding the job of a label's token, and what is said where a token opens nothing."""

from http import HTTPStatus
from typing import TYPE_CHECKING

from flask import abort, make_response, render_template, request

from torqueaudit.model.judged.sentences import with_capital
from torqueaudit.model.register.token import TokenError, grouped, read_token
from torqueaudit.web.addresses import way_up
from torqueaudit.web.pace import Pace
from torqueaudit.web.problem import problem
from torqueaudit.web.refusal import RETRY_AFTER
from torqueaudit.web.told import Told, page_of
from torqueaudit.web.wanted import wants_data
from torqueaudit.workshop.register.labels import job_of_token

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

    from torqueaudit.workshop.door.workshop import Workshop

MOST_A_SECOND = 10  # a million guesses take more than a day; people mistype a few tokens a day
AT_ONCE = 50
LONGEST_ECHO = 60  # characters of what was typed that are shown again

TOO_MANY = Told("Too many tokens were tried", "Wait ten seconds, and try the label again.", 429)
UNKNOWN = (
    "The token is complete and well written, so it was printed on a label; but this book holds no job under it.",
    "The label may belong to another workshop, or to a book that was replaced by an older backup.",
    "Compare the address printed on the label with the one of this page, and ask the workshop whose label it is.",
)


class ByToken:
    """The jobs of one book by the tokens of their labels; whoever guesses waits, whatever address they guess with."""

    def __init__(self, workshop: "Workshop") -> None:
        self._workshop = workshop
        self._misses = Pace(MOST_A_SECOND, AT_ONCE)  # of everybody together: guessing from many places is no faster

    def job(self, token: str) -> str:
        """The number of the job of a token as it stands in an address; ends the request where there is none."""
        try:
            known = read_token(token)
        except TokenError as error:
            abort(make_response(mistyped(token, error)))
        number = job_of_token(self._workshop, known)
        if number is None:
            missed = _no_record("No record under this token in this book", UNKNOWN, grouped(known))
            abort(make_response(missed if self._misses.one_more() else (*page_of(TOO_MANY), [RETRY_AFTER])))
        return number


def mistyped(typed: str, error: TokenError) -> "ResponseReturnValue":
    """The page for what cannot be a token."""
    says = (with_capital(str(error)), "It is printed in groups under the label's square code.")
    return _no_record("This is not a token as labels carry it", says, typed[:LONGEST_ECHO])


def _no_record(title: str, says: tuple[str, ...], typed: str) -> "ResponseReturnValue":
    if wants_data():
        return problem(HTTPStatus.NOT_FOUND, says[0])
    return render_template("trouble.html", title=title, says=says, typed=typed, form=True, up=way_up(request.path)), 404
