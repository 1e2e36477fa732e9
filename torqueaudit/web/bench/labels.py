"""Labels from the pages: of a job or of a person, as a PDF that opens, or on the printer that the workshop chose."""

from threading import Lock
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple
from urllib.parse import urlencode

from flask import g, make_response, render_template, request

from torqueaudit.model.act import Refused
from torqueaudit.model.listed import listed
from torqueaudit.model.shown.label import LabelFile, LabelStock
from torqueaudit.spooler import NotPrinted, spool
from torqueaudit.web.addresses import way_up
from torqueaudit.web.session import SESSION, keep_choice
from torqueaudit.web.typed import Typed
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.register.printing import (
    NoLabel,
    Offered,
    beside_others,
    has_room,
    label_file,
    label_stocks,
    labels_of,
    not_chosen,
    offered_for_job,
    offered_for_person,
    person_here,
)
from torqueaudit.workshop.signing.sessions import session_of

if TYPE_CHECKING:
    from collections.abc import Container, Iterable, Mapping

    from flask import Flask, Response
    from flask.typing import ResponseReturnValue

    from torqueaudit.web.bench.at_work import AtWork
    from torqueaudit.workshop.door.workshop import Workshop

LONGEST_ECHO = 20  # characters of what an address asked for that are shown again
NO_ROOM = "{} has no room on what is chosen"
TOLD = "told"  # in the address of a PDF of which it was told what it leaves out
OWN = "own"  # on a page, in the place of the path of a stock of the workshop's own
BEFORE = "These labels went to the printer a moment ago; nothing was printed twice."


class Whose(NamedTuple):
    """Whose labels a page prints: the numbers, the address of its page, and the kinds that there are.

    The page tells `says`. Where that is nothing of the labels themselves, since nobody has asked for any yet, they
    `tell` it once they are made. `template` is drawn with what is `shown` besides.
    """

    numbers: tuple[str, ...]
    title: str
    address: str
    offered: list[Offered]
    says: tuple[str, ...] = ()
    tell: bool = False
    template: str = "bench/labels.html"
    shown: "Mapping[str, object]" = MappingProxyType({})


class Line(NamedTuple):
    """One kind of label on the page: its name, how it is named, what it is for; or why it is not printed."""

    name: str
    called: str
    says: str
    remarks: tuple[str, ...] = ()
    at_hand_over: bool = False
    why_not: str = ""


class Tap(NamedTuple):
    """What one tap prints at the hand-over: the kinds, how they are named, and where that leads."""

    says: tuple[str, ...]
    kinds: str
    called: str
    address: str
    stock: str
    printer: str


def add_label_pages(app: "Flask", workshop: "Workshop") -> None:
    """Add the labels of a job, and those of a person for a foreman."""
    desk = Desk(workshop)

    @app.get("/job/<number>/labels")
    def job_labels(number: str) -> "ResponseReturnValue":
        """Show which labels a job has, on which stock, and which ones to take off."""
        return desk.page(_of_job(workshop, number))

    @app.get("/job/<number>/labels.pdf")
    def job_labels_pdf(number: str) -> "ResponseReturnValue":
        """Give labels of a job as a PDF."""
        return desk.pdf(_of_job(workshop, number))

    @app.post("/job/<number>/labels/print")
    def print_job_labels(number: str) -> "ResponseReturnValue":
        """Print labels of a job on the workshop's printer."""
        return desk.printed(_of_job(workshop, number))

    @app.get("/person/<number>/labels")
    def person_label(number: str) -> "ResponseReturnValue":
        """Show the tag of a person, and on which stock."""
        return desk.page(_of_person(workshop, number))

    @app.get("/person/<number>/labels.pdf")
    def person_label_pdf(number: str) -> "ResponseReturnValue":
        """Give the tag of a person as a PDF."""
        return desk.pdf(_of_person(workshop, number))

    @app.post("/person/<number>/labels/print")
    def print_person_label(number: str) -> "ResponseReturnValue":
        """Print the tag of a person on the workshop's printer."""
        return desk.printed(_of_person(workshop, number))


