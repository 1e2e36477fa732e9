"""Each leaving is in one state at all times, and page, label, tag, night, bench, sheet and JSON say that one."""

import html
import os
import re
import shutil
from datetime import UTC, datetime, time, timedelta
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING

import pytest

from torqueaudit.cards.card import Clock
from torqueaudit.cli.job_sheet import lines_of
from torqueaudit.model.shown.night import Night
from torqueaudit.plugins import Plugins
from torqueaudit.reports.json.job import job_json
from torqueaudit.web.app import create_app
from torqueaudit.web.bench.motorcycles import waits_of
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.night.night import night_of
from torqueaudit.workshop.night.sections import NIGHTS_MISSED
from torqueaudit.workshop.night.today import today_of
from torqueaudit.workshop.vehicles.present import show_vehicle
from torqueaudit_plugins.qr_labels.kinds import job_label, owners_tag

if TYPE_CHECKING:
    from collections.abc import Iterator

    from torqueaudit.model.shown.job import JobView
    from torqueaudit.workshop.door.workshop import Workshop

from histories import History, yard_of

MOTORCYCLES, ACTS = 5, 14
YARDS = 2000 if "TORQUEAUDIT_PROOF" in os.environ else 3  # each of five histories
# Both clock changes of Europe in 2032, and two days without one.
BEGINNINGS = ("2032-03-20", "2032-10-20", "2031-06-10", "2031-12-24")
DAY = r"\d{4}-\d\d-\d\d"
# How each state is said behind "re-check"; these words are of this test alone.
SAID = {
    "not yet due": rf"due (by {DAY}|at [\d.]+ (?:km|mi|h)).*(?<!late)",
    "due": rf"due now: (by {DAY}|at [\d.]+ (?:km|mi|h)).*",
    "missed": rf"due (by {DAY}|at [\d.]+ (?:km|mi|h)).* – .+ late",
    "in hand": "in hand, due .*",
    "postponed": "postponed, due .*",
    "handed to another workshop": "handed to another workshop, due .*",
    "refused by the owner": rf"refused by the owner on {DAY}( – .* late)?",
    "done": rf"done on {DAY} by .*",
    "overtaken by a later job": "overtaken by a later job",
    "vehicle gone": "vehicle gone",
    "withdrawn": "withdrawn",
}
ON_THE_LABEL = {
    "not yet due": "Re-check (by|at|by or at)",
    "due": "Re-check (by|at|by or at)",
    "missed": "Re-check (by|at|by or at)",
    "postponed": "Re-check (by|at|by or at)",
    "in hand": "Re-check by( or at)?",
    "handed to another workshop": "Re-check elsewhere (by|at|by or at)",
    "done": "Re-check done",
    "refused by the owner": "Re-check refused",
}
ON_THE_PAGE = {
    "done": "Due Nothing The re-check was done",
    "refused by the owner": "Due Nothing The owner does not want the re-check",
    "overtaken by a later job": "Due Nothing Every fastener of this job was done by a later job since",
    "vehicle gone": "Due Nothing The vehicle will not come back. Its re-check was never done",
    "withdrawn": "Due Nothing The job was withdrawn",
}
WAITS = ("not yet due", "due", "missed", "postponed", "in hand")


@pytest.mark.proof
@pytest.mark.parametrize("seed", range(YARDS))
def test_every_door_says_the_one_state_of_each_re_check(
    ready_made_book: Path, tmp_path: Path, installed_plugins: Plugins, seed: int
) -> None:
    """Rides, visits, arrangements, strikes, later jobs and days go by, in a zone whose clocks may change meanwhile."""
    chance = Random(seed)
    book = Path(shutil.copy(ready_made_book, tmp_path / "yard.book"))
    clock = Clock(f"{BEGINNINGS[seed % len(BEGINNINGS)]} {chance.randrange(24):02}:00")
    with yard_of(book, clock, seed, installed_plugins) as workshop:
        yard = [History(workshop, clock, chance) for _ in range(MOTORCYCLES)]
        for _ in range(ACTS):
            for each in yard:
                each.act()
                assert each.expected == state_of(show_job(workshop, each.job)), (seed, each.job)
            clock.moment += timedelta(hours=chance.choice((1, 20, 24, 24, 70, 170)))
        told = dict(doors(workshop, book, clock, installed_plugins, yard))
        clock.moment = last_second(workshop)
        night, now = night_of(workshop, workshop.today()), today_of(workshop)

    assert {} == {door: said for door, said in told.items() if said}, seed
    assert night.unreached == now.unreached
    assert list(night.sections) == [section for section in now.sections if section.key != NIGHTS_MISSED], seed


