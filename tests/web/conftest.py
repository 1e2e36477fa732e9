"""A workshop played through its acts, and its pages answered over real HTTP."""

import shutil
import threading
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING, NamedTuple, TypeAlias

import pytest

from torqueaudit.book.address import Place
from torqueaudit.model.act import Say
from torqueaudit.model.job.acts import Measure, Opening, Part, Tighten
from torqueaudit.model.job.facts import CheckMethod, MarkState, Outcome
from torqueaudit.model.procedure.procedure import Fastener, Fit, Measurement
from torqueaudit.model.vehicle.acts import VehicleChange
from torqueaudit.model.vehicle.instrument import Instrument, Run
from torqueaudit.model.wrench.acts import NewWrench
from torqueaudit.web.app import create_app
from torqueaudit.web.gate import BOUNDS, Bounds, Speaks
from torqueaudit.web.server import PLAINLY, address_of, listening, stop
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.checks import check
from torqueaudit.workshop.jobs.fasteners import loosen, see_mark, tighten
from torqueaudit.workshop.jobs.job import open_job
from torqueaudit.workshop.jobs.measurements import measure
from torqueaudit.workshop.jobs.release import hand_over, release
from torqueaudit.workshop.jobs.steps_and_parts import do_step, fit
from torqueaudit.workshop.opening import new_workshop, open_workshop
from torqueaudit.workshop.recheck.road import recheck
from torqueaudit.workshop.register.people import add_person
from torqueaudit.workshop.register.procedures import enter_procedure, read_against_source
from torqueaudit.workshop.signing.pins import set_pin
from torqueaudit.workshop.vehicles.corrections import change_vehicle
from torqueaudit.workshop.vehicles.vehicle import add_vehicle
from torqueaudit.workshop.vehicles.visits import arrive
from torqueaudit.workshop.wrenches.wrench import add_wrench

from .label_photo import photo_of

if TYPE_CHECKING:
    from _typeshed.wsgi import WSGIApplication

PROCEDURES = Path(__file__).parents[2] / "examples" / "procedures"
PINS = {"P-1": "271828", "P-2": "314159", "P-3": "161803"}
NAMES = ("Ingrun Feldtaler", "Basto Quill")
PLATE, FRAME, OWNER = "QX 4711 Z", "KS5000042", "+99 555 01 02 03"
LEFT_AT_M = 12_000_000
BEGUN = datetime(2031, 4, 2, 7, 0, tzinfo=UTC)
# Gives a book for settings and its kind, and its last moment.
GoneOut: TypeAlias = Callable[[dict[str, object], str], tuple[Path, datetime]]
SETTINGS: dict[str, object] = {"zone": "Europe/Vienna", "base_address": "http://bench.example"}
# What fits the examples: written down with the parts, and read where a value comes of more than one reading.
ATTRIBUTES = {
    ("chain", "size"): "525",
    ("chain", "links"): "112",
    ("front-sprocket", "teeth"): "15",
    ("front-sprocket", "size"): "525",
    ("front-sprocket", "material"): "steel",
    ("rear-sprocket", "teeth"): "43",
    ("rear-sprocket", "size"): "525",
    ("rear-sprocket", "material"): "steel",
    ("rivet-link", "size"): "525",
    ("rivet-link", "type"): "rivet",
}
INPUTS = {
    "chain wear": (("pins", "19"), ("length", "286.8 mm")),
    "rivet flare": (("rivet", "6.2 mm"), ("rivet", "6.25 mm")),
    "wheel alignment": (("left", "412.5 mm"), ("right", "412.0 mm")),
    "adjuster position": (("left", "22 mm"), ("right", "22 mm")),
}


class Answer(NamedTuple):
    """One answer of the server."""

    status: int
    text: str
    headers: dict[str, str]
    address: str  # after redirects


