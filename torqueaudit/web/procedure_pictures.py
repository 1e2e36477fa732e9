"""The pictures of a procedure, for staff: kept by the browser, as their address holds the digests of both."""

from typing import TYPE_CHECKING

from torqueaudit.web.kept_photos import as_picture
from torqueaudit.web.told import Told, page_of
from torqueaudit.workshop.register.pictures import picture_file

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.workshop.door.workshop import Workshop

KEPT = "private, max-age=31536000, immutable"  # by the browser of whoever may see it, and by nothing on the way
NOT_HERE = Told("This picture is not here", "It was lost, or changed: then a verification of the ledger says so.", 404)


def add_procedure_pictures(app: "Flask", workshop: "Workshop") -> None:
    """Add the addresses of a picture and of the small one of it, below the procedure that names it."""

    @app.get("/procedure/<procedure>/picture/<digest>")
    def procedure_picture(procedure: str, digest: str) -> "ResponseReturnValue":
        """Give a picture."""
        return _given(procedure, digest, small=False)

    @app.get("/procedure/<procedure>/picture/<digest>/small")
    def small_procedure_picture(procedure: str, digest: str) -> "ResponseReturnValue":
        """Give the small one of a picture."""
        return _given(procedure, digest, small=True)

    def _given(procedure: str, digest: str, *, small: bool) -> "ResponseReturnValue":
        content = picture_file(workshop, procedure, digest, small=small)
        if content is None:
            return page_of(NOT_HERE, form=False)
        answer = as_picture(content)
        answer.headers["Cache-Control"] = KEPT
        return answer
