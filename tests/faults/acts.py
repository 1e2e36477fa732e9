"""What a workshop records in a few minutes: acts of every kind of thing that a book keeps, and whether they stand.

Each act that is done says so in one line of JSON: {"id": …} of its entries, {"plate": …} that a vehicle has since,
"" where it was forgotten.
"""

import json
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from itertools import count
from pathlib import Path
from random import Random
from typing import Any, TypeAlias

from torqueaudit.book.book import Book
from torqueaudit.book.disclosures import Disclosure
from torqueaudit.book.outbox import Row
from torqueaudit.book.signing import Kept, Pin, Try
from torqueaudit.cards.card import Clock, play
from torqueaudit.model.act import Came, Refused, Say
from torqueaudit.model.log.rows import LogRow
from torqueaudit.model.register.permits import IMPORT
from torqueaudit.model.register.programs import ProgramRole
from torqueaudit.model.vehicle.acts import VehicleChange
from torqueaudit.model.wrench.acts import Calibrate
from torqueaudit.photo import Harmless
from torqueaudit.plugins import Plugins
from torqueaudit.workshop.door.ledger import forget
from torqueaudit.workshop.door.words import erase_words
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.fasteners import loosen
from torqueaudit.workshop.jobs.logs import Becomes, RowLook, enter_row
from torqueaudit.workshop.jobs.photos import photograph
from torqueaudit.workshop.opening import open_workshop
from torqueaudit.workshop.signing.devices import admit, invite
from torqueaudit.workshop.signing.programs import let_in
from torqueaudit.workshop.vehicles.corrections import change_vehicle
from torqueaudit.workshop.vehicles.vehicle import add_vehicle
from torqueaudit.workshop.wrenches.calibrations import calibrate

Said: TypeAlias = dict[str, Any]
START = datetime(2025, 3, 2, 12, tzinfo=UTC)
KINDS, CHANGES, FORGETS = 7, 3, 4  # of acts, of which two change what is known of a vehicle
MOST_TRIES = 500  # of one act beside another writer
CARD = """
2025-03-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
2025-03-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
2025-03-02 10:06 rear-axle-nut mark intact by P-2
"""


@contextmanager
def opened(book: Path, plugins: Plugins | None = None, seed: int = 6) -> Iterator[Workshop]:
    """A workshop on a book, whose clock the acts move on."""
    with open_workshop(book, clock=Clock("2025-03-02 09:00"), chance=Random(seed), plugins=plugins) as workshop:
        yield workshop


def begin(book: Path, plugins: Plugins | None = None) -> None:
    """Open the job that the acts are about."""
    with opened(book, plugins) as workshop:
        play(workshop, CARD)


def fill_beside(workshop: Workshop) -> None:
    """Something in each table beside the ledger of which no entry tells: signing, the outbox and the disclosures."""
    book, foreman = workshop.book, Say("P-1", came=Came("page", "PIN"))
    signing, at, before = book.signing, "2025-03-02T13:00:00Z", "2025-03-01T00:00:00Z"
    device = admit(workshop, invite(workshop, foreman, "tablet at lift 1").code).device
    invite(workshop, foreman, "tablet at lift 2")
    program = let_in(workshop, foreman, "accounts", ProgramRole.READS, workshop.today()).program
    signing.programs.see(program, at)
    signing.keep_pin("P-2", Pin("$argon2id$v=19$m=19456,t=2,p=1$c2FsdHNhbHQ$aGFzaGhhc2g", "pepper-1"))
    signing.begin_session(Kept("2" * 64, device, "P-2", started=at, seen=at, chosen={"wrench": "W-1"}), before)
    for attempt in ("first", "second"):
        one = Try(attempt, "P-0", device, at)
        signing.begin(one, before, most=5)
        signing.was_wrong(one, most=2)
    waits: dict[str, Any] = {
        "vehicle": "V-1",
        "job": "1",
        "token": "token",
        "leaving": 9,
        "target": 1,
        "kind": "due",
        "not_before": at,
    }
    for n, state in enumerate(("waiting", "sent", "given up")):
        book.outbox.put(Row(f"r-{n}", **waits, n=n, state=state, tries=n, why="nobody answered", changed=at))
    shown = Disclosure(at=at, by="P-1", door="page", subject="vehicle/V-1", shown=("plate", "telephone"))
    book.disclosures.note([shown] * 3)


