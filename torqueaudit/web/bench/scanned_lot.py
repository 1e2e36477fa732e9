"""A part's lot read from a photo of the code on its packet; the screen of the part comes back with it in the field."""

from threading import Lock
from typing import TYPE_CHECKING
from urllib.parse import urlencode

from flask import g, redirect, request

from torqueaudit.model.act import Refused
from torqueaudit.model.judged.next import Next
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.shown.label import is_own
from torqueaudit.photo import NotRead, read_text_apart
from torqueaudit.web.addresses import way_up
from torqueaudit.web.bench.at_work import at_work
from torqueaudit.web.bench.pages import bench_screen
from torqueaudit.web.bench.screens.part import LONGEST_LOT
from torqueaudit.web.bench.screens.photograph import NO_PHOTO
from torqueaudit.web.bench.walk import address_of
from torqueaudit.web.photos import sent_photo
from torqueaudit.web.typed import Typed
from torqueaudit.workshop.door.refusal import refuse_unseen

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.workshop.door.workshop import Workshop


def add_lot_page(app: "Flask", workshop: "Workshop", one_by_one: Lock) -> None:
    """Add the address that takes a photo of a part's code and keeps nothing; the lock has photos read one by one."""

    @app.post("/job/<number>/lot/<key>/photo")
    def scan_lot(number: str, key: str) -> "ResponseReturnValue":
        """Read the code, and lead back to the part with the lot in its field; whoever looks at it records it."""
        at, said = at_work(workshop, g.asking, number), Next(ActName.FIT, key)
        try:
            with one_by_one:
                lot = _lot(workshop, _text())
        except (NotRead, Refused) as error:
            return bench_screen(at, said, Typed(request.form), Refused(str(error))), 422
        return redirect(f"{way_up(request.path)}{address_of(at.number, said)}?{urlencode({'lot': lot})}", 303)


def _text() -> str:
    """What the code says in the photo that came with the form. Raises Refused without one, NotRead."""
    sent = sent_photo()
    if sent is None:
        raise Refused(NO_PHOTO)
    return read_text_apart(sent)


def _lot(workshop: "Workshop", text: str) -> str:
    """What a code says as the words of a lot. Raises Refused for more than can be typed, and for a label of ours."""
    lot = " ".join(text.split())
    if is_own(workshop.settings, lot):
        raise Refused("this is a label of this workshop and no code of a part; photograph the part's own")
    if not lot or len(lot) > LONGEST_LOT:
        raise Refused(
            f"the code holds {len(lot)} characters, and a lot has 1 to {LONGEST_LOT}; type what matters of it"
        )
    refuse_unseen(lot, "lot")
    return lot
