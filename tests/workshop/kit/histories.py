"""Random histories of motorcycles after their work, and beside each what its re-check has to be, worked out apart.

`Told` knows nothing of the program: plain lists of what was said, and the calendar of the standard library.
"""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from fractions import Fraction
from importlib.resources import files
from pathlib import Path
from random import Random
from typing import NamedTuple
from zoneinfo import ZoneInfo

from torqueaudit.cards.card import Clock
from torqueaudit.ledger.entry import Entry
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.acts import Opening, Postponement, RecheckResult, Tighten
from torqueaudit.model.job.facts import CheckMethod, MarkState, Outcome
from torqueaudit.model.vehicle.exchange import Replaced
from torqueaudit.model.vehicle.instrument import Hours, Instrument, Run
from torqueaudit.model.wrench.acts import Calibrate
from torqueaudit.plugins import Plugins
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.checks import check
from torqueaudit.workshop.jobs.fasteners import loosen, see_mark, tighten
from torqueaudit.workshop.jobs.job import open_job
from torqueaudit.workshop.jobs.release import hand_over, release
from torqueaudit.workshop.jobs.strikes import strike
from torqueaudit.workshop.opening import open_workshop
from torqueaudit.workshop.recheck.arranging import answer_recheck, postpone_recheck, refer_recheck, refuse_recheck
from torqueaudit.workshop.recheck.road import recheck, report_ride
from torqueaudit.workshop.register.procedures import enter_procedure, read_against_source
from torqueaudit.workshop.register.settings import settle
from torqueaudit.workshop.vehicles.exchange import exchange_instrument
from torqueaudit.workshop.vehicles.gone import gone
from torqueaudit.workshop.vehicles.vehicle import add_vehicle
from torqueaudit.workshop.vehicles.visits import arrive
from torqueaudit.workshop.wrenches.calibrations import calibrate

ZONES = ("UTC", "Europe/Madrid", "Australia/Lord_Howe", "America/St_Johns", "Pacific/Apia")
DAYS, GRACE = 14, 7  # of the procedures below
MILE = Fraction(1609344, 1000)  # metres, the international mile (NIST SP 811:2008, appendix B.8)
WEEKS, YEAR = timedelta(days=28), timedelta(days=366)  # between which its own history tells what it runs a day


class Counts(NamedTuple):
    """By which procedure a motorcycle with an instrument is worked on, how far it may run, and how far it is ridden.

    In metres, or in minutes of running hours.
    """

    procedure: str
    due_after: int
    rides: tuple[int, ...]
    put_off: tuple[int, ...]


BY_DISTANCE = Counts("axle", 100_000, (5_000, 40_000, 99_000, 250_000), (60_000, 150_000, 400_000))
COUNTS = {
    Instrument.KM: BY_DISTANCE,
    Instrument.MILES: BY_DISTANCE,
    Instrument.NONE: BY_DISTANCE,
    Instrument.HOURS: Counts("axle-by-hours", 300, (15, 120, 297, 750), (180, 450, 1200)),
}
NUT = "rear-axle-nut"
FOREMAN, MECHANIC, SECOND = Say("P-1"), Say("P-2"), Say("P-3")


@dataclass
class Leaving:
    """The vehicle left: from here a re-check counts, where something had been turned."""

    entry: int
    at: datetime
    metres: int
    turned: bool
    per_day: int


@dataclass
class Agreed:
    """What was agreed about a leaving; `kind` is postponed, refused, referred, in order, fault."""

    entry: int
    at: datetime
    of: int
    kind: str
    until: date | None = None
    until_m: int | None = None
    metres: int | None = None


