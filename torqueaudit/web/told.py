"""What a page says that shows no record: a title, what to do, and the code of the answer."""

from typing import TYPE_CHECKING, NamedTuple

from flask import Response, render_template, request

from torqueaudit.model.judged.sentences import whole_sentence
from torqueaudit.web.addresses import way_up
from torqueaudit.web.problem import problem
from torqueaudit.web.wanted import wants_data

if TYPE_CHECKING:
    from torqueaudit.model.act import Refused


class Told(NamedTuple):
    """Title, sentence and code (RFC 9110) of a page."""

    title: str
    says: str
    code: int


def page_of(told: Told, *, form: bool = True, back: str = "") -> tuple[str | Response, int]:
    """Make the page; with the form that takes a token, or the way back to a page, where that helps.

    Whoever asks for data is told the sentence alone, as data.
    """
    if wants_data():
        return problem(told.code, told.says), told.code
    says, up = (told.says,), way_up(request.path)
    shown = render_template("trouble.html", title=told.title, says=says, typed="", form=form, up=up, back=back)
    return shown, told.code


def why_refused(refused: "Refused") -> str:
    """Why something was refused, as a sentence that stands alone: "Job 99: no such job; look at the list of jobs."."""
    return whole_sentence(str(refused))