class Yard:
    """A workshop with two people, one vehicle and one wrench, and a clock that moves when told to."""

    foreman, mechanic, wrench, vehicle = "P-1", "P-2", "W-1", "V-1"

    def __init__(self, workshop: Workshop, clock: list[datetime]) -> None:
        self.workshop = workshop
        self._clock = clock

    def later(self, **how_long: float) -> None:
        """Move the clock."""
        self._clock[0] += timedelta(**how_long)

    def open(
        self, procedure: Path, follows: str = "", *, at_m: int | None = LEFT_AT_M, by: Instrument = Instrument.KM
    ) -> str:
        """Enter a procedure, have it read, and open a job by it; `by` what the vehicle has been read off always."""
        if by is not Instrument.KM:
            change_vehicle(self.workshop, self.vehicle, VehicleChange(instrument=by), Say(self.foreman))
            at_m = None
        digest = enter_procedure(self.workshop, procedure, Say(self.foreman))
        if not self.workshop.procedure(digest).read_by:
            read_against_source(self.workshop, digest, "", Say(self.mechanic))
        return open_job(self.workshop, Opening(self.vehicle, digest, at_m, follows), Say(self.foreman))

    def work(self, job: str) -> None:
        """Do everything the procedure says, in its order, and measure again at the end."""
        items = self.workshop.job(job).procedure.work
        for item in items:
            self.later(minutes=4)
            if isinstance(item, Fastener):
                self.fasten(job, item)
            elif isinstance(item, Fit):
                attributes = tuple((name, ATTRIBUTES.get((item.key, name), "as printed")) for name in item.attributes)
                fit(self.workshop, job, item.key, Part(item.part, "L-7", attributes=attributes), Say(self.mechanic))
            elif isinstance(item, Measurement):
                self.gauge(job, item)
            else:
                do_step(self.workshop, job, item.key, "yes", "", Say(self.mechanic))
        for item in items:
            if isinstance(item, Measurement):
                self.gauge(job, item, again=True)

    def fasten(self, job: str, fastener: Fastener) -> None:
        """Fit new locking parts, tighten stage by stage to the middle of the range, mark, and have it checked."""
        specified = fastener.specification
        middle, angle = specified.target_nm, f"{specified.angle:f}" if specified.angle else ""
        for key in fastener.single_use:
            fit(self.workshop, job, key, Part(key), Say(self.mechanic))
        for stage in range(1, fastener.last_stage + 1):
            act = Tighten(Outcome.TURNED_CLICKED, self.wrench, f"{middle.normalize():f} N·m", stage=stage, angle=angle)
            tighten(self.workshop, job, fastener.key, act, Say(self.mechanic))
        if fastener.mark:
            see_mark(self.workshop, job, fastener.key, MarkState.INTACT, "", Say(self.mechanic))
        if fastener.check:
            check(self.workshop, job, fastener.key, CheckMethod.MARK_SEEN, "", Say(self.foreman))

    def gauge(self, job: str, item: Measurement, *, again: bool = False) -> None:
        """Measure the middle of what is allowed, or half of the most."""
        value = (item.lower + item.upper) / 2 if item.lower and item.upper else (item.upper or 0) / 2
        told = INPUTS.get(item.kind, ())
        act = Measure(inputs=told) if told else Measure(f"{value} {item.unit}")
        measure(self.workshop, job, item.key, act, Say(self.mechanic, again=again))

    def arrive(self, *, at_m: int = LEFT_AT_M) -> None:
        """The vehicle comes back."""
        arrive(self.workshop, self.vehicle, at_m, Say(self.foreman))

    def leave(self, job: str, run: Run | None = LEFT_AT_M) -> None:
        """Release and hand over."""
        self.later(days=1, hours=2)
        release(self.workshop, job, Say(self.foreman))
        hand_over(self.workshop, job, run, Say(self.foreman))

    def mark(self, job: str, key: str, state: MarkState, why: str = "") -> None:
        """Look at a mark."""
        see_mark(self.workshop, job, key, state, why, Say(self.mechanic))

    def loosen(self, job: str, key: str) -> None:
        """Undo a fastener."""
        loosen(self.workshop, job, key, "wheel out again", Say(self.mechanic))

    def recheck(self, job: str) -> None:
        """Look at every mark, torque and measurement, and conclude the re-check."""
        procedure = self.workshop.job(job).procedure
        for fastener in procedure.fasteners():
            self.mark(job, fastener.key, MarkState.INTACT)
            if procedure.recheck and fastener.key in procedure.recheck.torques:
                confirmed = Tighten(Outcome.CLICKED_ONLY, self.wrench, fastener.specification.written)
                tighten(self.workshop, job, fastener.key, confirmed, Say(self.mechanic))
        for item in procedure.measurements():
            self.gauge(job, item)
        recheck(self.workshop, job, LEFT_AT_M + 90_000, "", Say(self.mechanic))

    def token(self, job: str) -> str:
        """The token of a job's label."""
        return self.workshop.record(job).token