class Writer:
    """One who records act after act, under a name; makes the files of certificates in a folder, or none."""

    def __init__(self, workshop: Workshop, name: str, papers: Path | None) -> None:
        assert isinstance(workshop.clock, Clock)
        self.workshop = workshop
        self.clock = workshop.clock
        self.name = name
        self.papers = papers
        self.vehicles: list[str] = []
        self.told: list[int] = []

    def acts(self) -> Iterator[Said]:
        """Act after act, each said once it is recorded; done over where another writer was quicker."""
        for number in count():
            self.clock.set(f"{START + timedelta(minutes=number):%Y-%m-%d %H:%M}")
            yield self._done(number)

    def _done(self, number: int) -> Said:
        kinds = (
            *(self._enter, self._loosen, self._calibrate, self._change, self._forget, self._photograph),
            self._enter_logged,
        )
        for tried in count():
            try:
                return kinds[number % KINDS](f"{self.name}-{number}")
            except Refused as error:  # in a book that is damaged the same one is refused for ever
                if "Others are writing" not in str(error) or tried == MOST_TRIES:
                    raise
        raise AssertionError

    def _enter(self, id_: str) -> Said:
        plate = f"Y {id_}"
        self.vehicles.append(add_vehicle(self.workshop, "one of many", "Kestrel 500", 2030, {"plate": plate}, say(id_)))
        return {"id": id_, "vehicle": self.vehicles[-1], "plate": plate}

    def _loosen(self, id_: str) -> Said:
        entries = loosen(self.workshop, "1", "rear-axle-nut", "the wheel had to come out", say(id_))
        self.told.append(entries[-1].sequence)
        return {"id": id_}

    def _calibrate(self, id_: str) -> Said:
        certificate = self.papers / f"{id_}.pdf" if self.papers else None
        if certificate:
            certificate.write_bytes(b"%PDF-" + sha256(id_.encode()).digest() * 40)
        told = Calibrate(on=START.date(), certificate=id_, file=certificate)
        calibrate(self.workshop, "W-1", told, say(id_))
        return {"id": id_}

    def _change(self, id_: str) -> Said:
        plate = f"Z {id_}"
        change_vehicle(self.workshop, self.vehicles[-1], VehicleChange(personal={"plate": plate}), say(id_))
        return {"id": id_, "vehicle": self.vehicles[-1], "plate": plate}

    def _forget(self, id_: str) -> Said:
        erase_words(self.workshop, self.told[-1:], "it named a customer", say(id_))
        if len(self.vehicles) > 1:
            forget(self.workshop, f"vehicle/{self.vehicles[-2]}")
            return {"id": id_, "vehicle": self.vehicles[-2], "plate": ""}
        return {"id": id_}

    def _photograph(self, id_: str) -> Said:
        photograph(self.workshop, "1", ["rear-axle-nut"], picture(id_), "", say(id_))
        return {"id": id_}

    def _enter_logged(self, id_: str) -> Said:
        said = {"position": "rear-axle-nut", "stage": 1, "shown": "108 N·m", "wrench": "W-2", "number": id_}
        row = RowLook(LogRow(1, {}), Becomes.ENTERED, says="", job="1", said=said)
        whence = {"run_by": "P-1", "file": sha256(id_.encode()).hexdigest(), "line": 1}
        enter_row(self.workshop, row, whence, say(id_)._replace(by=IMPORT))
        return {"id": id_}


def picture(name: str) -> Harmless:
    """A photo with its small one, as far as the book looks at them: no two are alike."""
    return Harmless(b"\xff\xd8" + sha256(name.encode()).digest() * 400, b"\xff\xd8" + sha256(name.encode()).digest())


def say(id_: str) -> Say:
    """The foreman says it, again where it was said a moment ago."""
    return Say("P-1", id=id_, again=True, sure=True)


def line(said: Said) -> bytes:
    """An act that is done, as its writer says it."""
    return json.dumps(said).encode() + b"\n"


def lost(book: Book, told: Sequence[Said]) -> list[str]:
    """What was said to be recorded and is not, what is there by halves, and what a verification finds."""
    entries = [entry for entry, _ in book.ledger()]
    acts = Counter(entry.act for entry in entries)
    missing = [f"{each['id']} is lost" for each in told if each["id"] not in acts]
    halves = [f"{each.id} is one of {each.of}" for each in entries if each.of != acts[each.act]]
    return [*missing, *halves, *_wrong_plates(book, told), *book.verify()]


def _wrong_plates(book: Book, told: Sequence[Said]) -> Iterator[str]:
    """Vehicles whose plate is neither the one that was said last, nor what the act in hand would make of it."""
    for writer in {each["id"].partition("-")[0] for each in told}:
        own = [each for each in told if each["id"].partition("-")[0] == writer]
        plates = {each["vehicle"]: {each["plate"]} for each in own if "vehicle" in each}
        vehicles = list(plates)
        in_hand = len(own)
        for vehicle in vehicles[-1:] if in_hand % KINDS == CHANGES else ():
            plates[vehicle].add(f"Z {writer}-{in_hand}")
        for vehicle in vehicles[-2:-1] if in_hand % KINDS == FORGETS else ():
            plates[vehicle].add("")
        for vehicle, may_be in plates.items():
            known = book.personal_of(f"vehicle/{vehicle}").get("plate", "")
            if known not in may_be:
                yield f"{vehicle} has the plate {known!r}, and was said to have {' or '.join(may_be)!r}"
