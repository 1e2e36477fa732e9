"""Labels from the office: of jobs, motorcycles, wrenches and people, several in one file."""

import re
from typing import TYPE_CHECKING

from flask import request

from torqueaudit.model.act import Refused
from torqueaudit.model.shown.label import LabelKind
from torqueaudit.read.number import read_vehicle_number
from torqueaudit.web.bench.labels import Desk, Whose
from torqueaudit.web.typed import Typed
from torqueaudit.workshop.door.lists import people
from torqueaudit.workshop.register.printing import NoLabel, Offered, job_of_vehicle, label_kinds
from torqueaudit.workshop.wrenches.wrench import wrenches

if TYPE_CHECKING:
    from collections.abc import Callable

    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.workshop.door.workshop import Workshop

MOST = 60  # labels of one file here: setting them takes a processor while everybody else waits
FIELDS = ("job", "wrench", "person")  # each a noun of which there are labels
NOBODY = "say whose label: a job, a motorcycle, a wrench or a person"


def add_office_labels(app: "Flask", workshop: "Workshop") -> None:
    """Add the page on which labels of anything are printed."""
    desk = Desk(workshop)

    @app.get("/office/labels")
    def office_labels() -> str:
        """Show whose labels can be printed, and on what."""
        return desk.page(_whose(workshop))

    @app.get("/office/labels.pdf")
    def office_labels_pdf() -> "ResponseReturnValue":
        """Give labels as a PDF."""
        return _given(workshop, desk, Typed(request.args), desk.pdf)

    @app.post("/office/labels/print")
    def print_office_labels() -> "ResponseReturnValue":
        """Print labels on the workshop's printer."""
        return _given(workshop, desk, Typed(request.form), desk.printed)


def _given(
    workshop: "Workshop", desk: Desk, typed: Typed, give: "Callable[[Whose], ResponseReturnValue]"
) -> "ResponseReturnValue":
    """Give the labels that a form asks for, or say why not."""
    try:
        whose = _asked(workshop, typed)
    except Refused as refused:
        return desk.page(_whose(workshop), refused=str(refused)), 422
    return give(whose)


def _whose(workshop: "Workshop", numbers: tuple[str, ...] = ()) -> Whose:
    """The page of labels of anything, and the numbers of those that are asked for."""
    offered = [Offered(kind, None) for kind in label_kinds(workshop)[0].values()]
    return Whose(
        numbers=numbers,
        title="Labels",
        address="office/labels",
        offered=offered,
        tell=True,
        template="office/labels.html",
        shown={
            "typed": Typed(request.values),
            "of": {noun: [each.kind for each in offered if _noun(each.kind) == noun] for noun in FIELDS},
            "wrenches": [(each.number, each.tag) for each in wrenches(workshop)],
            "people": [(each.number, name) for each, name in people(workshop) if not each.left],
        },
    )


def _asked(workshop: "Workshop", typed: Typed) -> Whose:
    """Whose labels a form asks for. Raises Refused."""
    kind = label_kinds(workshop)[0].get(typed.one("kind"))
    if kind is None:
        raise NoLabel("choose what is printed")
    numbers = tuple(dict.fromkeys(_numbers(workshop, _noun(kind), typed)))
    if not numbers:
        raise NoLabel(NOBODY)
    if len(numbers) > MOST:
        raise NoLabel(f"{len(numbers)} labels: at most {MOST} are printed here at once; print them in parts")
    return _whose(workshop, numbers)


def _numbers(workshop: "Workshop", noun: str, typed: Typed) -> list[str]:
    """What was chosen of a noun; of a motorcycle its newest job."""
    if noun != "job":
        return list(typed.every(noun))
    told = [each for each in re.split(r"[\s,;]+", typed.one(noun)) if each]
    return [_job(workshop, each) for each in told]


def _job(workshop: "Workshop", written: str) -> str:
    vehicle = read_vehicle_number(written)
    return job_of_vehicle(workshop, vehicle) if vehicle.startswith("V-") else written.removeprefix("#")


def _noun(kind: LabelKind) -> str:
    return "wrench" if kind.of_wrench else "person" if kind.of_person else "job"
