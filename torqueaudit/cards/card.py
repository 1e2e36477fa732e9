"""Job cards: the work written down line by line, each line one act. `torqueaudit.testing` shows every kind of line.

A door beside the command line: decision 0044.
"""

import re
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, tzinfo
from heapq import merge
from operator import itemgetter
from typing import TYPE_CHECKING, TypeAlias

from torqueaudit.cards import lines
from torqueaudit.model.act import Came, Say
from torqueaudit.model.job.acts import Measure, Opening, Part, Permission, Postponement, RecheckResult, Tighten
from torqueaudit.model.job.entries import IN_ORDER
from torqueaudit.model.job.facts import Outcome
from torqueaudit.read.adapter import read_adapter
from torqueaudit.read.day import read_day, read_moment
from torqueaudit.read.number import read_person_number, read_vehicle_number, read_wrench_number
from torqueaudit.read.odometer import read_run
from torqueaudit.read.pair import read_pair
from torqueaudit.read.tightening import read_differing
from torqueaudit.read.words import read_mark, read_method, read_outcome, read_slot
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.checks import check
from torqueaudit.workshop.jobs.concessions import concede
from torqueaudit.workshop.jobs.fasteners import loosen, see_mark, tighten
from torqueaudit.workshop.jobs.job import open_job
from torqueaudit.workshop.jobs.measurements import measure
from torqueaudit.workshop.jobs.release import hand_over, release
from torqueaudit.workshop.jobs.steps_and_parts import do_step, fit
from torqueaudit.workshop.jobs.strikes import strike
from torqueaudit.workshop.jobs.undo import undo
from torqueaudit.workshop.recheck.arranging import answer_recheck, postpone_recheck, refer_recheck, refuse_recheck
from torqueaudit.workshop.recheck.road import recheck, report_ride
from torqueaudit.workshop.vehicles.vehicle import report_loosened
from torqueaudit.workshop.vehicles.visits import arrive

if TYPE_CHECKING:
    from torqueaudit.model.vehicle.instrument import Run

Words: TypeAlias = "dict[str, str]"


class Clock:
    """A clock that is set, by cards as they are played; from there it goes only when told."""

    def __init__(self, moment: str = "2031-04-02 08:00") -> None:
        self.moment = moment_of(moment)

    def __call__(self) -> datetime:
        """The moment it shows."""
        return self.moment

    def set(self, moment: str) -> None:
        """Set it to a moment in UTC, also back: "2031-04-03 07:30"."""
        self.moment = moment_of(moment)


def moment_of(text: str, zone: tzinfo = UTC) -> datetime:
    """A moment as cards write it: "2031-04-03 07:30"."""
    return read_moment(text, zone)


class Card:
    """A card while it is played: the job it is about, and the entries that each of its lines wrote."""

    def __init__(self, workshop: Workshop, text: str) -> None:
        self.workshop = workshop
        self.job = "1"
        self.written: list[range] = []
        self.lines = [line.strip() for line in text.split("\n") if line.strip()]

    def by_time(self) -> Iterator[tuple[datetime, "Card", str]]:
        """The lines with the moment each is told, which is not before the line above it was."""
        told = datetime.min.replace(tzinfo=UTC)
        for line in self.lines:
            told = max(told, self._at(line))
            yield told, self, line

    def play(self, line: str) -> None:
        """Play one of the lines."""
        before = self.workshop.book.head().sequence
        self._act(line)
        self.written.append(range(before + 1, self.workshop.book.head().sequence + 1))

    def _act(self, line: str) -> None:
        read = lines.LINE.fullmatch(line)
        told = lines.TOLD.fullmatch(read["act"]) if read else None
        for pattern, act in ACTS if told else ():
            if read and told and (found := pattern.fullmatch(told["words"])):
                self.job = read["job"] or self.job
                words = {name: text or "" for name, text in found.groupdict().items()}
                act(self, words, self._say(line, told["by"], words))
                return
        if read is None or read["act"] != "clock":
            raise ValueError(f"this line of the card cannot be read: {line}")

    def _say(self, line: str, by: str, words: Words) -> Say:
        return Say(
            read_person_number(by),
            self._at(line),
            here=True,
            again=bool(words.get("again")),
            sure=bool(words.get("sure")),
            came=Came("card"),
        )

    def _at(self, line: str) -> datetime:
        read = lines.LINE.fullmatch(line)
        if read is None:
            raise ValueError(f"this line of the card does not begin with a date and a time: {line}")
        return moment_of(read["when"], self.workshop.settings.timezone)


