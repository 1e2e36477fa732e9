"""One truth in every room: label, night and bench say the same of a motorcycle, whatever was told in whatever order."""

import os
from datetime import timedelta
from random import Random
from typing import TYPE_CHECKING

import pytest

from torqueaudit.ledger.entry import moment_of
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.wrench.acts import Calibrate
from torqueaudit.testing import Clock, play
from torqueaudit.web.record_page import record_page
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.strikes import strike
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.night.night import keep_in_full, night_of
from torqueaudit.workshop.paper.record import paper_of
from torqueaudit.workshop.vehicles.present import show_vehicle
from torqueaudit.workshop.wrenches.calibrations import calibrate

if TYPE_CHECKING:
    from collections.abc import Callable

    from torqueaudit.model.shown.vehicle import VehicleView

VEHICLES = ("V-1", "V-2")
STEPS, EVERY = 36, 4
SEEDS = range(300 if os.environ.get("TORQUEAUDIT_PROOF") else 6)
FOUND = {
    "out": ("40 N·m: 34 34 34 34 34", "100 N·m: 85 85 85 85 85", "200 N·m: 170 170 170 170 170"),
    "in": ("40 N·m: 40 40 40 40 40", "100 N·m: 100 100 100 100 100", "200 N·m: 200 200 200 200 200"),
}
LINES = (
    "job {new} opened axle on {vehicle} by P-2",
    "job {job} rear-axle-nut 108 N·m with W-1 by P-2",
    "job {job} rear-axle-nut 90 N·m with W-1 by P-2",
    "job {job} rear-axle-nut loosened: wheel out by P-2",
    "job {job} rear-axle-nut mark intact by P-2",
    "job {job} rear-axle-nut mark disturbed by owner",
    "job {job} rear-axle-nut mark disturbed by P-2",
    "job {job} rear-axle-nut checked watched by P-3",
    "job {job} released by P-1",
    "job {job} handed over at {km} km with stops: fetched by P-1",
    "job {job} re-checked at {km} km by P-2",
    "{vehicle} arrived at {km} km by P-2",
    "{vehicle} rear-axle-nut reported loosened: tyre changed by owner",
)


class Story:
    """Acts drawn by lot; what the workshop refuses is left out."""

    def __init__(self, workshop: Workshop, clock: Clock, random: Random) -> None:
        self.workshop, self.clock, self.random = workshop, clock, random
        self.kilometres = 12_000

    def step(self) -> None:
        """One act, some minutes or days after the one before."""
        self.clock.moment += timedelta(minutes=self.random.choice((1, 7, 60, 60 * 26)))
        self.kilometres += self.random.randrange(30)
        act: Callable[[], object] = self.random.choices((self._line, self._strike, self._wrench), (12, 1, 1))[0]
        try:
            act()
        except Refused:
            return

    def _jobs(self) -> int:
        return sum(len(show_vehicle(self.workshop, vehicle).jobs) for vehicle in VEHICLES)

    def _line(self) -> None:
        many = self._jobs()
        said = self.random.choice(LINES if many else LINES[:1]).format(
            new=many + 1,
            job=self.random.randint(max(1, many - 2), max(1, many)),
            vehicle=self.random.choice(VEHICLES),
            km=self.kilometres,
        )
        late = timedelta(hours=5) if self.random.random() < 0.1 else timedelta()
        play(self.workshop, f"{self.clock.moment - late:%Y-%m-%d %H:%M} {said}")

    def _strike(self) -> None:
        job = str(self.random.randint(1, max(1, self._jobs())))
        entries = self.workshop.book.entries(f"job/{job}")
        if entries:
            strike(self.workshop, job, self.random.choice(entries).sequence, "slip", Say("P-1"))

    def _wrench(self) -> None:
        found = FOUND[self.random.choice(list(FOUND))]
        told = Calibrate(self.clock.moment.date(), as_found=found, as_left=FOUND["in"], certificate="C-1")
        calibrate(self.workshop, "W-1", told, Say("P-1"))


def hold(workshop: Workshop) -> None:
    """Every room says the same."""
    night = night_of(workshop, workshop.today())
    called = {
        (line.vehicle, line.job) for section in night.sections if section.key == "on-the-road" for line in section.lines
    }
    for number in VEHICLES:
        view = show_vehicle(workshop, number)
        positions = [each.fastener.position for each in view.fasteners]
        expected = set() if view.presence.here else {(number, each.job) for each in view.stops}

        assert sorted(set(positions)) == sorted(positions)
        assert expected == {each for each in called if each[0] == number}
        labels_agree(workshop, view)
        papers_agree(workshop, view)


def labels_agree(workshop: Workshop, view: "VehicleView") -> None:
    """The label of each job shows the nut by the job that did it last."""
    nut = next((each for each in view.fasteners if each.fastener.position == "rear-axle-nut"), None)
    pages = [record_page(show_job(workshop, each.job), view) for each in view.jobs]

    assert len({page.vehicle.figure for page in pages}) <= 1
    for page in pages if nut else ():
        (line,) = page.fasteners
        by = "" if nut and nut.job == page.job.number else f"job {nut.job if nut else ''}"
        assert line.job.startswith(by)


def papers_agree(workshop: Workshop, view: "VehicleView") -> None:
    """The record of each job on paper says what sheet and page say at the last entry of the book, in their words."""
    clock, last = workshop.clock, workshop.book.entry(workshop.book.head().sequence)
    assert isinstance(clock, Clock)
    assert last is not None
    now, clock.moment = clock.moment, moment_of(last.recorded_at)
    vehicle = show_vehicle(workshop, view.number)
    for each in view.jobs:
        paper, shown = paper_of(workshop, each.job).record, show_job(workshop, each.job)
        page = record_page(shown, vehicle)
        wrong = {section.title: section.sentences for section in paper.wrong}

        assert shown == paper.job
        assert (*page.stops, *page.more_stops) == wrong.get("Stops", ())
        assert page.cautions == wrong.get("Cautions", ())
        assert page.vehicle.stops == wrong.get("Stops of its other jobs", ())
        assert (page.undone, shown.strikes) == (wrong.get("Undone since", ()), wrong.get("Struck", ()))
        assert (page.conceded, page.notes, page.steps) == (paper.conceded, paper.notes, paper.steps)
        assert (page.measurements, page.parts) == (paper.measurements, paper.parts)
        assert set(page.state_says) <= set(paper.says)
        assert page.due._replace(looks=()) == paper.due._replace(looks=())
        assert [line for line in page.fasteners if not line.job] == [
            row.line for row in paper.fasteners if row.line in page.fasteners
        ]
        assert all(
            proof.says.endswith(row.judged.removeprefix("judged then: "))
            for proof, row in zip(page.proofs, (row for row in paper.fasteners if row.judged), strict=True)
        )
        assert (page.weight == "stop") <= (paper.weight == "stop") or page.due.late != ""
    clock.moment = now


@pytest.mark.proof
@pytest.mark.parametrize("seed", SEEDS)
def test_every_room_says_the_same_of_a_motorcycle(workshop: Workshop, seed: int) -> None:
    """Jobs, visits, strikes, reports and found-out wrenches in any order; full nights and those between."""
    random = Random(seed)
    clock = workshop.clock
    assert isinstance(clock, Clock)
    told = Story(workshop, clock, random)
    for number in range(STEPS):
        told.step()
        if number % EVERY == EVERY - 1:
            hold(workshop)
            if random.random() < 0.4:
                keep_in_full(workshop, night_of(workshop, workshop.today()), Say("night"))