@pytest.fixture
def clock(request: pytest.FixtureRequest, settings: dict[str, object], gone_out: GoneOut) -> list[datetime]:
    """The book's clock, which stands where that of the test's own book does."""
    if "left" in request.fixturenames:
        return [gone_out(settings, kind_of_book(request))[1]]
    return [BEGUN]


@pytest.fixture
def settings() -> dict[str, object]:
    return SETTINGS


@pytest.fixture(scope="session")
def ready_made(tmp_path_factory: pytest.TempPathFactory) -> Callable[[dict[str, object]], Path]:
    """Gives a folder with the books of a workshop that has these settings; each is made once, and copied by tests."""
    made: dict[str, Path] = {}

    def ready(settings: dict[str, object]) -> Path:
        key = repr(sorted(settings.items()))
        if key not in made:
            made[key] = tmp_path_factory.mktemp("ready-made")
            make_ready(made[key], settings)
        return made[key]

    return ready


@pytest.fixture(scope="session")
def worked(
    ready_made: Callable[[dict[str, object]], Path], tmp_path_factory: pytest.TempPathFactory
) -> tuple[Path, datetime]:
    """A book with PINs in which the work of job 1 by "final-drive" is done, and when; each test takes a copy."""
    path = tmp_path_factory.mktemp("worked") / "yard.book"
    shutil.copy(ready_made(SETTINGS) / "books" / "signing.book", path)
    return path, do_job(path)


@pytest.fixture(scope="session")
def gone_out(ready_made: Callable[[dict[str, object]], Path]) -> GoneOut:
    """Gives a book of `ready_made` in which job 1 by "final-drive" left too, and when; each is made once."""
    made: dict[Path, datetime] = {}

    def ready(settings: dict[str, object], kind: str) -> tuple[Path, datetime]:
        source = ready_made(settings) / "books" / f"{kind}.book"
        path = source.with_name(f"{kind}-left.book")
        if path not in made:
            shutil.copy(source, path)
            made[path] = do_job(path, leaves=True)
        return path, made[path]

    return ready


def do_job(path: Path, *, leaves: bool = False) -> datetime:
    """Do job 1 by "final-drive" in a book; when that was, which is 3 April 2031 where the motorcycle leaves too."""
    clock = [BEGUN]
    with open_workshop(path, clock=lambda: clock[0], chance=Random(6)) as workshop:
        yard = Yard(workshop, clock)
        yard.work(yard.open(PROCEDURES / "final-drive.toml"))
        if leaves:
            yard.leave("1")
    return clock[0]


def kind_of_book(request: pytest.FixtureRequest) -> str:
    """Which of the books of `ready_made` has as much in it as a test asks for by `yard` and `pins`."""
    asked = request.fixturenames
    return "signing" if "pins" in asked else "furnished" if "yard" in asked else "new"


def make_ready(folder: Path, settings: dict[str, object]) -> None:
    """Make three books: new, with people and things, and with PINs too, whose secrets lie outside of their folder."""
    new, furnished, signing = (folder / "books" / f"{name}.book" for name in ("new", "furnished", "signing"))
    new.parent.mkdir()
    new_workshop(new, "YARD", settings, clock=lambda: BEGUN, chance=Random(1))
    shutil.copy(new, furnished)
    with open_workshop(furnished, clock=lambda: BEGUN, chance=Random(2)) as workshop:
        furnish(workshop)
    shutil.copy(furnished, signing)
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TORQUEAUDIT_SECRETS", str(folder / "secrets.json"))
        with open_workshop(signing, clock=lambda: BEGUN, chance=Random(4)) as workshop:
            for person in (Yard.foreman, Yard.mechanic):
                set_pin(workshop, Say(Yard.foreman), person, PINS[person])


def furnish(workshop: Workshop) -> None:
    """Enter two people, a wrench and a vehicle."""
    foreman = add_person(workshop, NAMES[0], ("foreman", "mechanic"), "", Say("setup"))
    mechanic = add_person(workshop, NAMES[1], ("mechanic",), "", Say(foreman))
    wrench = add_wrench(workshop, NewWrench("setting", "long one", "5 N·m", "200 N·m"), Say(foreman))
    personal = {"plate": PLATE, "frame_number": FRAME, "owner": OWNER}
    vehicle = add_vehicle(workshop, "red Kestrel", "Kestrel 500", 2030, personal, Say(foreman))
    assert (foreman, mechanic, wrench, vehicle) == (Yard.foreman, Yard.mechanic, Yard.wrench, Yard.vehicle)


