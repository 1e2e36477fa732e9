"""What the script of the bench asks for: who is signed in now, where an answer leads, and its worker."""

from typing import TYPE_CHECKING

from flask import Response, g, request

from torqueaudit.web.guard import SCRIPT
from torqueaudit.web.waking import ASKED

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

LEADS_TO = "X-Bench-To"
SEE_OTHER, NOTHING_TO_SHOW = 303, 204


def add_queue(app: "Flask", worker: str) -> None:
    """Add the addresses that the script asks; a page that it sends a form to says where it leads, and leads nowhere."""

    @app.get("/token")
    def token() -> "ResponseReturnValue":
        """Say who is signed in, and what their forms bring back."""
        return {"person": g.asking.person, "form": g.asking.form}

    @app.get("/worker.js")
    def worker_script() -> "ResponseReturnValue":
        """Give what shows the last pages of the bench where there is no connection."""
        return worker, {"Content-Type": SCRIPT, "Cache-Control": "no-cache"}

    @app.after_request
    def led(response: Response) -> Response:
        """Tell a script where a form leads: what follows by itself would fetch a page that nobody looks at."""
        if ASKED in request.headers and response.status_code == SEE_OTHER:
            response.status_code = NOTHING_TO_SHOW
            response.headers[LEADS_TO] = response.headers.pop("Location")
            response.data = b""
        return response