def play(workshop: Workshop, *cards: str) -> str:
    """Play job cards, several side by side as their times say; returns the number of the job that was told of last.

    The workshop has to be opened with a `Clock`; times are the workshop's own. Raises ValueError with the text of a
    line that cannot be read, Refused as the workshop refuses, TypeError for another clock.
    """
    clock = workshop.clock
    if not isinstance(clock, Clock):
        raise TypeError("a card sets the clock as it goes; open the workshop with a Clock of torqueaudit.cards.card")
    card = Card(workshop, "")
    for told, card, line in merge(*(Card(workshop, text).by_time() for text in cards), key=itemgetter(0)):
        clock.moment = max(clock.moment, told)
        card.play(line)
    return card.job


def _run(words: Words) -> "Run | None":
    return read_run(words["odometer"]) if words["odometer"] else None


def _opened(card: Card, words: Words, say: Say) -> None:
    run = _run(words)
    vehicle = read_vehicle_number(words["vehicle"])
    only = tuple(words["only"].split(" and ")) if words["only"] else ()
    opening = Opening(vehicle, words["procedure"], run, words["follows"], second=True, only=only)
    number = open_job(card.workshop, opening, say)
    if number != words["job"]:
        raise ValueError(f"the card says job {words['job']}, and it became job {number}")
    card.job = number


def _tightened(card: Card, words: Words, say: Say) -> None:
    if not (words["shown"] or words["outcome"]):
        raise ValueError(f"{words['key']}: the card says neither a torque nor what happened")
    wrench = read_wrench_number(words["wrench"])
    said = Tighten(
        outcome=read_outcome(words["outcome"]) if words["outcome"] else _usual(card.workshop, wrench),
        wrench=wrench,
        shown=words["shown"],
        fitted=tuple(read_adapter(each) for each in words["adapter"].split(" and ") if each),
        stage=int(words["stage"] or 0),
        thread_ok=not words["bad"],
        helpers=tuple(read_person_number(each) for each in words["helpers"].split(" and ") if each),
        differing=dict([read_differing(words["but"].replace(" ", "=", 1))]) if words["but"] else {},
        angle=words["angle"],
        final_shown=words["final"],
        slot=read_slot(words["slot"]) if words["slot"] else None,
        slot_shown=words["at_slot"],
        drag=words["drag"],
        drag_wrench=read_wrench_number(words["by_drag"]) if words["by_drag"] else "",
        no_adapter=bool(words["bare"]),
    )
    tighten(card.workshop, card.job, words["key"], said, say)


def _usual(workshop: Workshop, number: str) -> Outcome:
    wrench = workshop.wrench(number)
    shows = wrench is not None and wrench.kind == "indicating"
    return Outcome.VALUE_SHOWN if shows else Outcome.TURNED_CLICKED


def _loosened(card: Card, words: Words, say: Say) -> None:
    loosen(card.workshop, card.job, words["key"], words["why"], say)


def _marked(card: Card, words: Words, say: Say) -> None:
    see_mark(card.workshop, card.job, words["key"], read_mark(words["state"]), words["why"], say)


def _checked(card: Card, words: Words, say: Say) -> None:
    check(card.workshop, card.job, words["key"], read_method(words["method"]), words["why"], say)


def _measured(card: Card, words: Words, say: Say) -> None:
    inputs = tuple(_input(each) for each in words["inputs"].split(", ")) if words["inputs"] else ()
    taken = Measure(
        written=words["value"],
        place=words["place"],
        inputs=inputs,
        conditions=_pairs("under", words["conditions"]),
        uncertainty=words["uncertainty"],
    )
    measure(card.workshop, card.job, words["key"], taken, say)


def _input(text: str) -> tuple[str, str]:
    """An input as a card tells it, its name up to the number: "length 287.2 mm at link 3"."""
    read = lines.INPUT.fullmatch(text)
    if read is None:
        raise ValueError(f"{text}: the card names no input with a number, such as length 287.2 mm")
    return read["name"], read["reading"]


