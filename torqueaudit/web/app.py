"""The application: a book kept open, its pages, and what every answer carries."""

import base64
from collections.abc import Callable, Iterable
from contextlib import ExitStack
from datetime import datetime
from hashlib import sha256
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING, Self

from flask import Flask, Response
from markupsafe import Markup

from torqueaudit.plugins import Plugins
from torqueaudit.web.addresses import AnyCase, below_of, hosts_of
from torqueaudit.web.bodies import MOST_FORM
from torqueaudit.web.chart import draw
from torqueaudit.web.pages import add_pages
from torqueaudit.web.photos import add_photo_page
from torqueaudit.web.trouble import add_trouble_pages
from torqueaudit.web.wrench_page import add_wrench_page
from torqueaudit.workshop.opening import now, open_workshop

if TYPE_CHECKING:
    from torqueaudit.workshop.door.workshop import Workshop

STYLE = Path(__file__).with_name("templates") / "card.css"


class RecordServer(Flask):
    """The pages of one book. `workshop` serves every thread; its book gives each a connection of its own.

    Close it once no request is under way, or use it in a `with` statement.
    """

    def __init__(self, workshop: "Workshop", open_until: ExitStack) -> None:
        super().__init__("torqueaudit.web", static_folder=None)
        self.workshop = workshop
        self._open_until = open_until

    def close(self) -> None:
        """Close the book."""
        self._open_until.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *error: object) -> None:
        self.close()


def create_app(
    path: Path,
    clock: Callable[[], datetime] = now,
    chance: Random | None = None,
    plugins: Plugins | None = None,
    trusted_hosts: Iterable[str] | None = None,
) -> RecordServer:
    """Open a book and make its pages. Raises BookError with a sentence.

    `trusted_hosts` are the names this server answers to; by default the host of the book's base address, as it stands
    now, and this machine's own. A name with a colon in it (IPv6) is never matched.
    """
    with ExitStack() as opening:
        workshop = opening.enter_context(open_workshop(path, clock=clock, chance=chance, plugins=plugins))
        base = workshop.settings.base_address
        style = " ".join(STYLE.read_text(encoding="utf-8").split())
        app = RecordServer(workshop, opening.pop_all())
    app.config["TRUSTED_HOSTS"] = list(hosts_of(base) if trusted_hosts is None else trusted_hosts)
    app.config["MAX_CONTENT_LENGTH"] = MOST_FORM
    app.jinja_options = {**app.jinja_options, "trim_blocks": True, "lstrip_blocks": True}
    app.jinja_env.globals.update(style=Markup(style), base_address=base, site=workshop.book.site, draw=draw)  # noqa: S704  # own file
    add_pages(app, workshop)
    add_photo_page(app, workshop)
    add_wrench_page(app, workshop)
    add_trouble_pages(app, workshop)
    app.after_request(_guarded(style))
    app.wsgi_app = AnyCase(app.wsgi_app, below_of(base))  # type: ignore[method-assign]  # how Flask takes a layer
    return app


def _guarded(style: str) -> Callable[[Response], Response]:
    """Make the last touch of every answer: nothing is loaded, run, framed, guessed at, kept or indexed."""
    digest = base64.b64encode(sha256(style.encode()).digest()).decode()
    policy = (
        f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
    )
    fixed = {
        "Content-Security-Policy": policy,
        "Referrer-Policy": "same-origin",
        "X-Content-Type-Options": "nosniff",
        "X-Robots-Tag": "noindex, nofollow",
        "Cache-Control": "no-store",
    }

    def guard(response: Response) -> Response:
        response.headers.update(fixed)
        return response

    return guard
