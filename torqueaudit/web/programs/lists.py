"""The lists that have no page of their own: each is a table here, which is given as data and as CSV too."""

from functools import partial
from typing import TYPE_CHECKING, NamedTuple
from urllib.parse import urlencode

from flask import g, jsonify, render_template, request

from torqueaudit.reports.list_table import cells
from torqueaudit.web.addresses import way_up
from torqueaudit.web.programs.asked import Asked, BadQuery
from torqueaudit.web.programs.routes import ANSWERS
from torqueaudit.web.told import Told, page_of
from torqueaudit.web.wanted import CSV, FORM

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.web.by_token import ByToken
    from torqueaudit.workshop.door.workshop import Workshop


class ListPage(NamedTuple):
    """What stands on the page of a list: its title, its columns, and where the first of them leads."""

    title: str
    columns: tuple[str, ...]
    leads: str = ""


LISTS = {
    "jobs": ListPage("Jobs", ("job", "vehicle", "title", "state", "opened_on", "due_on"), "job/"),
    "rechecks": ListPage("Re-checks that are due", ("job", "vehicle", "tag", "due_on", "says"), "job/"),
    "vehicles": ListPage("Motorcycles by number", ("vehicle", "tag"), "vehicle/"),
    "wrenches": ListPage("Wrenches", ("number", "tag", "state", "why", "reach", "due_on"), "w/"),
    "people": ListPage("People", ("person", "name", "roles", "supervisor", "left_on")),
    "procedures": ListPage("Procedures", ("name", "edition", "title", "read_by")),
    "disclosures": ListPage("Who was shown what is known of whom", ("at", "by", "door", "of", "shown")),
}
CALLED = {"says": "how it stands", "due_on": "due", "at": "on"}  # columns whose keys are no words of a page
AS_DATA = Told("For other programs", "This is given as data alone: write ?as=json behind its address.", 404)


def add_lists(app: "Flask", workshop: "Workshop", by_token: "ByToken") -> None:
    """Add a page for each list. Where data is asked for, it is answered before (`answers.py`)."""
    for name in LISTS:
        app.add_url_rule(f"/{name}", name, partial(_page, workshop, by_token, name), methods=["GET"])

    @app.get("/events")
    def events() -> "ResponseReturnValue":
        """Say that there is no page of it."""
        return page_of(AS_DATA, form=False)

    @app.get("/openapi.json")
    def description() -> "ResponseReturnValue":
        """Describe what is given as data."""
        from torqueaudit.web.programs.description import description as described  # few servers are asked for it

        return jsonify(described())


def _page(workshop: "Workshop", by_token: "ByToken", name: str) -> "ResponseReturnValue":
    answer = ANSWERS[name]
    try:
        query = answer.read(dict(request.args.lists()))
    except BadQuery as error:
        return page_of(Told("Not read", str(error), 400), form=False, back="bench")
    page = LISTS[name]
    rows = answer.ask(Asked(workshop, g.asking, by_token.job, address={}, query=query))
    is_full = bool(rows) and "before" in query and len(rows) == query["most"]
    return render_template(
        "bench/list.html",
        page=page,
        columns=[CALLED.get(column, column.replace("_", " ")) for column in page.columns],
        rows=[list(map(_shown, page.columns, cells(page.columns, row))) for row in rows],
        more=_address(name, before=str(rows[-1][page.columns[0]]).removeprefix("V-")) if is_full else "",
        saved=_address(name, **{FORM: CSV}),
        up=way_up(request.path),
    )


def _address(name: str, **words: str) -> str:
    """The address of a list as it was asked for, but for some words."""
    return f"{name}?{urlencode({**request.args.to_dict(), **words})}"


def _shown(column: str, cell: str) -> str:
    """A day without its hour."""
    return cell[:10] if column.endswith("_on") or column == "at" else cell
