"""The pages for what went wrong: each says what, and what to do; none shows the inside of the program."""

from typing import TYPE_CHECKING

from flask import render_template, request
from werkzeug.exceptions import HTTPException, SecurityError

from torqueaudit.web.addresses import way_up
from torqueaudit.web.bodies import NO_PLACE, not_taken
from torqueaudit.web.refusal import RETRY_AFTER
from torqueaudit.web.whose_fault import WhoseFault
from torqueaudit.workshop.register.labels import BookError

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.workshop.door.workshop import Workshop

NO_PAGE = ("No such page here", "Only the records that labels open are here. Type the token from the label.")
STRANGE_HOST = ("Not the address of this book", "Open it by the address printed on the label.")
BUSY = ("Other photos are being read", "Send it again in ten seconds, or type the token.")


def add_trouble_pages(app: "Flask", workshop: "Workshop") -> None:
    """Add the answers to a book that cannot be read, to addresses that are none, and to faults."""
    path, whose_fault = str(workshop.book.path), WhoseFault(workshop.book)

    @app.before_request
    def body() -> "ResponseReturnValue | None":
        """Refuse a body that the page does not take, before any of it is read."""
        if request.routing_exception:
            return None
        if NO_PLACE in request.environ:
            return (*_page(*BUSY, 503, form=True), [RETRY_AFTER])
        refused = not_taken(request.path, request.content_type or "", request.content_length or 0)
        return _page(refused.title, refused.says, refused.code, form=True) if refused else None

    @app.errorhandler(BookError)
    def book(error: BookError) -> "ResponseReturnValue":
        """Tell what is wrong with the book, and not where it lies on this machine."""
        app.logger.error("%s", error)
        return _page("The book cannot be read now", str(error).replace(path, "The book"), 503)

    @app.errorhandler(HTTPException)
    def other(error: HTTPException) -> "ResponseReturnValue":
        """Tell every other refusal; one that nobody foresaw arrives here as 500, its traceback in the log alone."""
        code = error.code or 500
        if isinstance(error, SecurityError):
            return _page(*STRANGE_HOST, code)
        if code == 404:  # noqa: PLR2004  # not found
            return _page(*NO_PAGE, code, form=True)
        if code >= 500:  # noqa: PLR2004  # the server's own faults
            return _page(*whose_fault.told())
        answer = _page(error.name, "This page takes a label's token and nothing else.", code, form=True)
        return (*answer, [pair for pair in error.get_headers() if pair[0] == "Allow"])


def _page(title: str, says: str, code: int, *, form: bool = False) -> tuple[str, int]:
    text = render_template("trouble.html", title=title, says=(says,), typed="", form=form, up=way_up(request.path))
    return text, code
