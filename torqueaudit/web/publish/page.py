"""The owner's page as a file: it says from which day on what holds, and shows by the reader's clock what holds now.

What it says is the owner's page of each of these days, by the template of the page that is served. Without a script all
of it is read in words, so that it is never wrong when it is old. Its forms are links that open the owner's mail.
"""

import base64
from collections.abc import Sequence
from datetime import datetime
from hashlib import sha256
from typing import TYPE_CHECKING

from torqueaudit.model.register.settings import Settings
from torqueaudit.model.shown.label import JOB, WRENCH, base_of, record_address
from torqueaudit.model.shown.owner import OwnerView, call_of, day_text
from torqueaudit.web.inline import TEMPLATES, written_script, written_style
from torqueaudit.web.owner_page import OwnerPage
from torqueaudit.web.publish.answers import answers
from torqueaudit.web.publish.stages import back_of, first_day, ride_of, stages

if TYPE_CHECKING:
    from jinja2 import Environment

TEXTS = ("card.html", "owner_parts.html", "published.html", "published_head.html", "published_nothing.html")
STYLES = ("card.css", "owner.css")


class Pages:
    """Makes the pages of one workshop."""

    def __init__(self, settings: Settings, site: str) -> None:
        self._settings = settings
        self._site = site
        self._style, self._script = written_style(*STYLES), written_script("published.js")
        self._templates = _templates()

    def page(self, pages: Sequence[OwnerPage], written: datetime) -> bytes:
        """The page of a label: what it says today, and on later days in their order."""
        rides, first = stages(pages, ride_of), pages[0]
        return self._made(
            "published.html",
            written,
            page=first,
            view=first.view,
            rides=rides,
            backs=stages(pages, back_of),
            answers=answers(first, record_address(self._settings, JOB, first.view.token), self._settings.mail_address),
            stop_from=first_day(rides, "stop"),
            good_until=first_day(rides, "caution", "stop"),
            record=self._record(first.view),
        )

    def nothing(self, written: datetime) -> bytes:
        """The page of a label that is not shown any more, and of the folder itself."""
        telephone = self._settings.telephone
        return self._made(
            "published_nothing.html", written, site=self._site, telephone=telephone, call=call_of(telephone)
        )

    @property
    def made_of(self) -> str:
        """Whatever all pages are made of, apart from what the book says."""
        return "\n".join((self._style, self._script, *(_text(name) for name in TEXTS)))

    def _made(self, template: str, written: datetime, **said: object) -> bytes:
        day = written.astimezone(self._settings.timezone).date()
        text = self._templates.get_template(template).render(
            written=day_text(day), owner_style=self._style, script=self._script, policy=self._policy(), **said
        )
        return text.encode()

    def _policy(self) -> str:
        """Nothing is loaded or sent; this style and this script alone are taken (Content Security Policy, level 3)."""
        style, script = (_digest(each) for each in (self._style, self._script))
        return f"default-src 'none'; style-src {style}; script-src {script}; base-uri 'none'; form-action 'none'"

    def _record(self, view: OwnerView) -> str:
        """The workshop's record, for whoever scans the label there; "" where no address of its own was chosen."""
        own, labels = base_of(self._settings, WRENCH), base_of(self._settings, JOB)
        return f"{own}/{JOB}/{view.token}/record" if own != labels else ""


def _text(name: str) -> str:
    return (TEMPLATES / name).read_text(encoding="utf-8")


def _digest(text: str) -> str:
    return f"'sha256-{base64.b64encode(sha256(text.encode()).digest()).decode()}'"


def _templates() -> "Environment":
    from jinja2 import Environment, FileSystemLoader, StrictUndefined
    from markupsafe import Markup

    templates = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    templates.filters["own"] = Markup  # a style sheet or a script of this room
    return templates
