"""The pages for what went wrong: each says what, and what to do; none shows the inside of the program."""

from typing import TYPE_CHECKING

from flask import g, request
from werkzeug.exceptions import HTTPException, SecurityError

from torqueaudit.book.errors import IdUsed
from torqueaudit.model.act import Refused
from torqueaudit.web.access import opens
from torqueaudit.web.bodies import NO_FORM, NO_PLACE, brings_file, not_taken
from torqueaudit.web.forms import SENT_BEFORE
from torqueaudit.web.problem import problem
from torqueaudit.web.refusal import RETRY_AFTER
from torqueaudit.web.told import Told, page_of, why_refused
from torqueaudit.web.wanted import wants_data
from torqueaudit.web.whose_fault import WhoseFault
from torqueaudit.workshop.register.labels import BookError

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.workshop.door.workshop import Workshop

NO_PAGE = Told("No such page here", "Only the records that labels open are here. Type the token from the label.", 404)
NOTHING = Told("Nothing here", "Open the address that stands on the label.", 404)
STRANGE_HOST = Told("Not the address of this book", "Open it by the address printed on the label.", 400)
BUSY = Told("Other files are being read", "Send it again in ten seconds.", 503)
TOKEN_ALONE = "This page takes a label's token and nothing else."
DATA = {  # what is said to a program
    404: "There is no such address; /openapi.json names those that there are.",
    405: "This address is asked in another way; data is read with GET.",
}
ELSEWHERE = "This page does not take what was sent. Go back: what was typed is still there."


def add_trouble_pages(app: "Flask", workshop: "Workshop") -> None:
    """Add what is said of bodies that no page takes, addresses that are none, and faults."""
    whose_fault = WhoseFault(workshop.book)

    @app.before_request
    def body() -> "ResponseReturnValue | None":
        """Refuse a body that the page does not take, before any of it is read."""
        if request.routing_exception:
            return None
        if NO_PLACE in request.environ:
            return (*page_of(BUSY), [RETRY_AFTER])
        refused = not_taken(request.path, request.content_type or "", request.content_length or 0)
        return page_of(refused) if refused else None

    @app.errorhandler(HTTPException)
    def other(error: HTTPException) -> "ResponseReturnValue":
        """Tell every other refusal; one that nobody foresaw arrives here as 500, its traceback in the log alone."""
        code = error.code or 500
        if isinstance(error, SecurityError):
            return page_of(STRANGE_HOST, form=False)
        if wants_data() and code in DATA:
            return problem(code, DATA[code]), code, _allow(error)
        if code == 404:  # noqa: PLR2004  # not found
            return page_of(NO_PAGE if opens(g.asking.reach, "form") else NOTHING)
        if code >= 500:  # noqa: PLR2004  # the server's own faults
            return page_of(whose_fault.told(), form=False)
        says = NO_FORM.says if brings_file(request.path) else ELSEWHERE if g.asking.person else TOKEN_ALONE
        return (*page_of(Told(error.name, says, code)), _allow(error))


def _allow(error: HTTPException) -> list[tuple[str, str]]:
    """The ways in which an address may be asked, where it was asked in another one."""
    return [pair for pair in error.get_headers() if pair[0] == "Allow"]


def add_sentences(app: "Flask", workshop: "Workshop") -> None:
    """Add what is said where the book cannot be read, or holds nothing under an address."""
    path = str(workshop.book.path)

    @app.errorhandler(IdUsed)
    def used(error: IdUsed) -> "ResponseReturnValue":
        """Say that a form was sent before, where its page has no place for that."""
        del error
        return page_of(Told("Not recorded", SENT_BEFORE, 409), form=False, back="bench" if g.asking.person else "")

    @app.errorhandler(BookError)
    def book(error: BookError) -> "ResponseReturnValue":
        """Tell what is wrong with the book, and not where it lies on this machine."""
        # The words alone: an error holds the connection to the book, for as long as somebody keeps what was logged.
        app.logger.error("%s", str(error))
        return page_of(Told("The book cannot be read now", str(error).replace(path, "The book"), 503), form=False)

    @app.errorhandler(Refused)
    def refused(error: Refused) -> "ResponseReturnValue":
        """Say why there is nothing to show under an address."""
        back = "bench" if g.asking.person else ""
        return page_of(Told("Not here", why_refused(error), 404), form=False, back=back)