def _pairs(before: str, text: str) -> tuple[tuple[str, str], ...]:
    """Names and values as a card tells them: "links=112, size=525"."""
    return tuple(read_pair(each, before) for each in text.split(", ")) if text else ()


def _stepped(card: Card, words: Words, say: Say) -> None:
    do_step(card.workshop, card.job, words["key"], words["answer"], words["why"], say)


def _fitted(card: Card, words: Words, say: Say) -> None:
    part = Part(words["part"], words["lot"], not words["used"], _pairs("with", words["attributes"]))
    fit(card.workshop, card.job, words["key"], part, say)


def _conceded(card: Card, words: Words, say: Say) -> None:
    until = read_day(words["until"])
    permission = Permission(
        rule=words["rule"], subject=words["subject"], basis=words["basis"], limit=words["limit"], expires_on=until
    )
    concede(card.workshop, card.job, permission, say)


def _released(card: Card, _: Words, say: Say) -> None:
    release(card.workshop, card.job, say)


def _handed_over(card: Card, words: Words, say: Say) -> None:
    by = read_day(words["until"]) if words["until"] else None
    hand_over(card.workshop, card.job, _run(words), say, words["why"], by)


def _arrived(card: Card, words: Words, say: Say) -> None:
    arrive(card.workshop, read_vehicle_number(words["vehicle"]), _run(words), say)


def _ridden(card: Card, words: Words, say: Say) -> None:
    report_ride(card.workshop, card.job, _run(words), words["why"], say)


def _rechecked(card: Card, words: Words, say: Say) -> None:
    recheck(card.workshop, card.job, _run(words), words["why"], say)


def _postponed(card: Card, words: Words, say: Say) -> None:
    until = read_day(words["until"]) if words["until"] else None
    until_run = _run(words)
    postpone_recheck(card.workshop, card.job, Postponement(until, until_run, words["why"]), say)


def _refused(card: Card, words: Words, say: Say) -> None:
    refuse_recheck(card.workshop, card.job, words["why"], say)


def _referred(card: Card, words: Words, say: Say) -> None:
    refer_recheck(card.workshop, card.job, words["whom"], words["why"], say)


def _answered(card: Card, words: Words, say: Say) -> None:
    answer_recheck(card.workshop, card.job, RecheckResult(words["found"] == IN_ORDER, _run(words), words["why"]), say)


def _struck(card: Card, words: Words, say: Say) -> None:
    line = int(words["line"])
    if not 1 <= line <= len(card.written):
        raise ValueError(f"the card has no line {line} before this one")
    for number in card.written[line - 1]:
        entry = card.workshop.book.entry(number)
        if entry and entry.subject == f"job/{card.job}":
            strike(card.workshop, card.job, number, words["why"], say)


def _undone(card: Card, words: Words, say: Say) -> None:
    undo(card.workshop, card.job, words["why"], say)


def _reported(card: Card, words: Words, say: Say) -> None:
    report_loosened(card.workshop, read_vehicle_number(words["vehicle"]), words["key"], words["why"], say)


ACTS: tuple[tuple[re.Pattern[str], Callable[[Card, Words, Say], None]], ...] = (
    (lines.OPENED, _opened),
    (lines.RELEASED, _released),
    (lines.HANDED_OVER, _handed_over),
    (lines.ARRIVED, _arrived),
    (lines.RIDDEN, _ridden),
    (lines.RECHECKED, _rechecked),
    (lines.POSTPONED, _postponed),
    (lines.REFUSED, _refused),
    (lines.REFERRED, _referred),
    (lines.ANSWERED, _answered),
    (lines.STRUCK, _struck),
    (lines.UNDONE, _undone),
    (lines.CONCEDED, _conceded),
    (lines.REPORTED, _reported),
    (lines.LOOSENED, _loosened),
    (lines.MARKED, _marked),
    (lines.CHECKED, _checked),
    (lines.MEASURED, _measured),
    (lines.STEPPED, _stepped),
    (lines.FITTED, _fitted),
    (lines.TIGHTENED, _tightened),
)
