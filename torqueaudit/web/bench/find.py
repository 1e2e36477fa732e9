"""The page that finds anything by words, and the field of it on every page of whoever works here."""

from typing import TYPE_CHECKING

from flask import g, redirect, render_template, request

from torqueaudit.model.act import Came, Refused, Say
from torqueaudit.web.addresses import way_up
from torqueaudit.workshop.search.find import find

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.model.shown.found import Found, Hit
    from torqueaudit.workshop.door.workshop import Workshop

NAMING = ("number", "label")  # the fields that name one thing alone


def add_find_page(app: "Flask", workshop: "Workshop") -> None:
    """Add the page that finds."""

    @app.get("/find")
    def find_page() -> "ResponseReturnValue":
        """Show what was found and why, or lead there where only one motorcycle or one number can be meant."""
        typed = request.args.get("find", "").strip()
        if not typed:
            return _page(workshop, typed)
        say = Say(g.asking.person, came=Came("page", "PIN", g.asking.device))
        try:
            found = find(workshop, typed, say)
        except Refused as refused:
            return _page(workshop, typed, refused=refused.says), 422
        if straight := _straight(found):
            return redirect(straight, 303)
        return _page(workshop, typed, found)


def _page(workshop: "Workshop", typed: str, found: "Found | None" = None, refused: str = "") -> str:
    return render_template(
        "bench/find.html",
        typed=typed,
        found=found,
        refused=refused,
        address=address_of,
        demo=workshop.settings.demo,
        up=way_up(request.path),
    )


def address_of(hit: "Hit") -> str:
    """The page of something that was found; "" where it has none."""
    match hit.noun:
        case "job":
            return f"job/{hit.number}"
        case "vehicle":
            return f"vehicle/{hit.number}"
        case "wrench":
            return f"w/{hit.number}"
        case _:
            return ""


def _straight(found: "Found") -> str:
    """The page of the only motorcycle, or of what one number or label names; "" where more may be meant."""
    hits = [hit for hit in found.hits if address_of(hit)]
    if found.more or len(hits) != 1:
        return ""
    (hit,) = hits
    if hit.noun == "job" and [why.field for why in hit.whys] == ["label"]:
        return f"vehicle/{hit.vehicle}"
    named = hit.noun == "vehicle" or all(why.field in NAMING for why in hit.whys)
    return address_of(hit) if named else ""
