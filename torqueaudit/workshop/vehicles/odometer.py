"""What is read off a vehicle: by the instrument that it has, and held against what was read before and after.

A digit lost or typed twice would hide that a re-check is due, or make one due that is not. See decision 0066.
"""

from datetime import datetime, timedelta
from typing import NamedTuple

from torqueaudit.book import vehicle_queries
from torqueaudit.model.act import BY_LABEL, Refused, See, Topic, came_of
from torqueaudit.model.vehicle.exchange import moment, presently
from torqueaudit.model.vehicle.instrument import Hours, Instrument, Run, run_text
from torqueaudit.model.vehicle.vehicle import Vehicle, fold_vehicle
from torqueaudit.workshop.door.attempt import Attempt

# Common practice, no source: nobody rides farther in a day, and a motorcycle that has run less than the second may well
# have ten times as much at its next visit.
MOST_A_DAY_M, MOST_A_DAY_MIN = 2_000_000, 24 * 60
NEW_M, NEW_MIN = 1_000_000, 10 * 60
A_DIGIT_MORE = 10
NOT_FITTING = "this does not fit what was read before. Look at the {} again; if it is right, call the workshop"
DAY = timedelta(days=1)


class Read(NamedTuple):
    """What was read off the vehicle, when, and in which entry.

    `figure` is what its instrument would have shown of it at the moment of the act, in metres or minutes.
    """

    happened_at: datetime
    figure: int
    entry: int
    shown: int


def require_read(
    attempt: Attempt, vehicle: str, run: Run | None, *, needed: bool = True, on_the_road: bool = False
) -> Instrument:
    """Refuse what the instrument of a vehicle does not show, and what does not fit what was read before and after.

    Nothing is asked where it has no instrument, nor where it is not `needed`. Whoever says that they are sure of it is
    believed, as an instrument may have been exchanged. A report `on_the_road` never counts down, for it may bring a
    re-check forward and never puts one off. Whoever has nothing but a label is not told what was read.
    """
    known = fold_vehicle(attempt.vehicle(vehicle))
    instrument = known.instrument_at(attempt.happened_at)
    require_kind(vehicle, instrument, run, needed=needed)
    if run is None:
        return instrument
    try:
        _Held(attempt, known, instrument).require(run, on_the_road=on_the_road)
    except Refused:
        if attempt.say.came == BY_LABEL:
            raise Refused(NOT_FITTING.format(instrument.called)) from None
        raise
    return instrument


def read_before(attempt: Attempt, vehicle: str) -> list[Read]:
    """What was read off a vehicle up to the moment of an act, by the instrument that it had then."""
    known = fold_vehicle(attempt.vehicle(vehicle))
    readings = _Held(attempt, known, known.instrument_at(attempt.happened_at)).readings()
    return [each for each in readings if each.happened_at <= attempt.happened_at]


def require_kind(vehicle: str, instrument: Instrument, run: Run | None, *, needed: bool) -> None:
    """Refuse a figure that the instrument of a vehicle does not show, and none where one is needed. Raises Refused."""
    if run is None:
        if needed and instrument is not Instrument.NONE:
            raise Refused(f"{vehicle}: say what its {instrument.called} shows, in {instrument.unit}")
    elif instrument is Instrument.NONE:
        raise Refused(f"{vehicle} has neither odometer nor hour meter, so nothing is read off it; leave it out")
    elif isinstance(run, Hours) is not (instrument is Instrument.HOURS):
        like = "12.5 h" if instrument is Instrument.HOURS else f"12000 {instrument.unit}"
        raise Refused(f"{vehicle} has an {instrument.called} in {instrument.unit}: tell what that shows, like {like}")


