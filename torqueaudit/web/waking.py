"""A form sent from a page at which nobody had tapped for a while: the PIN is asked, and what was typed goes on with it.

What is sent by the script of the bench is kept by it, and a photo can be carried by no page: these are sent again.
"""

from flask import render_template, request

from torqueaudit.web.addresses import way_up
from torqueaudit.web.bodies import NO_PLACE, brings_file

ASKED = "X-Bench"  # the head by which the script of the bench asks
WAKE = "wake"  # the field of the PIN
FILE_LEFT = "file_left"  # the field that says that a file was chosen, which has to be chosen again
_OWN = frozenset({WAKE, FILE_LEFT, "form"})


def carries_on() -> bool:
    """Whether what was sent can be shown to the browser again, to be sent with the PIN."""
    return not (ASKED in request.headers or NO_PLACE in request.environ or "photo" in request.files)


def wake_page(says: str = "") -> tuple[str, int]:
    """Ask for the PIN, with what was typed in the form, which goes to the same address; `says` why it was refused."""
    fields = [(name, told) for name, told in request.form.items(multi=True) if name not in _OWN]
    left = FILE_LEFT in request.form or any(each.filename for each in request.files.values())
    page = render_template(
        "signing/wake.html",
        fields=fields,
        left=left,
        says=says,
        path=request.path.lstrip("/"),
        multipart=brings_file(request.path),
        up=way_up(request.path),
    )
    return page, 401
