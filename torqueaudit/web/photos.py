"""A photo of a label, sent by a page that has no camera stream on plain HTTP: read, forgotten, its page opened."""

from os import SEEK_END
from threading import Lock
from typing import IO, TYPE_CHECKING
from urllib.parse import quote

from flask import redirect, request

from torqueaudit.model.shown.label import JOB, PERSON, is_own
from torqueaudit.photo import NotRead, Seen, another, read_apart
from torqueaudit.read.number import read_person_number
from torqueaudit.web.told import Told, page_of
from torqueaudit.workshop.register.labels import record_of

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.workshop.door.workshop import Workshop


def add_photo_page(app: "Flask", workshop: "Workshop", one_by_one: Lock) -> None:
    """Add the address that takes a photo of a label. Nothing of it is kept; the lock has photos read one by one."""

    @app.post("/photo")
    def photo() -> "ResponseReturnValue":
        """Read the label and lead to its record, saying there when a new label is due."""
        sent = sent_photo()
        if sent is None:
            return _not_read("no photo was sent; choose one, or take one of the label")
        try:
            with one_by_one:
                seen = read_apart(sent)
        except NotRead as error:
            return _not_read(str(error))
        # A tag leads to signing in whoever has that number, as its address does: no stranger learns who works here.
        if seen.way != PERSON and record_of(workshop, seen.way, seen.key) is None:
            return _not_read(f"the label says {seen.address}, and this book holds no record under it")
        own = is_own(workshop.settings, seen.address)
        if not own and seen.way != JOB:
            return _not_read(another(seen.address, seen.way))
        return redirect(_address(seen, own=own), 303)


def sent_photo() -> IO[bytes] | None:
    """The photo that came with the form, from its beginning; None where none came, or an empty one."""
    sent = request.files.get("photo")
    if sent is None or not sent.stream.seek(0, SEEK_END):
        return None
    sent.stream.seek(0)
    return sent.stream


def _address(seen: Seen, *, own: bool) -> str:
    """Where the record is, relative, with what is left of the label where that is little; or signing in."""
    if seen.way == PERSON:
        return f"{PERSON}/{quote(read_person_number(seen.key), safe='')}"
    key = seen.key if seen.way == JOB else seen.key.upper()
    told = [] if own else ["elsewhere=1"]
    if seen.copy_lost:
        told.append("copy=lost")
    elif seen.worn:
        told.append("unused=unknown" if seen.unused is None else f"unused={seen.unused * 100:.0f}")
    return f"{seen.way}/{key}{'?' if told else ''}{'&'.join(told)}"


def _not_read(says: str) -> "ResponseReturnValue":
    sentence = f"{says[0].upper()}{says[1:]}."
    return page_of(Told("No record opened", sentence, 422))