class _Held(NamedTuple):
    """What was read off a vehicle with its present instrument, against which a new figure is held."""

    attempt: Attempt
    vehicle: Vehicle
    instrument: Instrument

    def require(self, run: Run, *, on_the_road: bool) -> None:
        """Ask back for a figure that does not fit. Raises Refused."""
        figure = run.minutes if isinstance(run, Hours) else run
        readings = self.readings()
        before = [each for each in readings if each.happened_at <= self.attempt.happened_at]
        after = readings[len(before) :]
        if before and figure < before[-1].figure:
            says = f"{self._text(figure)} is less than the {self._read(before[-1])}; read the {self._called} again"
            says += self._if_false(before[-1])
            if on_the_road:
                raise Refused(says)
            self._ask_back(says, Topic.EXCHANGED, self.vehicle.number)
        elif before:
            self._require_rise(before[-1], figure)
        if after and figure > after[0].figure:
            says = f"{self._text(figure)} is more than the {self._read(after[0], 'later, ')}"
            self._ask_back(f"{says}. Look at the date too. {self._again}", Topic.SURE)

    def readings(self) -> list[Read]:
        """Whatever was read, as the instrument of the moment of the act would show it."""
        book, number = self.attempt.workshop.book, self.vehicle.number
        told: list[tuple[datetime, Run, int]]
        if self.instrument is Instrument.HOURS:
            told = [(at, Hours(minutes), entry) for at, minutes, entry in vehicle_queries.hours_of(book, number)]
        else:
            told = [(at, metres, entry) for at, metres, entry, _ in vehicle_queries.odometers_of(book, number)]
        return [read for each in told if (read := self._by_then(*each))]

    def _by_then(self, at: datetime, run: Run, entry: int) -> Read | None:
        """A reading by the instrument of the moment of the act; None where that cannot tell."""
        order, then = (at, entry), moment(self.attempt.happened_at)
        if any(then < each.order <= order for each in self.vehicle.exchanges):
            return None
        by_then = presently(self.vehicle.exchanges, run, order, then)
        figure = by_then.minutes if isinstance(by_then, Hours) else by_then
        return None if figure is None else Read(at, figure, entry, run.minutes if isinstance(run, Hours) else run)

    def _require_rise(self, last: Read, figure: int) -> None:
        """Ask back for a digit too many, and for more than anybody rides."""
        hours = self.instrument is Instrument.HOURS
        new, most = (NEW_MIN, MOST_A_DAY_MIN) if hours else (NEW_M, MOST_A_DAY_M)
        days = max((self.attempt.happened_at - last.happened_at) / DAY, 1)
        if last.figure >= new and figure >= A_DIGIT_MORE * last.figure:
            says = f"{self._text(figure)} is ten times the {self._read(last)}, or more: is there a digit too many"
            self._ask_back(f"{says}? {self._again}", Topic.SURE)
        elif figure - last.figure > most * days:
            rise = f"{self._text(figure - last.figure)} more than the {self._read(last)}"
            nobody = "no day has more than 24 h" if hours else f"nobody rides {self._text(most)} a day"
            self._ask_back(f"{self._text(figure)} is {rise}, and {nobody}. {self._again}", Topic.SURE)

    def _ask_back(self, says: str, topic: Topic, of: str = "") -> None:
        if not self.attempt.say.sure:
            raise Refused(says, See(topic, of))

    def _if_false(self, reading: Read) -> str:
        """How to go on where anybody who has seen the label may have told the reading."""
        if not self._is_by_label(reading):
            return ""
        return f". It was told by a label alone: if it is false, strike #{reading.entry} first"

    def _is_by_label(self, reading: Read) -> bool:
        entry = self.attempt.workshop.book.entry(reading.entry)
        return entry is not None and came_of(entry.judged) == BY_LABEL

    def _read(self, reading: Read, later: str = "") -> str:
        """What was read, when and where: "12000 km read on 2031-04-02 in job 1".

        Nobody of the workshop has read what a label told.
        """
        day, figure = self.attempt.workshop.local_day(reading.happened_at), self._text(reading.shown)
        if self._is_by_label(reading):
            return f"{figure} told by the label {later}on {day} (entry {reading.entry})"
        entry = self.attempt.workshop.book.entry(reading.entry)
        where = f" in job {entry.key}" if entry and entry.subject.startswith("job/") else ""
        return f"{figure} read {later}on {day}{where}"

    def _text(self, figure: int) -> str:
        return run_text(Hours(figure) if self.instrument is Instrument.HOURS else figure, self.instrument)

    @property
    def _called(self) -> str:
        return self.instrument.called

    @property
    def _again(self) -> str:
        return f"Read the {self._called} again"