@pytest.fixture
def book(
    engine: str,
    request: pytest.FixtureRequest,
    tmp_path: Path,
    settings: dict[str, object],
    ready_made: Callable[[dict[str, object]], Path],
    gone_out: GoneOut,
) -> Iterator[Place]:
    """A book of the test's own, with as much in it as the test asks for by `yard`, `pins` and `left`.

    Where no test asks for it by its name, it may be in a database.
    """
    kind = kind_of_book(request)
    if "left" in request.fixturenames:
        made = gone_out(settings, kind)[0]
    else:
        made = ready_made(settings) / "books" / f"{kind}.book"
    path = Path(shutil.copy(made, tmp_path / "yard.book"))
    with ExitStack() as until:
        in_a_file = engine == "sqlite"
        yield path if in_a_file else until.enter_context(request.getfixturevalue("in_database")(path, tmp_path))


@pytest.fixture
def left(yard: Yard) -> str:
    """Job 1, done and handed over on 3 April 2031, due by 17 April or at 12 100 km, missed from the 25th on."""
    assert yard.workshop.record("1").hand_over
    return "1"


@pytest.fixture
def yard(book: Place, clock: list[datetime]) -> Iterator[Yard]:
    with open_workshop(book, clock=lambda: clock[0], chance=Random(5)) as workshop:
        yield Yard(workshop, clock)


@pytest.fixture
def pins(
    settings: dict[str, object],
    ready_made: Callable[[dict[str, object]], Path],
    tmp_path_factory: pytest.TempPathFactory,
    monkeypatch: pytest.MonkeyPatch,
) -> dict[str, str]:
    """What people sign in with, by their numbers: the two of the workshop. Their secrets lie outside of the book."""
    place = shutil.copy(ready_made(settings) / "secrets.json", tmp_path_factory.mktemp("secrets"))
    monkeypatch.setenv("TORQUEAUDIT_SECRETS", str(place))
    return PINS


@pytest.fixture
def live(book: Place, clock: list[datetime]) -> Iterator[str]:
    """The address of a server that really listens."""
    with ExitStack() as until:
        yield listen(until, book, lambda: clock[0])


def listen(
    until: ExitStack, book: Place, clock: Callable[[], datetime], bounds: Bounds = BOUNDS, host: str = "127.0.0.1"
) -> str:
    """Serve a book on a free port until the stack is left, and give its address."""
    return run(until, until.enter_context(create_app(book, clock, Random(3))), bounds, host=host)


def run(
    until: ExitStack,
    application: "WSGIApplication",
    bounds: Bounds,
    speaks: Speaks = PLAINLY,
    host: str = "127.0.0.1",
) -> str:
    """Let an application answer on a free port until the stack is left, and give its address."""
    server = until.enter_context(listening(application, host, 0, bounds, speaks))
    thread = threading.Thread(target=server.run)
    thread.start()
    until.callback(thread.join)
    until.callback(stop, server)
    return address_of(server)


def get(address: str, headers: dict[str, str] | None = None, data: bytes | None = None) -> Answer:
    """Ask over HTTP; refusals are answers too."""
    asked = urllib.request.Request(address, data, headers or {})
    try:
        with urllib.request.urlopen(asked, timeout=20) as answer:
            return Answer(answer.status, answer.read().decode(), dict(answer.headers), answer.url)
    except urllib.error.HTTPError as refusal:
        with refusal:
            return Answer(refusal.code, refusal.read().decode(), dict(refusal.headers), refusal.url)


@pytest.fixture(name="photo_of")
def _photo_of() -> Callable[..., bytes]:
    return photo_of


@pytest.fixture(name="get")
def _get() -> Callable[..., Answer]:
    return get


@pytest.fixture(name="listen")
def _listen() -> Callable[..., str]:
    return listen


@pytest.fixture(name="run")
def _run() -> Callable[..., str]:
    return run


@pytest.fixture
def procedures() -> Path:
    return PROCEDURES


@pytest.fixture
def personal() -> tuple[str, ...]:
    """What must never show: names, plate, frame number, contact."""
    return (*NAMES, *(part for name in NAMES for part in name.split()), PLATE, FRAME, OWNER)
