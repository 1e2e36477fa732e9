"""One wrench of the office: what is known of it, and everything that is told of it but its calibration."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from torqueaudit.model.act import Say
from torqueaudit.model.wrench.acts import WrenchChange
from torqueaudit.model.wrench.words import facts_of, scale_text
from torqueaudit.read.day import read_day, read_hour
from torqueaudit.read.number import read_wrench_number
from torqueaudit.read.wrench import read_class, read_lever
from torqueaudit.web.office.told import Sent, TellOf, at_field, entry_asked, page_of_office, told
from torqueaudit.web.office.wrenches import ISO_CLASSES, KINDS, MADE, SIDES
from torqueaudit.web.typed import Typed
from torqueaudit.workshop.wrenches.calibrations import CALIBRATED, CHECKED, WrenchLook, look_of
from torqueaudit.workshop.wrenches.corrections import change_wrench
from torqueaudit.workshop.wrenches.hours import time_look
from torqueaudit.workshop.wrenches.strikes import strike_of_wrench
from torqueaudit.workshop.wrenches.uses import together
from torqueaudit.workshop.wrenches.view import IN_USE, show_wrench
from torqueaudit.workshop.wrenches.wrench import (
    DROPPED,
    OVERLOADED,
    estimate_use,
    mishandle,
    remark_on,
    require_wrench,
    withdraw_wrench,
)

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.model.wrench.wrench import Wrench
    from torqueaudit.workshop.door.workshop import Workshop

ASIDE = {
    DROPPED: "It was dropped",
    OVERLOADED: "It was overloaded",
    "withdrawn": "Something else is wrong with it",
}


def add_one_wrench(app: "Flask", workshop: "Workshop") -> None:
    """Add the page of one wrench."""

    @app.get("/office/wrench/<number>")
    def office_wrench(number: str) -> str:
        """Show a wrench, and what a look at it has made of it where the address names one."""
        return wrench_page(workshop, read_wrench_number(number))

    @app.post("/office/wrench/<number>")
    def office_wrench_told(number: str) -> "ResponseReturnValue":
        """Record what a form tells of a wrench."""
        own = read_wrench_number(number)
        return told(workshop, f"wrench/{own}", TELLS, wrench_page, workshop, own)


def wrench_page(workshop: "Workshop", own: str, sent: Sent | None = None) -> str:
    """The page of a wrench. Raises Refused where there is none of that number."""
    view, wrench = show_wrench(workshop, own), require_wrench(workshop, own)
    struck = {each.entry for each in wrench.struck}
    entries = {str(event.entry): f"{event.on} {event.what}: {event.says}" for event in view.history}
    return page_of_office(
        workshop,
        "wrench.html",
        sent,
        subject=f"wrench/{own}",
        wrench=view,
        facts=facts_of(wrench),
        good=view.state == IN_USE,
        look=_look(workshop, own),
        remark=remark_on(workshop, own),
        now=shown_now(wrench),
        entries=entries,
        strikable={entry: says for entry, says in entries.items() if int(entry) not in struck},
        together=together,
        aside=ASIDE,
        kinds=KINDS,
        sides=SIDES,
        made=MADE,
        classes=ISO_CLASSES,
        today=workshop.today(),
    )


def _look(workshop: "Workshop", own: str) -> WrenchLook | None:
    """What the look made of it that the address names; None for what is none."""
    entry = entry_asked(workshop, f"wrench/{own}", "look", CALIBRATED, CHECKED)
    return look_of(workshop, own, entry) if entry else None


def shown_now(wrench: "Wrench") -> dict[str, str]:
    """What a form shows of a wrench as it is, by field; what stands there unchanged is not told anew."""
    ends = (wrench.min_nm, wrench.max_nm)
    lowest, highest = ("" if each is None else scale_text(wrench, each) for each in ends)
    scales = [f"{each.division:f} {each.unit}" for each in wrench.scales]
    return {
        "tag": wrench.tag,
        "kind": wrench.kind,
        "lowest": lowest,
        "highest": highest,
        "scale": scales[0] if scales else "",
        "second": scales[1] if len(scales) > 1 else "",
        "lever": wrench.lever_text,
        "direction": wrench.direction if wrench.direction_stated else "",
        "construction": wrench.construction,
        "class": wrench.iso_class,
        "owner": wrench.owner,
    }


def _put_right(workshop: "Workshop", own: str, typed: Typed, say: Say) -> str:
    shown = shown_now(require_wrench(workshop, own))
    new: dict[str, Any] = {name: other for name in shown if (other := typed.other(name))}
    with at_field("lever"):
        lever = read_lever(new["lever"]) if "lever" in new else None
    with at_field("class"):
        iso_class = read_class(new["class"]) if "class" in new else ""
    ends, scales = new.keys() & {"lowest", "highest"}, new.keys() & {"scale", "second"}
    change = WrenchChange(
        kind=new.get("kind", ""),
        tag=new.get("tag", ""),
        lowest=typed.one("lowest") if ends else "",
        highest=typed.one("highest") if ends else "",
        lever_mm=lever.value if lever else None,
        lever_expanded_mm=lever.expanded if lever else None,
        construction=new.get("construction", ""),
        iso_class=iso_class,
        direction=new.get("direction", ""),
        scales=tuple(filter(None, (typed.one("scale"), typed.one("second")))) if scales else (),
        owner=new.get("owner", ""),
    )
    change_wrench(workshop, own, change, say)
    return _page_of(own)


def _aside(workshop: "Workshop", own: str, typed: Typed, say: Say) -> str:
    what, why = typed.chosen("what", ASIDE), typed.one("why")
    if what in (DROPPED, OVERLOADED):
        mishandle(workshop, own, what, why, say)
    else:
        withdraw_wrench(workshop, own, why, say)
    return _page_of(own)


def _estimated(workshop: "Workshop", own: str, typed: Typed, say: Say) -> str:
    with at_field("on"):
        day = read_day(typed.one("on"))
    estimate_use(workshop, own, typed.number("cycles"), typed.one("why"), day, say)
    return _page_of(own)


def _timed(workshop: "Workshop", own: str, typed: Typed, say: Say) -> str:
    with at_field("hour"):
        hour = read_hour(typed.one("hour"))
    time_look(workshop, own, typed.number("entry"), hour, say)
    return _page_of(own)


def _struck(workshop: "Workshop", own: str, typed: Typed, say: Say) -> str:
    strike_of_wrench(workshop, own, typed.number("entry"), typed.one("why"), say)
    return _page_of(own)


def _page_of(own: str) -> str:
    return f"office/wrench/{own}"


TELLS: Mapping[str, TellOf] = {
    "put-right": _put_right,
    "aside": _aside,
    "estimate": _estimated,
    "hour": _timed,
    "strike": _struck,
}