class Desk:
    """Where labels are made, one file after the other: setting one takes a processor for about a second."""

    def __init__(self, workshop: "Workshop") -> None:
        self._workshop = workshop
        self._one_by_one = Lock()

    def page(self, whose: Whose, done: "Iterable[str]" = (), refused: str = "", otherwise: "Iterable[str]" = ()) -> str:
        """What can be printed; `done` says what was printed just now, `refused` why nothing was.

        `otherwise` says what the PDF that was asked for leaves out, before it opens.
        """
        known, name = stocks_of(self._workshop), self._chosen(request.values.get("stock", ""))
        lines = lines_of(whose.offered, name, known)
        pair = [each for each in lines if each.at_hand_over and not each.why_not]
        return render_template(
            whose.template,
            whose=whose,
            lines=lines,
            pair=" ".join(each.name for each in pair) if len(pair) > 1 else "",
            called=listed(each.called for each in pair) if pair else "",
            stocks=known,
            stock=known.get(name),
            printer=self._workshop.settings.label_printer,
            asked=request.args.get("kind", ""),
            done=tuple(done),
            otherwise=tuple(otherwise),
            opens=f"{whose.address}.pdf?{urlencode([*request.args.items(multi=True), (TOLD, 'yes')])}",
            refused=refused,
            act_id=self._workshop.new_id(),
            up=way_up(request.path),
            **whose.shown,
        )

    def pdf(self, whose: Whose) -> "ResponseReturnValue":
        """The labels that an address asks for; the stock stays chosen. What it leaves out is told before."""
        typed = Typed(request.args)
        try:
            with self._one_by_one:
                file = self._made(whose, typed)
        except Refused as refused:
            return self.page(whose, refused=str(refused)), 422
        said = {remark for each in whose.offered if each.content for remark in each.content.remarks}
        otherwise = [each for each in file.says if each not in said]
        if otherwise and not typed.one(TOLD):
            return self.page(whose, otherwise=otherwise)
        return _answer(file, f"{whose.address.replace('/', '-')}.pdf")

    def printed(self, whose: Whose) -> "ResponseReturnValue":
        """Print what a form asks for; one that is sent twice prints once."""
        typed, printer = Typed(request.form), self._workshop.settings.label_printer
        try:
            with self._one_by_one:
                if self._before(typed.one("id")):
                    return self.page(whose, done=(BEFORE,))
                file = self._made(whose, typed)
                answer = spool((file.data,), printer, whose.title)
                keep_choice(self._workshop, printed=typed.one("id"))
        except (Refused, NotPrinted) as refused:
            return self.page(whose, refused=str(refused)), 422
        return self.page(whose, done=(f"{whose.title}: sent to {printer} ({answer})", *file.says))

    def _chosen(self, name: str) -> str:
        """The stock that is asked for, which stays chosen, or else the one that was chosen before."""
        if name not in stocks_of(self._workshop):
            return chosen_stock(self._workshop)
        keep_choice(self._workshop, stock=name)
        return name

    def _made(self, whose: Whose, typed: Typed) -> LabelFile:
        """The file of the kinds that are asked for, whose stock stays chosen. Raises NoLabel."""
        kinds, known = " ".join(typed.every("kind")).split(), [each.kind.name for each in whose.offered]
        strange = next((each for each in kinds if each not in known), "")
        if strange or not kinds or len(kinds) > len(known):
            told = f"{strange[:LONGEST_ECHO]}: no such kind of label" if strange else "nothing was chosen, or too much"
            raise NoLabel(f"{told}; there are {', '.join(known)}")
        asked = typed.one("stock")
        name = self._chosen(asked)
        if not name or asked not in ("", name):
            raise NoLabel("what to print on is not chosen; choose it from the list")
        stock = self._workshop.settings.label_stock if name == OWN else name
        made = [labels_of(self._workshop, kind, whose.numbers, stock) for kind in kinds]
        contents = tuple(content for each in made for content in each.contents)
        file = label_file(self._workshop, contents, stock, start=typed.number("start") or 1)
        before = [str(says) for each in made for says in each.says] if whose.tell else []
        return file._replace(says=(*before, *file.says))

    def _before(self, act_id: str) -> bool:
        """Whether a form was sent before, by this session as it stands now."""
        session = session_of(self._workshop, g.asking.device, request.cookies.get(SESSION, ""))
        return bool(act_id) and session is not None and session.chosen.get("printed") == act_id


