"""A photo of a label, sent by a page that has no camera stream on plain HTTP: read, forgotten, its record opened."""

from threading import Lock
from typing import TYPE_CHECKING

from flask import redirect, render_template, request

from torqueaudit.model.shown.label import JOB, WRENCH, is_own
from torqueaudit.photo import MOST_BYTES, NotRead, Seen, another, read_photo
from torqueaudit.web.addresses import way_up
from torqueaudit.workshop.register.labels import record_of

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.workshop.door.workshop import Workshop

MOST_SENT = MOST_BYTES + 16 * 1024  # a form puts a few bytes around its photo


def add_photo_page(app: "Flask", workshop: "Workshop") -> None:
    """Add the address that takes a photo. Nothing of it is kept."""
    one_by_one = Lock()  # each photo takes some hundred megabytes of pixels at most

    @app.post("/photo")
    def photo() -> "ResponseReturnValue":
        """Read the label and lead to its record, saying there when a new label is due."""
        request.max_content_length = MOST_SENT
        sent = request.files.get("photo")
        data = sent.read() if sent else b""
        if not data:
            return _not_read("no photo was sent; choose one, or take one of the label")
        try:
            with one_by_one:
                seen = read_photo(data)
        except NotRead as error:
            return _not_read(str(error))
        if record_of(workshop, seen.way, seen.key) is None:
            return _not_read(f"the label says {seen.address}, and this book holds no record under it")
        own = is_own(workshop.settings, seen.address)
        if not own and seen.way == WRENCH:
            return _not_read(f"{another(seen.address)}; a wrench of this number in another workshop is another wrench")
        return redirect(_address(seen, own=own), 303)


def _address(seen: Seen, *, own: bool) -> str:
    """Where the record is, relative, with what is left of the label where that is little."""
    key = seen.key if seen.way == JOB else seen.key.upper()
    told = [] if own else ["elsewhere=1"]
    if seen.copy_lost:
        told.append("copy=lost")
    elif seen.worn:
        told.append("unused=unknown" if seen.unused is None else f"unused={seen.unused * 100:.0f}")
    return f"{seen.way}/{key}{'?' if told else ''}{'&'.join(told)}"


def _not_read(says: str) -> "ResponseReturnValue":
    sentence = f"{says[0].upper()}{says[1:]}."
    return render_template(
        "trouble.html", title="No record opened", says=(sentence,), typed="", form=True, up=way_up(request.path)
    ), 422
