"""A published page says what the served one says: when it is written, and on every later day if nothing is recorded."""

import os
import re
from collections.abc import Callable
from datetime import date, datetime, timedelta
from html.parser import HTMLParser
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING

import pytest

from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.acts import Permission, Postponement
from torqueaudit.model.job.facts import MarkState
from torqueaudit.web.publish.publishing import Published
from torqueaudit.workshop.jobs.concessions import concede
from torqueaudit.workshop.jobs.fasteners import see_mark
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.recheck.arranging import postpone_recheck, refer_recheck, refuse_recheck
from torqueaudit.workshop.recheck.road import report_ride
from torqueaudit.workshop.vehicles.gone import gone
from torqueaudit.workshop.vehicles.vehicle import report_all_loosened
from torqueaudit.workshop.vehicles.visits import arrive

if TYPE_CHECKING:
    from tests.web.conftest import Answer, Yard

HISTORIES = 40 if "TORQUEAUDIT_PROOF" in os.environ else 2
ACTS = 6
COMPARED = ("May I ride?", "When to come back", "Look before you ride", "Call us")
AHEAD = (0, 1, 6, 13, 14, 21, 22, 31, 45, 400)  # days; the re-check of the procedure is due after 14, missed after 22
YEAR = re.compile(r" 20\d\d")


class Read(HTMLParser):
    """What is read on a page on a day: the words of each section, by its heading; without a day, of all that stands."""

    def __init__(self, text: str, day: date | None = None) -> None:
        super().__init__()
        self.sections: dict[str, str] = {}
        self._day = day.isoformat() if day else ""
        self._within: list[bool] = []  # of each open element whether it is over, or has not begun
        self._said: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """An element opens."""
        if tag in {"meta", "input", "br"}:
            return
        told = {name: value or "" for name, value in attrs}
        since, until = told.get("data-from", ""), told.get("data-until", "9")
        self._within.append(bool(self._day) and not since <= self._day < until)
        if tag == "section":
            self._said = []

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """A stroke of a drawing."""

    def handle_endtag(self, tag: str) -> None:
        """It closes."""
        if self._within:
            self._within.pop()
        if tag == "section" and self._said:
            heading, *words = self._said
            self.sections[heading] = YEAR.sub("", " ".join(" ".join(words).split()))

    def handle_data(self, data: str) -> None:
        """Words."""
        if data.strip() and not any(self._within):
            self._said.append(data)


def read(text: str, day: date | None = None) -> dict[str, str]:
    """The sections that are compared."""
    found = Read(text.partition("</style>")[2], day).sections
    return {heading: words for heading, words in found.items() if heading in COMPARED}


class History:
    """Acts drawn by lot on one vehicle; each that the workshop refuses is passed over."""

    def __init__(self, yard: "Yard", procedures: Path, chance: Random) -> None:
        self._yard = yard
        self._procedures = procedures
        self._chance = chance
        self.jobs: list[str] = []

    def go_on(self) -> None:
        """One act more, some time later."""
        yard, chance = self._yard, self._chance
        yard.later(hours=chance.choice((1, 5, 30, 24 * 9)))
        acts: list[Callable[[], object]] = [self._work, self._mark, self._told]
        acts += [self._agreed, self._permitted] * 2 + [self._there_or_gone]
        try:
            chance.choice(acts if self.jobs else [self._work])()
        except Refused:
            return

    def _work(self) -> None:
        job = self._yard.open(self._procedures / self._chance.choice(("final-drive.toml", "front-wheel.toml")))
        self.jobs.append(job)
        if self._chance.random() < 0.8:  # most are finished
            self._yard.work(job)
            self._yard.leave(job)

    def _mark(self) -> None:
        state = self._chance.choice((MarkState.DISTURBED, MarkState.UNREADABLE, MarkState.INTACT))
        see_mark(self._yard.workshop, self._job(), self._key(), state, "", Say("owner"))

    def _told(self) -> None:
        if self._chance.random() < 0.7:  # more kilometres than loose nuts
            report_ride(
                self._yard.workshop, self._job(), 12_000_000 + self._chance.randrange(150_000), "", Say("owner")
            )
        else:
            report_all_loosened(self._yard.workshop, self._yard.vehicle, [self._key()], "told", Say("owner"))

    def _agreed(self) -> None:
        yard, until = self._yard, self._yard.workshop.today() + timedelta(days=self._chance.randrange(1, 60))
        foreman, job = Say(yard.foreman), self._job()
        self._chance.choice(
            (
                lambda: postpone_recheck(yard.workshop, job, Postponement(until, None, "away"), foreman),
                lambda: refuse_recheck(yard.workshop, job, "not wanted", foreman),
                lambda: refer_recheck(yard.workshop, job, "another yard", "abroad", foreman),
            )
        )()

    def _permitted(self) -> None:
        job = self._job()
        found = next((each for each in show_job(self._yard.workshop, job).stops if each.concedable), None)
        if found is None:
            raise Refused("nothing to permit")
        until = self._yard.workshop.today() + timedelta(days=self._chance.randrange(40))
        permission = Permission(
            rule=found.rule, subject=found.about.key, basis="looked at", limit="50 km", expires_on=until
        )
        concede(self._yard.workshop, job, permission, Say(self._yard.foreman))

    def _there_or_gone(self) -> None:
        if self._chance.random() < 0.8:  # few are sold
            arrive(self._yard.workshop, self._yard.vehicle, 12_200_000, Say(self._yard.foreman))
        else:
            gone(self._yard.workshop, self._yard.vehicle, "sold", Say(self._yard.foreman, sure=True))

    def _job(self) -> str:
        return self._chance.choice(self.jobs)

    def _key(self) -> str:
        return self._chance.choice(self._yard.workshop.job(self._job()).procedure.fasteners()).key


@pytest.fixture(params=range(HISTORIES))
def history(request: pytest.FixtureRequest, yard: "Yard", procedures: Path) -> History:
    return History(yard, procedures, Random(request.param))


def test_it_says_what_is_served_on_that_day(
    history: History,
    yard: "Yard",
    live: str,
    get: Callable[..., "Answer"],
    clock: list[datetime],
    folder: Path,
    published: Callable[[], Published],
) -> None:
    """After each act of a history, that day and on days ahead; also where only what changed was written."""
    compared = 0
    for _ in range(ACTS):
        history.go_on()
        published()
        now = clock[0]
        for job in history.jobs:
            file = (folder / "r" / yard.token(job) / "index.html").read_text(encoding="utf-8")
            for days in AHEAD:
                clock[0] = now + timedelta(days=days)
                served = read(get(f"{live}r/{yard.token(job)}").text)
                assert served == read(file, yard.workshop.today()), (job, days, now)
                compared += len(served)
            clock[0] = now

    assert compared > ACTS * len(AHEAD)


def test_the_reader_of_this_test_passes_over_what_does_not_hold() -> None:
    """The days of a part, and of one within it."""
    text = (
        "</style><section><h2>Call us</h2><div data-until='2031-04-17'><p data-until='0'>a</p>b</div>"
        "<div data-from='2031-04-17'>c</div></section>"
    )
    days = (date(2031, 4, 16), date(2031, 4, 17), None)

    assert ["b", "c", "a b c"] == [read(text, day)["Call us"] for day in days]
