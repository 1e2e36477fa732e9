"""The application: a book kept open, its pages, and what every answer carries."""

from collections.abc import Callable, Iterable
from contextlib import ExitStack
from datetime import datetime
from random import Random
from threading import Lock
from typing import TYPE_CHECKING, Any, Self

from flask import Flask
from markupsafe import Markup

from torqueaudit.book.address import Place
from torqueaudit.model.judged.sentences import whole_sentence, with_capital
from torqueaudit.model.shown.job import SIGNATURE
from torqueaudit.model.shown.label import JOB, base_of, bases_of
from torqueaudit.plugins import Plugins
from torqueaudit.reports.chart import draw
from torqueaudit.web.access import opens
from torqueaudit.web.addresses import AnyCase, below_of, hosts_of
from torqueaudit.web.authority_page import add_authority_page
from torqueaudit.web.bench.find import add_find_page
from torqueaudit.web.bench.job_then import add_job_then
from torqueaudit.web.bench.labels import add_label_pages
from torqueaudit.web.bench.life import add_life_page
from torqueaudit.web.bench.motorcycles import add_motorcycle_pages
from torqueaudit.web.bench.owner_card import add_owner_card
from torqueaudit.web.bench.pages import add_bench_pages
from torqueaudit.web.bench.paper_record import add_paper_record
from torqueaudit.web.bench.photo_page import add_photo_pages
from torqueaudit.web.bench.photographing import add_work_photo_pages
from torqueaudit.web.bench.scanned_lot import add_lot_page
from torqueaudit.web.bench.signed import add_signed_pages
from torqueaudit.web.bench.today import add_today_page
from torqueaudit.web.bodies import MOST_FORM
from torqueaudit.web.by_token import ByToken
from torqueaudit.web.devices import add_device_pages
from torqueaudit.web.guard import add_guard
from torqueaudit.web.inline import written_script, written_style
from torqueaudit.web.kept_photos import add_kept_photos
from torqueaudit.web.office.calibration import add_calibration_pages
from torqueaudit.web.office.home import add_office
from torqueaudit.web.office.labels import add_office_labels
from torqueaudit.web.office.motorcycles import add_motorcycle_office
from torqueaudit.web.office.new_motorcycle import add_new_motorcycle
from torqueaudit.web.office.people import add_people_list
from torqueaudit.web.office.person import add_one_person
from torqueaudit.web.office.procedures.pages import add_procedure_pages
from torqueaudit.web.office.settings import add_settings_pages
from torqueaudit.web.office.wrench import add_one_wrench
from torqueaudit.web.office.wrenches import add_wrench_list
from torqueaudit.web.owner_forms import add_owner_forms
from torqueaudit.web.owner_page import add_owner_pages
from torqueaudit.web.pages import add_pages
from torqueaudit.web.photos import add_photo_page
from torqueaudit.web.procedure_pictures import add_procedure_pictures
from torqueaudit.web.programs.answers import add_answers
from torqueaudit.web.programs.lists import add_lists
from torqueaudit.web.programs.page import add_program_pages
from torqueaudit.web.queue import add_queue
from torqueaudit.web.session import add_form_guard, add_session
from torqueaudit.web.signing import add_admission_pages, add_own_pages, add_signing_pages
from torqueaudit.web.stop_page import add_stop_page
from torqueaudit.web.trouble import add_sentences, add_trouble_pages
from torqueaudit.web.wrench_page import add_wrench_page
from torqueaudit.workshop.opening import keep_works, now, open_workshop

if TYPE_CHECKING:
    from torqueaudit.workshop.door.workshop import Workshop

RECORD = ("card.css", "record.css")  # of the workshop's own pages; an owner's phone loads no more than it needs


class RecordServer(Flask):
    """The pages of one book. `workshop` serves every thread; its book gives each a connection of its own.

    Close it once no request is under way, or use it in a `with` statement. One for owners alone has no address of
    anything that they do not open.
    """

    def __init__(self, workshop: "Workshop", open_until: ExitStack, *, owner_only: bool = False) -> None:
        self.owner_only = owner_only
        super().__init__("torqueaudit.web", static_folder=None)
        self.workshop = workshop
        self._open_until = open_until

    def add_url_rule(
        self, rule: str, endpoint: str | None = None, view_func: Any = None, *args: Any, **options: Any
    ) -> None:
        """Add an address, where whoever asks here may open it."""
        if not self.owner_only or opens("owner", endpoint or view_func.__name__):
            super().add_url_rule(rule, endpoint, view_func, *args, **options)

    def close(self) -> None:
        """Close the book."""
        self._open_until.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *error: object) -> None:
        self.close()


