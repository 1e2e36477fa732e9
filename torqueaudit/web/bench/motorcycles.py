"""The first page of whoever is signed in, and the page of one motorcycle: what is open, and new work."""

from functools import partial
from typing import TYPE_CHECKING, NamedTuple

from flask import g, redirect, render_template, request
from werkzeug.datastructures import MultiDict

from torqueaudit.book import queries
from torqueaudit.model.act import Refused
from torqueaudit.model.job.acts import Opening
from torqueaudit.model.judged.next import Next
from torqueaudit.model.judged.sentences import together
from torqueaudit.model.recheck.state import WAITING, RecheckState
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.shown.fastener_lines import fastener_lines
from torqueaudit.model.shown.recheck import waits_words
from torqueaudit.model.vehicle.instrument import Instrument
from torqueaudit.read.number import read_vehicle_number
from torqueaudit.web.addresses import way_up
from torqueaudit.web.bench.odometer import read_typed_exchange, read_typed_run
from torqueaudit.web.bench.ticks import ticks_of
from torqueaudit.web.bench.walk import address_of
from torqueaudit.web.forms import say_of
from torqueaudit.web.kept_pages import fresh_id, kept_page
from torqueaudit.web.typed import Typed
from torqueaudit.workshop.jobs.fitting import procedures_for
from torqueaudit.workshop.jobs.job import open_job
from torqueaudit.workshop.night.heartbeat import heartbeat
from torqueaudit.workshop.vehicles.exchange import exchange_instrument
from torqueaudit.workshop.vehicles.present import vehicle_view
from torqueaudit.workshop.vehicles.visits import arrive

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.model.act import Say
    from torqueaudit.model.shown.recheck import RecheckView
    from torqueaudit.model.shown.vehicle import VehicleView
    from torqueaudit.workshop.door.workshop import Workshop

TOLD = (*WAITING, RecheckState.REFERRED, RecheckState.REFUSED)
AGREED = {
    ActName.POSTPONE_RECHECK: "Put it off",
    ActName.REFUSE_RECHECK: "The owner does not want it",
    ActName.REFER_RECHECK: "Another workshop does it",
}
# What a new instrument may be, as it is chosen.
INSTRUMENTS = {kind: kind.says for kind in Instrument}


class Motorcycle(NamedTuple):
    """One motorcycle with what is open on it, in a line for each job."""

    number: str
    tag: str
    jobs: tuple[str, ...]


class Waits(NamedTuple):
    """A re-check that is not done: how it stands, and where else something is agreed about it, as (address, words)."""

    says: str
    links: tuple[tuple[str, str], ...]


class OpenWork(NamedTuple):
    """One job on a motorcycle that is not over: where to go on, and what comes next."""

    number: str
    title: str
    next: str


def add_motorcycle_pages(app: "Flask", workshop: "Workshop") -> None:
    """Add the first page of the bench, and the page of a motorcycle."""

    @app.get("/bench")
    @kept_page(workshop)
    def motorcycles() -> str:
        """List the motorcycles with open work."""
        return _open_work(workshop)

    @app.get("/vehicle/<number>")
    @app.get("/vehicle/<number>/open")
    @app.get("/vehicle/<number>/here")
    @app.get("/vehicle/<number>/instrument")
    @kept_page(workshop)
    def vehicle(number: str) -> str:
        """Show what stands on a motorcycle, what is open on it, and what may be begun.

        A form of it that was refused leaves its own address in the browser, which may be opened again.
        """
        return _vehicle(workshop, read_vehicle_number(number))

    @app.post("/vehicle/<number>/open")
    def begin(number: str) -> "ResponseReturnValue":
        """Open a job on it, and lead to its warnings."""
        own = read_vehicle_number(number)
        return _told(workshop, own, partial(_begun, workshop, own))

    @app.post("/vehicle/<number>/here")
    def here(number: str) -> "ResponseReturnValue":
        """Record that it came in."""
        own = read_vehicle_number(number)
        return _told(workshop, own, partial(_arrived, workshop, own))

    @app.post("/vehicle/<number>/instrument")
    def replaced(number: str) -> "ResponseReturnValue":
        """Record that its instrument was replaced."""
        own = read_vehicle_number(number)
        return _told(workshop, own, partial(_replaced, workshop, own))


