"""The page of one photo of a job: what it shows, who took it, and how a foreman erases it."""

from typing import TYPE_CHECKING, NamedTuple

from flask import g, request

from torqueaudit.book.errors import IdUsed
from torqueaudit.model.act import Refused
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.shown.photos import ShownPhoto, photos_of
from torqueaudit.web.bench.at_work import AtWork, at_work
from torqueaudit.web.bench.pages import bench_page, led_on
from torqueaudit.web.forms import SENT_BEFORE, say_of
from torqueaudit.web.typed import Typed
from torqueaudit.workshop.jobs.photos import erase_photo

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.workshop.door.workshop import Workshop


class PhotoScreen(NamedTuple):
    """A photo of a job, whether whoever looks at it may erase it, and the reason that was typed."""

    shown: ShownPhoto
    may_erase: bool
    why: str


def add_photo_pages(app: "Flask", workshop: "Workshop") -> None:
    """Add the page of a photo, and the form on it that erases the photo."""

    @app.get("/job/<number>/photos/<digest>")
    def shown_photo(number: str, digest: str) -> "ResponseReturnValue":
        """Show a photo with what is known of it."""
        return _page(at_work(workshop, g.asking, number), digest, "")

    @app.post("/job/<number>/photos/<digest>/erase")
    def erase(number: str, digest: str) -> "ResponseReturnValue":
        """Erase a photo for good, as `erase_photo` does for every door, and lead on to the job."""
        at, typed = at_work(workshop, g.asking, number), Typed(request.form)
        why = typed.one("why")
        try:
            entries = erase_photo(workshop, at.number, _shown(at, digest).view.digest, why, say_of(g.asking, typed))
        except IdUsed:
            return _page(at, digest, why, Refused(SENT_BEFORE)), 409
        except Refused as refused:
            return _page(at, digest, why, refused), 422
        return led_on(at.number, entries)


def _page(at: AtWork, digest: str, why: str, refused: Refused | None = None) -> str:
    screen = PhotoScreen(_shown(at, digest), at.may(ActName.ERASE_PHOTO), why)
    return bench_page("bench/photo.html", at, {"screen": screen}, refused)


def _shown(at: AtWork, digest: str) -> ShownPhoto:
    """The photo of a whole digest, as it was taken last. Raises Refused where the job has none."""
    found = [each for each in photos_of(at.view) if each.view.digest == digest.lower()]
    if not found:
        raise Refused(f"job {at.number} has no such photo; look at everything of this job")
    return found[-1]