def create_app(
    place: Place,
    clock: Callable[[], datetime] = now,
    chance: Random | None = None,
    plugins: Plugins | None = None,
    trusted_hosts: Iterable[str] | None = None,
    *,
    owner_only: bool = False,
) -> RecordServer:
    """Open a book and make its pages. Raises BookError with a sentence.

    `trusted_hosts` are the names this server answers to; by default the hosts of the book's base addresses, as they
    stand now, and this machine's own. A name with a colon in it (IPv6) is never matched.
    With `owner_only` nothing but the owner's pages is there, at the labels' address.
    """
    with ExitStack() as opening:
        workshop = opening.enter_context(open_workshop(place, clock=clock, chance=chance, plugins=plugins))
        keep_works(workshop)
        bases = [base_of(workshop.settings, JOB)] if owner_only else bases_of(workshop.settings)
        style, fields = written_style(*RECORD), written_style(*RECORD, "fields.css")
        app = RecordServer(workshop, opening.pop_all(), owner_only=owner_only)
    app.config["TRUSTED_HOSTS"] = list(hosts_of(bases) if trusted_hosts is None else trusted_hosts)
    app.config["MAX_CONTENT_LENGTH"] = MOST_FORM
    app.jinja_options = {**app.jinja_options, "trim_blocks": True, "lstrip_blocks": True}
    app.jinja_env.filters.update(capital=with_capital, sentence=whole_sentence)
    app.jinja_env.globals.update(style=Markup(style), fields_style=Markup(fields))  # noqa: S704  # own files
    owners = written_style("card.css", "fields.css", "owner.css")
    app.jinja_env.globals.update(owner_style=Markup(owners))  # noqa: S704  # own files
    app.jinja_env.globals.update(site=workshop.book.site, draw=draw, signature=SIGNATURE)
    _add_all_pages(app, workshop)
    add_queue(app, written_script("worker.js"))
    sheet = written_style(*RECORD, "fields.css", "bench.css")
    add_guard(app, (style, fields, owners), sheet, written_script("bench.js"))
    app.wsgi_app = AnyCase(app.wsgi_app, map(below_of, bases))  # type: ignore[method-assign]  # how Flask takes a layer
    return app


def _add_all_pages(app: RecordServer, workshop: "Workshop") -> None:
    """Add who may open what first, then the pages, then what is said where there is none."""
    add_session(app, workshop, owner_only=app.owner_only)
    by_token = ByToken(workshop)
    add_pages(app, workshop, by_token)
    add_owner_pages(app, workshop, by_token)
    add_owner_forms(app, workshop, by_token)
    add_stop_page(app, workshop)
    add_signing_pages(app, workshop)
    add_own_pages(app, workshop)
    add_admission_pages(app, workshop)
    add_device_pages(app, workshop)
    add_bench_pages(app, workshop)
    add_label_pages(app, workshop)
    add_paper_record(app, workshop)
    add_job_then(app, workshop)
    add_motorcycle_pages(app, workshop)
    add_life_page(app, workshop)
    add_today_page(app, workshop)
    add_signed_pages(app, workshop)
    add_find_page(app, workshop)
    add_owner_card(app, workshop)
    _add_office_pages(app, workshop)
    one_by_one = Lock()  # the process that reads a photo may take half the memory that there is for all
    add_photo_page(app, workshop, one_by_one)
    add_work_photo_pages(app, workshop, one_by_one)
    add_lot_page(app, workshop, one_by_one)
    add_kept_photos(app, workshop)
    add_photo_pages(app, workshop)
    add_procedure_pictures(app, workshop)
    add_wrench_page(app, workshop)
    add_authority_page(app, workshop)
    add_lists(app, workshop, by_token)
    add_program_pages(app, workshop)
    add_trouble_pages(app, workshop)
    add_form_guard(app)
    add_answers(app, workshop, by_token)
    add_sentences(app, workshop)


def _add_office_pages(app: RecordServer, workshop: "Workshop") -> None:
    """Add what a foreman keeps."""
    add_office(app, workshop)
    add_people_list(app, workshop)
    add_one_person(app, workshop)
    add_wrench_list(app, workshop)
    add_one_wrench(app, workshop)
    add_calibration_pages(app, workshop)
    add_settings_pages(app, workshop)
    add_office_labels(app, workshop)
    add_motorcycle_office(app, workshop)
    add_new_motorcycle(app, workshop)
    add_procedure_pages(app, workshop)