def _told(workshop: "Workshop", own: str, tell: "Callable[[Typed, Say], str]") -> "ResponseReturnValue":
    """Record what a form of a motorcycle's page tells, and lead to where `tell` says; or the page with why not."""
    typed = Typed(request.form)
    try:
        address = tell(typed, say_of(g.asking, typed))
    except Refused as refused:
        return _vehicle(workshop, own, typed, refused), 422
    return redirect(f"{way_up(request.path)}{address}", 303)


def _begun(workshop: "Workshop", own: str, typed: Typed, say: "Say") -> str:
    run, second = read_typed_run(typed), typed.one("second") == "yes"
    return f"job/{open_job(workshop, Opening(own, typed.one('procedure'), run, second=second), say)}"


def _arrived(workshop: "Workshop", own: str, typed: Typed, say: "Say") -> str:
    arrive(workshop, own, read_typed_run(typed), say)
    return f"vehicle/{own}"


def _replaced(workshop: "Workshop", own: str, typed: Typed, say: "Say") -> str:
    exchange_instrument(workshop, own, read_typed_exchange(typed), say)
    return f"vehicle/{own}"


def _open_work(workshop: "Workshop") -> str:
    return render_template(
        "bench/motorcycles.html",
        found=_open(workshop),
        up="./",
        nights_missed=heartbeat(workshop).says if g.asking.reach == "foreman" else None,
    )


def _open(workshop: "Workshop") -> list[Motorcycle]:
    """The motorcycles with open work, the one that was worked on last first."""
    jobs: dict[str, list[str]] = {}
    for row in queries.open_jobs(workshop.book):
        jobs.setdefault(row.vehicle or "", []).append(f"job {row.job}: {row.title}, {row.state}")
    return [Motorcycle(number, workshop.vehicle(number).tag, tuple(own)) for number, own in jobs.items() if number]


def _vehicle(workshop: "Workshop", number: str, typed: Typed | None = None, refused: Refused | None = None) -> str:
    view = vehicle_view(workshop, number)
    return render_template(
        "bench/vehicle.html",
        vehicle=view,
        works=tuple(_works(view)),
        stops=tuple(f"Job {work.number}: {each.says}" for work in view.works for each in together(work.stops)),
        waits=tuple(waits_of(view)),
        fasteners=tuple(fastener_lines(view)),
        procedures=procedures_for(workshop, number),
        before=view.read,
        refused=refused.says if refused else "",
        ticks=ticks_of(refused, typed) if typed else (),
        odometer=typed.one("odometer") if typed else _read_today(workshop, view),
        chosen=typed.one("procedure") if typed else "",
        up=way_up(request.path),
        act_id=fresh_id(workshop),
        arrive_id=fresh_id(workshop),
        replaced=typed or Typed(MultiDict()),
        instruments=INSTRUMENTS,
        replaced_id=fresh_id(workshop),
    )


def _read_today(workshop: "Workshop", view: "VehicleView") -> str:
    """What was read on arrival today in its own unit, so that nobody types it twice; else nothing."""
    arrived = view.presence.since if view.presence.here else None
    if arrived is None or workshop.local_day(arrived) != workshop.today():
        return ""
    return view.read.partition(" ")[0]


def _works(view: "VehicleView") -> "list[OpenWork]":
    return [
        OpenWork(work.number, work.procedure.title, work.next[0] if work.next else "")
        for work in view.works
        if work.to_do and (not work.hand_over or work.presence.here)
    ]


def waits_of(view: "VehicleView") -> "list[Waits]":
    """The re-checks that are not done of a motorcycle that is away, each with how it stands and what its owner asks."""
    return [
        Waits(
            waits_words(work.number, work.recheck),
            tuple(_agreeing(work.number, work.recheck)),
        )
        for work in view.works
        if work.recheck and work.recheck.standing.state in TOLD
    ]


def _agreeing(job: str, recheck: "RecheckView") -> "Iterator[tuple[str, str]]":
    """The screens on which something about a re-check is agreed: its address, and what the link says."""
    if recheck.standing.state is RecheckState.REFERRED:
        yield address_of(job, Next(ActName.ANSWER_RECHECK)), "What the other workshop found"
    for act, says in AGREED.items():
        yield address_of(job, Next(act)), says