@dataclass
class Told:
    """What was said of one motorcycle, and what its re-check is by that; `metres` are minutes of an hour meter.

    They are what it has run in truth, by however many instruments.
    """

    zone: ZoneInfo
    instrument: Instrument = Instrument.KM
    leavings: list[Leaving] = field(default_factory=list)
    agreed: list[Agreed] = field(default_factory=list)
    looked: list[datetime] = field(default_factory=list)  # the re-check concluded
    stays: list[tuple[datetime, bool]] = field(default_factory=list)  # without leavings, which may be struck
    read: list[tuple[datetime, int]] = field(default_factory=list)  # the odometer, likewise
    reworked: list[datetime] = field(default_factory=list)
    gone: datetime | None = None
    overtaken: bool = False
    withdrawn: bool = False

    def counted(self) -> Leaving | None:
        """The leaving that the re-check counts from."""
        return max((each for each in self.leavings if each.turned), key=lambda each: each.at, default=None)

    def state(self, now: datetime) -> str:
        """The one state at a moment, "" before there is anything to wait for."""
        left = self.counted()
        if left is None:
            return ""
        of = sorted((each for each in self.agreed if each.of == left.entry), key=lambda each: (each.at, each.entry))
        answers = [each.kind for each in of if each.kind in ("in order", "fault")]
        last = of[-1].kind if of else ""
        here, is_gone = self.stay(now)
        known = {
            "withdrawn": self.withdrawn,
            "done": any(each > left.at for each in self.looked) or answers[-1:] == ["in order"],
            "overtaken by a later job": self.overtaken,
            "vehicle gone": is_gone,
            "in hand": here,
            "refused by the owner": last == "refused",
            "handed to another workshop": last == "referred",
        }
        by_day = self.by_day(now, left, of[-1] if last == "postponed" else None)
        return next((state for state, holds in known.items() if holds), by_day)

    def stay(self, now: datetime) -> tuple[bool, bool]:
        """Whether it is here, and whether it is gone for good."""
        moves = [*self.stays, *((each.at, False) for each in self.leavings)]
        here = max((each for each in moves if each[0] <= now), key=lambda each: each[0])[1]
        came = max(at for at, _ in moves)
        is_gone = self.gone is not None and self.gone > came
        return here and not is_gone, is_gone

    def by_day(self, now: datetime, left: Leaving, put_off: Agreed | None) -> str:
        """By the local day and the instrument, whichever comes first; the week of grace holds for the day alone.

        What nobody has read since it left is estimated, and makes nothing missed.
        """
        day, metres = self.local(left.at) + timedelta(days=DAYS), self.due_at(left.metres)
        if put_off:
            day, metres = put_off.until or day, put_off.until_m or metres
        read_at, ridden = max([*self.read, *self.read_since()], key=lambda each: each[0])
        by_history = read_at <= left.at and left.per_day > 0
        if by_history:
            ridden = left.metres + left.per_day * (self.local(now) - self.local(left.at)).days
        late, beyond = (self.local(now) - day).days, ridden - metres
        if self.instrument is Instrument.NONE:
            beyond = -1
        if late > GRACE or (beyond > 0 and not by_history):
            return "missed"
        if late >= 0 or beyond >= 0:
            return "due"
        return "postponed" if put_off else "not yet due"

    def due_at(self, metres: int) -> int:
        """What is run when it is due by a leaving; in miles at the last whole one."""
        due = metres + COUNTS[self.instrument].due_after
        return int((due + 1) // MILE * MILE) if self.instrument is Instrument.MILES else due

    def per_day(self, at: datetime, metres: int) -> int:
        """What it ran a day when it left, 0 where nothing tells."""
        told = sorted(each for each in (*self.read, *self.read_since()) if each[0] >= at - YEAR)
        if not told or at - told[0][0] < WEEKS:
            return 0
        return max((metres - told[0][1]) // (at - told[0][0]).days, 0)

    def read_since(self) -> list[tuple[datetime, int]]:
        """What was read on leaving, and by another workshop."""
        left = [(each.at, each.metres) for each in self.leavings]
        return left + [(each.at, each.metres) for each in self.agreed if each.metres is not None]

    def local(self, moment: datetime) -> date:
        """The day on the wall of the workshop."""
        return moment.astimezone(self.zone).date()


@contextmanager
def yard_of(book: Path, clock: Clock, seed: int, plugins: Plugins) -> Iterator[Workshop]:
    """A ready-made book opened in one of the zones, with a wrench that was just calibrated, and work by hours."""
    with open_workshop(book, clock=clock, chance=Random(f"yard {seed}"), plugins=plugins) as workshop:
        settle(workshop, {"zone": ZONES[seed % len(ZONES)], "telephone": "000 0000"}, Say("P-1"))
        calibrate(workshop, "W-1", Calibrate(workshop.today(), certificate="C-9"), Say("P-1"))
        by_hours = book.with_name("axle-by-hours.toml")
        axle = (files("torqueaudit.testing") / "axle.toml").read_text("utf-8")
        by_hours.write_text(
            axle.replace('"axle"', '"axle-by-hours"').replace("[recheck]", "[recheck]\nhours = 5"), "utf-8"
        )
        read_against_source(workshop, enter_procedure(workshop, by_hours, Say("P-2")), "", Say("P-3"))
        yield workshop


class History:
    """One motorcycle with one job by the procedure `axle`, and what is done to it by chance."""

    def __init__(self, workshop: Workshop, clock: Clock, chance: Random) -> None:
        self.workshop, self.clock, self.chance = workshop, clock, chance
        instrument = chance.choice((Instrument.KM, Instrument.KM, *Instrument))
        self.told = Told(ZoneInfo(workshop.settings.zone), instrument)
        self.counts = COUNTS[instrument]
        self.metres, self.before = 12_000_000, 0  # in truth, and of it what its instrument does not show
        tag = f"bike {chance.random():.9f}"
        self.vehicle = add_vehicle(workshop, tag, "Kestrel 500", 2030, {}, FOREMAN, instrument)
        if chance.random() < 0.6:
            self._came_before(chance.choice((20, 40, 200)))
        self.job = open_job(workshop, Opening(self.vehicle, self.counts.procedure, self.shown), MECHANIC)
        self.told.stays.append((clock.moment, True))
        self.told.read.append((clock.moment, self.metres))
        self._work(self.job)
        self.leave()

    def _came_before(self, days: int) -> None:
        """It was here once before, so that its history may tell what it runs a day: as far as is due in ten."""
        at, metres = self.clock.moment - timedelta(days=days), self.metres - days * self.counts.due_after // 10
        arrive(self.workshop, self.vehicle, self._shows(metres), Say("P-2", at=at))
        self.told.stays.append((at, True))
        self.told.read.append((at, metres))

    @property
    def shown(self) -> Run | None:
        """What is read off it."""
        return self._shows(self.metres - self.before)

    def _shows(self, figure: int) -> Run | None:
        if self.told.instrument is Instrument.NONE:
            return None
        return Hours(figure) if self.told.instrument is Instrument.HOURS else figure

    def _work(self, job: str) -> None:
        w = self.workshop
        tighten(w, job, NUT, Tighten(Outcome.TURNED_CLICKED, "W-1", "108 N·m"), self._next(MECHANIC))
        see_mark(w, job, NUT, MarkState.INTACT, "", self._next(MECHANIC))
        check(w, job, NUT, CheckMethod.MARK_SEEN, "", self._next(SECOND))
        release(w, job, self._next(FOREMAN))

    def _next(self, say: Say) -> Say:
        """A minute later: nothing happens at once."""
        self.clock.moment += timedelta(minutes=1)
        return say

    def act(self) -> None:
        """One thing by chance; what the workshop refuses was not said."""
        deeds = [
            *(self.ride, self.ride, self.leave, self.come, self.come_back, self.look, self.rework),
            *(self.postpone, self.postpone, self.refuse, self.refer, self.refer, self.answer, self.answer),
            *(self.strike, self.strike_leaving, self.replace),
        ]
        rare = self.chance.random()
        if rare < 0.97:
            deed = self.chance.choice(deeds)
        else:
            deed = self.chance.choice((self.later_job, self.go, self.withdraw))
        with suppress(Refused):
            deed()

    @staticmethod
    def _first(entries: Sequence[Entry]) -> int:
        return entries[-1].sequence

    def leave(self) -> None:
        """Handed over, with whatever stops stand."""
        say = self._next(FOREMAN)
        per_day = self.told.per_day(self.clock.moment, self.metres)
        entry = self._first(hand_over(self.workshop, self.job, self.shown, say, "fetched at once"))
        last = max((each.at for each in self.told.leavings), default=None)
        turned = last is None or any(moment > last for moment in self.told.reworked)
        self.told.leavings.append(
            Leaving(entry=entry, at=self.clock.moment, metres=self.metres, turned=turned, per_day=per_day)
        )

    def ride(self) -> None:
        """Some kilometres, told by the owner or read by nobody."""
        self.metres += self.chance.choice(self.counts.rides)
        report_ride(self.workshop, self.job, self.shown, "", self._next(Say("owner")))
        self.told.read.append((self.clock.moment, self.metres))

    def come(self) -> None:
        """It arrives."""
        arrive(self.workshop, self.vehicle, self.shown, self._next(MECHANIC))
        self.told.stays.append((self.clock.moment, True))
        self.told.read.append((self.clock.moment, self.metres))

    def come_back(self) -> None:
        """It arrives, nobody looks at anything, and it leaves."""
        self.come()
        self.leave()

    def look(self) -> None:
        """The re-check itself."""
        if not self.told.stay(self.clock.moment)[0]:
            self.come()
        see_mark(self.workshop, self.job, NUT, MarkState.INTACT, "", self._next(MECHANIC))
        recheck(self.workshop, self.job, self.shown, "", self._next(MECHANIC))
        self.told.looked.append(self.clock.moment)
        self.told.read.append((self.clock.moment, self.metres))

    def rework(self) -> None:
        """The nut is done anew, and it leaves again."""
        if not self.told.stay(self.clock.moment)[0]:
            self.come()
        loosen(self.workshop, self.job, NUT, "its mark had moved", self._next(MECHANIC))
        self.told.reworked.append(self.clock.moment)
        self.told.overtaken = False
        self._work(self.job)
        self.leave()

    def postpone(self) -> None:
        """To a day, a distance or both; now and then told a few hours late."""
        day = self.told.local(self.clock.moment) + timedelta(days=self.chance.choice((3, 15, 30, 60)))
        until = self.chance.choice((day, None, day))
        until_m = self.chance.choice((None, self.metres + self.chance.choice(self.counts.put_off)))
        minutes = self.chance.choice((0, 0, 180))
        say = self._next(FOREMAN)._replace(minutes_ago=minutes)
        shown = None if until_m is None else self._shows(until_m - self.before)
        told = Postponement(until, shown, "the owner is abroad")
        entry = self._first(postpone_recheck(self.workshop, self.job, told, say))
        at = self.clock.moment - timedelta(minutes=minutes)
        self._agree(Agreed(entry, at, self._of(), "postponed", until=until, until_m=until_m))

    def _of(self) -> int:
        left = self.told.counted()
        assert left
        return left.entry

    def _agree(self, agreed: Agreed) -> None:
        self.told.agreed.append(agreed)

    def refuse(self) -> None:
        """The owner does not want it."""
        entry = self._first(refuse_recheck(self.workshop, self.job, "no time", self._next(MECHANIC)))
        self._agree(Agreed(entry, self.clock.moment, self._of(), "refused"))

    def refer(self) -> None:
        """Another workshop does it."""
        entry = self._first(refer_recheck(self.workshop, self.job, "next valley", "nearer", self._next(MECHANIC)))
        self._agree(Agreed(entry, self.clock.moment, self._of(), "referred"))

    def answer(self) -> None:
        """What that one found."""
        in_order = self.chance.random() < 0.6
        metres = self.chance.choice((None, self.metres))
        told = RecheckResult(in_order, self.shown if metres else None, "as we saw")
        entry = self._first(answer_recheck(self.workshop, self.job, told, self._next(MECHANIC)))
        kind = "in order" if in_order else "fault"
        self._agree(Agreed(entry, self.clock.moment, self._of(), kind, metres=metres))

    def strike(self) -> None:
        """One thing that was agreed was misheard."""
        if self.told.agreed:
            wrong = self.chance.choice(self.told.agreed)
            strike(self.workshop, self.job, wrong.entry, "misheard", self._next(FOREMAN))
            self.told.agreed.remove(wrong)

    def strike_leaving(self) -> None:
        """It was another one that left."""
        if len(self.told.leavings) > 1 and self.chance.random() < 0.5:
            wrong = self.chance.choice(self.told.leavings)
            strike(self.workshop, self.job, wrong.entry, "another one left", self._next(FOREMAN))
            self.told.leavings.remove(wrong)

    def replace(self) -> None:
        """Its instrument is replaced by another one of the same kind; miles would be rounded anew."""
        if self.told.instrument is Instrument.MILES:
            return
        new = self.chance.choice((0, 3_000_000))
        told = Replaced(self.told.instrument, self.shown, self._shows(new))
        exchange_instrument(self.workshop, self.vehicle, told, self._next(MECHANIC))
        self.before = self.metres - new
        self.told.read.append((self.clock.moment, self.metres))

    def later_job(self) -> None:
        """A job of its own on the same nut."""
        job = open_job(self.workshop, Opening(self.vehicle, self.counts.procedure, self.shown), self._next(MECHANIC))
        self.told.stays.append((self.clock.moment, True))
        self.told.read.append((self.clock.moment, self.metres))
        self._work(job)
        self.told.overtaken = True
        hand_over(self.workshop, job, self.shown, self._next(FOREMAN), "fetched at once")
        self.told.stays.append((self.clock.moment, False))
        self.told.read.append((self.clock.moment, self.metres))

    def go(self) -> None:
        """It will not come back."""
        gone(self.workshop, self.vehicle, "sold abroad", self._next(FOREMAN)._replace(sure=True))
        self.told.gone = self.clock.moment

    def withdraw(self) -> None:
        """The job was opened by mistake."""
        opening = self.workshop.book.entries(f"job/{self.job}")[0].sequence
        strike(self.workshop, self.job, opening, "by mistake", self._next(FOREMAN))
        self.told.withdrawn = True

    @property
    def expected(self) -> str:
        """The state that its re-check has to be in now."""
        return self.told.state(self.clock.moment.astimezone(UTC))
