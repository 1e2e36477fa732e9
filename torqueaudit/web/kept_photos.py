"""Photos of work as staff look at them: shown in the page, and kept by no browser."""

from typing import TYPE_CHECKING

from flask import Response

from torqueaudit.web.told import Told, page_of
from torqueaudit.workshop.jobs.photos import photo_file

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.workshop.door.workshop import Workshop

NOT_HERE = Told(
    "This photo is not here", "It was erased, or it was lost: then a verification of the ledger says so.", 404
)


def add_kept_photos(app: "Flask", workshop: "Workshop") -> None:
    """Add the addresses of a photo and of the small one of it, by their digests."""

    @app.get("/photo/<digest>")
    def kept_photo(digest: str) -> "ResponseReturnValue":
        """Give a photo."""
        return _given(digest)

    @app.get("/photo/<digest>/small/<small>")
    def small_photo(digest: str, small: str) -> "ResponseReturnValue":
        """Give the small one of a photo, by the digests of both."""
        return _given(digest, small)

    def _given(digest: str, small: str = "") -> "ResponseReturnValue":
        content = photo_file(workshop, digest, small)
        return page_of(NOT_HERE, form=False) if content is None else as_picture(content)


def as_picture(content: bytes) -> Response:
    """The answer that shows a JPEG in a page; no browser keeps it, as nothing here is kept that may be erased."""
    return Response(content, mimetype="image/jpeg", headers={"Content-Disposition": "inline"})