def last_second(workshop: "Workshop") -> datetime:
    """Of the workshop's day, at which a night judges it."""
    tomorrow = workshop.today() + timedelta(days=1)
    return datetime.combine(tomorrow, time.min, workshop.settings.timezone).astimezone(UTC) - timedelta(seconds=1)


def state_of(view: "JobView") -> str:
    """What the record knows, "" where nothing is waited for yet."""
    return view.recheck.standing.state.value if view.recheck else ""


def doors(
    workshop: "Workshop", book: Path, clock: Clock, plugins: Plugins, yard: list[History]
) -> "Iterator[tuple[str, str]]":
    """What each door says of each motorcycle where that is not its state, in words; "" where it is."""
    today = workshop.today()
    night = night_of(workshop, today)
    with create_app(book, clock, Random(1), plugins) as app:
        for each in yard:
            state, view = each.expected, show_job(workshop, each.job)
            vehicle = show_vehicle(workshop, each.vehicle)
            record = app.test_client().get(f"/r/{view.token}/record").text
            yield f"night {each.job}", in_the_night(night, each, state)
            if not state:
                continue
            kept = job_json(view, [])["recheck"]
            yield f"json {each.job}", "" if kept["state"] == state else f"{state}: {kept}"
            sheet = [line.removeprefix("re-check: ") for line in lines_of(view) if line.startswith("re-check: ")]
            yield f"sheet {each.job}", fitting(SAID[state], state, sheet[0])
            waits = [
                line.says.partition(": re-check ")[2] for line in waits_of(vehicle) if f"Job {each.job}:" in line.says
            ]
            told = state in (*WAITS, "refused by the owner", "handed to another workshop") and state != "in hand"
            yield (
                f"bench {each.job}",
                fitting(SAID[state], state, waits[0]) if told and waits else (told and "nothing") or "",
            )
            yield (
                f"page {each.job}",
                on_the_page(
                    state,
                    record,
                    alone=[work.number for work in vehicle.works] == [each.job],
                    reached=bool(view.recheck and view.recheck.standing.reached),
                ),
            )
            (line,) = [each for each in job_label(view, workshop.settings).lines if each.name.startswith("Re-check")]
            yield f"label {each.job}", fitting(ON_THE_LABEL.get(state, "Re-check"), state, line.name)
            yield f"tag {each.job}", on_the_tag(workshop, view, state)


def at_the_bench(state: str, waits: list[str]) -> str:
    """What the page of the motorcycle says of it while it is away."""
    if state in ("in hand", "done", "overtaken by a later job", "vehicle gone", "withdrawn"):
        return "; ".join(waits)
    return fitting(SAID[state], state, waits[0] if waits else "nothing")


def fitting(pattern: str, state: str, said: str) -> str:
    """Nothing where a text says the state, else both."""
    return "" if re.fullmatch(pattern, said) else f"{state}: {said}"


def on_the_page(state: str, page: str, *, alone: bool, reached: bool) -> str:
    """What the record's page says is due; of a motorcycle with other jobs that may be one of theirs."""
    text = " ".join(html.unescape(re.sub("<[^>]+>", " ", page)).split())
    due = text[text.index(" Due ") + 1 :][:200]
    says = ON_THE_PAGE.get(state, f"Due Re-check {'Due now' if state == 'due' else SAID[state].partition(' ')[0]}")
    if state == "in hand":
        says = "Due Re-check In hand"
    elif state == "refused by the owner" and reached:
        says = "Due Re-check Refused by the owner on"
    return "" if not alone or due.casefold().startswith(says.casefold()) or "Due A repair" in due else f"{state}: {due}"


def on_the_tag(workshop: "Workshop", view: "JobView", state: str) -> str:
    """An owner is told to come back where the workshop waits, and nowhere else."""
    try:
        tag = owners_tag(view, workshop.settings)
    except ValueError as error:
        return f"{state}: {error}" if state in WAITS else ""
    called = [line.name for line in tag.lines]
    return "" if state in WAITS and "Come back" in called else f"{state}: {tag.lines}"


def in_the_night(night: Night, history: History, state: str) -> str:
    """In which sections the night tells of its re-check; soon and the rest are told apart by the day alone."""
    found = [
        section.key
        for section in night.sections
        for line in section.lines
        if line.job == history.job and line.says.startswith("Re-check ")
    ]
    expected: tuple[list[str], ...] = {
        "missed": (["re-checks-missed"],),
        "due": (["due"],),
        "not yet due": ([], ["due"]),
        "postponed": (["rest"], ["due"]),
        "handed to another workshop": (["rest"], ["due"]),
        "refused by the owner": ([], ["rest"]),
    }.get(state, ([],))
    return "" if found in expected else f"{state}: {found}"
