"""Photographing work at the bench: the photo is made harmless, looked at, blacked out where it has to be, and kept."""

from threading import Lock
from typing import TYPE_CHECKING, NamedTuple
from urllib.parse import quote

from flask import g, redirect, request

from torqueaudit.book.errors import IdUsed
from torqueaudit.model.act import Refused
from torqueaudit.model.judged.next import Next
from torqueaudit.model.judged.subject import about_key
from torqueaudit.model.register.permits import ActName
from torqueaudit.photo import NotRead, make_harmless_apart, read_areas, shape_of
from torqueaudit.web.addresses import way_up
from torqueaudit.web.bench.at_work import AtWork, at_work
from torqueaudit.web.bench.pages import bench_page, bench_screen, led_on
from torqueaudit.web.bench.screens.photograph import NO_PHOTO
from torqueaudit.web.bench.waiting import Taken, Waiting
from torqueaudit.web.forms import SENT_BEFORE, say_of
from torqueaudit.web.kept_photos import NOT_HERE, as_picture
from torqueaudit.web.photos import sent_photo
from torqueaudit.web.told import page_of
from torqueaudit.web.typed import Typed
from torqueaudit.workshop.door.attempt import when
from torqueaudit.workshop.jobs.photos import photograph

if TYPE_CHECKING:
    from collections.abc import Iterator

    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.photo import Harmless
    from torqueaudit.workshop.door.workshop import Workshop

COLUMNS, MOST_ROWS = 6, 8  # of fields to be blacked out, each as wide as a thumb and about square
GONE = "this photo waits here no longer; take it anew"


class Field(NamedTuple):
    """A part of a photo that can be blacked out: what is sent, and where it is in words."""

    area: str
    says: str


class LookScreen(NamedTuple):
    """A photo that was just taken: of what, its fields, and what else of the job it may show (key and name)."""

    waits: str
    name: str
    fields: tuple[Field, ...]
    others: tuple[tuple[str, str], ...]
    black: tuple[str, ...]
    also: tuple[str, ...]
    why: str


def add_work_photo_pages(app: "Flask", workshop: "Workshop", one_by_one: Lock) -> None:
    """Add the pages that take a photo of work; the lock has photos read one by one, those of labels among them."""
    taking = Taking(workshop, one_by_one)

    @app.post("/job/<number>/photo/<key>")
    def take_photo(number: str, key: str) -> "ResponseReturnValue":
        """Make a photo harmless, and let it wait until somebody has looked at it."""
        return taking.take(_at(workshop, number, key), key)

    @app.get("/job/<number>/photo/<key>")
    def waiting_photo(number: str, key: str) -> "ResponseReturnValue":
        """Show a photo that was just taken, so that what has to go can be blacked out."""
        return taking.look(_at(workshop, number, key), key)

    @app.get("/photo/waiting/<waits>")
    def waiting_picture(waits: str) -> "ResponseReturnValue":
        """Give a photo that waits, to the session that took it."""
        taken = taking.waiting.get(waits, g.asking.form)
        return page_of(NOT_HERE, form=False) if taken is None else as_picture(taken.picture.photo)

    @app.post("/job/<number>/photo/<key>/keep")
    def keep_photo(number: str, key: str) -> "ResponseReturnValue":
        """Keep a photo that waits, with some of it blacked out, or throw it away."""
        return taking.keep(_at(workshop, number, key), key)


class Taking:
    """Photos on their way from a telephone into the book; what was sent waits in memory alone."""

    def __init__(self, workshop: "Workshop", one_by_one: Lock) -> None:
        self.waiting = Waiting()
        self._workshop = workshop
        self._one_by_one = one_by_one

    def take(self, at: AtWork, key: str) -> "ResponseReturnValue":
        """Make what was sent harmless, and lead to the page that shows it; it was taken when the form was sent."""
        sent, typed = sent_photo(), Typed(request.form)
        if sent is None:
            return _again(at, key, NO_PHOTO), 422
        try:
            taken = when(say_of(g.asking, typed), self._workshop)
            with self._one_by_one:
                picture = make_harmless_apart(sent)
        except (NotRead, Refused) as error:
            return _again(at, key, str(error)), 422
        waits = typed.one("id") or self._workshop.new_id()
        self.waiting.put(waits, g.asking.form, Taken(picture, taken))
        up = way_up(request.path)
        return redirect(f"{up}job/{at.number}/photo/{quote(key)}?waits={quote(waits, safe='')}", 303)

    def look(self, at: AtWork, key: str) -> "ResponseReturnValue":
        """Show what waits."""
        typed = Typed(request.args)
        taken = self.waiting.get(typed.one("waits"), g.asking.form)
        return _again(at, key, GONE) if taken is None else _look(at, key, typed, taken.picture)

    def keep(self, at: AtWork, key: str) -> "ResponseReturnValue":
        """Do what the form under a photo says."""
        typed = Typed(request.form)
        say, holder = say_of(g.asking, typed), g.asking.form
        taken = self.waiting.get(say.id, holder)
        if typed.one("away"):
            self.waiting.drop(say.id, holder)
            return redirect(f"{way_up(request.path)}job/{at.number}", 303)
        if taken is None:
            before = self._workshop.book.of_act(say.id)  # the same form, sent twice
            return led_on(at.number, before) if before else (_again(at, key, GONE), 422)
        try:
            picture = self._blacked_out(taken.picture, typed)
            keys, say = (key, *typed.every("also")), say._replace(at=taken.at)
            entries = photograph(self._workshop, at.number, keys, picture, typed.one("why"), say)
        except IdUsed:
            return _again(at, key, SENT_BEFORE), 409
        except (NotRead, Refused) as error:
            return _look(at, key, typed, taken.picture, Refused(str(error))), 422
        self.waiting.drop(say.id, holder)
        return led_on(at.number, entries)

    def _blacked_out(self, picture: "Harmless", typed: Typed) -> "Harmless":
        """The photo with the chosen fields black. Raises NotRead."""
        black = read_areas(typed.every("black"))
        if not black:
            return picture
        with self._one_by_one:
            return make_harmless_apart(picture.photo, black)


def _at(workshop: "Workshop", number: str, key: str) -> AtWork:
    """The job, which has work of this key. Raises Refused."""
    at = at_work(workshop, g.asking, number)
    at.item(key)
    return at


def _again(at: AtWork, key: str, says: str) -> str:
    """The screen that takes a photo, with why none is there."""
    return bench_screen(at, Next(ActName.PHOTOGRAPH, key), Typed(request.form), Refused(says))


def _look(at: AtWork, key: str, typed: Typed, picture: "Harmless", refused: Refused | None = None) -> str:
    screen = LookScreen(
        waits=typed.one("waits") or typed.one("id"),
        name=about_key(at.job.procedure, key).text,
        fields=tuple(_fields(*shape_of(picture))),
        others=tuple((item.key, item.name) for item in at.job.procedure.work if item.key != key),
        black=typed.every("black"),
        also=typed.every("also"),
        why=typed.one("why"),
    )
    return bench_page("bench/look_at_photo.html", at, {"screen": screen, "key": key}, refused)


def _fields(width: int, height: int) -> "Iterator[Field]":
    """The fields of a photo, row by row."""
    rows = min(MOST_ROWS, max(1, round(COLUMNS * height / width)))
    for row in range(rows):
        for column in range(COLUMNS):
            ends = (column / COLUMNS, row / rows, (column + 1) / COLUMNS, (row + 1) / rows)
            yield Field(",".join(f"{each:.4f}" for each in ends), f"row {row + 1}, column {column + 1}")
