"""The page that finds anything by words, and the field of it on every page of whoever works here."""

from typing import TYPE_CHECKING

from flask import g, redirect, render_template, request

from torqueaudit.model.act import Came, Refused, Say
from torqueaudit.model.nearest import letters_of
from torqueaudit.web.access import opens
from torqueaudit.web.addresses import way_up
from torqueaudit.workshop.search.find import find

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.model.shown.found import Found, Hit, Why
    from torqueaudit.workshop.door.workshop import Workshop

NAMING = ("number", "label")  # the fields that name one thing alone, by a part of them
WHOLE = ("plate", "frame number", "tag")  # and those that name one motorcycle where all of it was typed


def add_find_page(app: "Flask", workshop: "Workshop") -> None:
    """Add the page that finds."""

    @app.get("/find")
    def find_page() -> "ResponseReturnValue":
        """Show what was found and why, or lead there where that was named whole, so that nobody asks why."""
        typed = request.args.get("find", "").strip()
        if not typed:
            return _page(typed)
        say = Say(g.asking.person, came=Came("page", "PIN", g.asking.device))
        try:
            found = find(workshop, typed, say)
        except Refused as refused:
            return _page(typed, refused=refused.says), 422
        if straight := _straight(found):
            return redirect(straight, 303)
        return _page(typed, found)


def _page(typed: str, found: "Found | None" = None, refused: str = "") -> str:
    return render_template(
        "bench/find.html",
        typed=typed,
        found=found,
        refused=refused,
        address=address_of,
        up=way_up(request.path),
    )


def address_of(hit: "Hit") -> str:
    """The page of something that was found; "" where it has none that whoever asks may open."""
    match hit.noun:
        case "job":
            return f"job/{hit.number}"
        case "vehicle":
            return f"vehicle/{hit.number}"
        case "wrench":
            return f"w/{hit.number}"
        case "person" if opens(g.asking.reach, "office_person"):
            return f"office/person/{hit.number}"
        case "device" | "program" if opens(g.asking.reach, f"{hit.noun}s"):
            return f"{hit.noun}s"
        case _:
            return ""


def _straight(found: "Found") -> str:
    """The page of the only thing that was found, where what was typed names it; "" where more may be meant."""
    hits = [hit for hit in found.hits if address_of(hit)]
    if found.more or len(hits) != 1:
        return ""
    (hit,) = hits
    if hit.noun == "job" and [why.field for why in hit.whys] == ["label"]:
        return f"vehicle/{hit.vehicle}"
    return address_of(hit) if all(_names(why, found.typed) for why in hit.whys) else ""


def _names(why: "Why", typed: str) -> bool:
    """Whether what was typed names what was found for this reason."""
    return why.field in NAMING or (why.field in WHOLE and letters_of(why.says) == letters_of(typed))