def tap_for(at: "AtWork") -> Tap | None:
    """What one tap prints where a vehicle has just left; None where there is nothing to print."""
    workshop, name = at.workshop, chosen_stock(at.workshop)
    offered = [each for each in offered_for_job(workshop, at.view) if each.kind.at_hand_over]
    fitting = [each for each in lines_of(offered, name, stocks_of(workshop)) if not each.why_not]
    if not fitting:
        return None
    return Tap(
        says=(
            *(str(each) for each in beside_others(workshop, at.view)),
            *_lacking(workshop, offered),
            *(remark for each in fitting for remark in each.remarks),
        ),
        kinds=" ".join(each.name for each in fitting),
        called=listed(each.called for each in fitting),
        address=f"job/{at.number}/labels",
        stock=name,
        printer=workshop.settings.label_printer,
    )


def lines_of(offered: list[Offered], stock: str, known: "Container[str]") -> tuple[Line, ...]:
    """Each kind of label with what whoever prints it has to know; `stock` is the one that is chosen, "" for none."""
    return tuple(
        Line(
            name=kind.name,
            called=kind.named,
            says=kind.says,
            remarks=content.remarks if content else (),
            at_hand_over=kind.at_hand_over,
            why_not=why_not
            or ("" if not stock or stock == OWN or has_room(kind, stock, known) else NO_ROOM.format(kind.named)),
        )
        for kind, content, why_not in offered
    )


def stocks_of(workshop: "Workshop") -> dict[str, LabelStock]:
    """What labels can be printed on, by a name that is no path: the workshop's own file of a stock is among them."""
    known = label_stocks(workshop)[0]
    own = workshop.settings.label_stock
    if not own or own in known:
        return known
    return {OWN: LabelStock(OWN, "the stock of the workshop's own file", per_page=0), **known}


def chosen_stock(workshop: "Workshop") -> str:
    """The stock that was chosen last in this session, else the workshop's; "" where none is, or it is there no more."""
    known, workshops = stocks_of(workshop), workshop.settings.label_stock
    wanted = (g.asking.chosen.get("stock", ""), workshops, OWN)
    return next((name for name in wanted if name in known), "")


def _of_job(workshop: "Workshop", number: str) -> Whose:
    view = show_job(workshop, number)
    offered = offered_for_job(workshop, view)
    says = [str(each) for each in beside_others(workshop, view)]
    return Whose(
        numbers=(view.number,),
        title=f"Labels of job {view.number}, {view.vehicle_tag}",
        address=f"job/{view.number}/labels",
        offered=offered,
        says=(*says, *_lacking(workshop, offered)),
    )


def _of_person(workshop: "Workshop", number: str) -> Whose:
    own, offered = person_here(workshop, number), offered_for_person(workshop, number)
    return Whose(
        numbers=(own,),
        title=f"Tag of {own}",
        address=f"person/{own}/labels",
        offered=offered,
        says=_lacking(workshop, offered),
    )


def _lacking(workshop: "Workshop", offered: list[Offered]) -> tuple[str, ...]:
    """What the workshop has not chosen, in sentences, each once."""
    found = (each for one in offered if one.content for each in not_chosen(workshop, one.kind))
    return tuple(dict.fromkeys(f"{each}." for each in found))


def _answer(file: LabelFile, name: str) -> "Response":
    response = make_response(file.data)
    response.headers["Content-Type"] = "application/pdf"
    response.headers["Content-Disposition"] = f'inline; filename="{name}"'
    return response
