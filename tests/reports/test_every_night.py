"""Every night is audited exactly once, across changes of the clock and whenever the machine was off.

The rules of the zones are those of the IANA time zone database, by Python's `zoneinfo`.
"""

from collections import Counter
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from random import Random
from typing import NamedTuple
from zoneinfo import ZoneInfo, available_timezones

import pytest

from torqueaudit.book.places import night_of
from torqueaudit.ledger.entry import stamp
from torqueaudit.model.register.nights import RUNS_AT
from torqueaudit.plugins import Plugins
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.night.heartbeat import nights_to_run
from torqueaudit.workshop.opening import new_workshop, open_workshop

# Both directions of a change, of one hour and of half an hour, at two in the morning and at midnight.
ZONES = ("Europe/Vienna", "America/New_York", "Australia/Lord_Howe", "Africa/Cairo")
FIRST, DAYS = date(2031, 1, 1), 730
ONE = timedelta(days=1)
LONGEST_OFF = 12  # days; of more than fourteen nights in a row the oldest are told, and not audited


class Off(NamedTuple):
    """From when to when the machine was off."""

    since: datetime
    until: datetime


def showing(day: date, zone: ZoneInfo) -> list[datetime]:
    """The moments (UTC) of a local day at which a clock shows the hour of the night: none, one, or two."""
    told = [datetime.combine(day, RUNS_AT, zone).replace(fold=fold) for fold in (0, 1)]
    moments = {each.astimezone(UTC) for each in told}
    return sorted(
        each for each in moments if each.astimezone(zone).replace(tzinfo=None) == told[0].replace(tzinfo=None)
    )


def begun(zone: ZoneInfo, off: list[Off]) -> list[datetime]:
    """When a timer runs that makes up, once, for what it missed while the machine was off (`Persistent=true`)."""
    moments = set()
    for moment in (each for back in range(DAYS) for each in showing(FIRST + back * ONE, zone)):
        moments.add(next((each.until for each in off if each.since <= moment < each.until), moment))
    return sorted(moments)


def audited(workshop: Workshop, moments: list[datetime]) -> Counter[date]:
    """How often the night of each day was audited."""
    counted: Counter[date] = Counter()
    with night_of(workshop.book.path).open("w", encoding="ascii") as kept:  # once, for 700 nights wait for no disk
        for moment in moments:
            now = Workshop(workshop.book, workshop.plugins, lambda at=moment: at, workshop.chance)  # type: ignore[misc]
            for day in nights_to_run(now):
                counted[day] += 1
                kept.seek(0)
                kept.write(f"{day} {stamp(moment)}\n")
                kept.flush()
    return counted


def times_off(zone: str) -> list[Off]:
    """Nights, weekends and holidays on which the machine was off, by lot; it is switched on at any hour."""
    chance, found = Random(zone), list[Off]()
    moment = datetime.combine(FIRST + ONE, RUNS_AT, UTC)
    while moment.date() < FIRST + (DAYS - LONGEST_OFF - 9) * ONE:
        since = moment + timedelta(minutes=chance.randrange(5 * 24 * 60))
        moment = since + timedelta(minutes=chance.randrange(LONGEST_OFF * 24 * 60))
        found.append(Off(since, moment))
    return found


@pytest.mark.parametrize("zone", ZONES)
def test_every_night_of_two_years_is_audited_exactly_once(
    zone: str, tmp_path: Path, installed_plugins: Plugins
) -> None:
    """On a machine that always runs, and on one that is off by night, over weekends and for holidays."""
    path = tmp_path / "yard.book"
    start = datetime.combine(FIRST, RUNS_AT, UTC)
    settings = {"zone": zone, "base_address": "http://yard.local"}
    new_workshop(path, "YARD", settings, clock=lambda: start)
    nights = Counter({FIRST + back * ONE: 1 for back in range(-1, DAYS - 1)})
    always, at_times = begun(ZoneInfo(zone), []), begun(ZoneInfo(zone), times_off(zone))
    with open_workshop(path, plugins=installed_plugins) as workshop:
        run_always = audited(workshop, always)
        run_at_times = audited(workshop, at_times)

    assert len(at_times) < len(always) == DAYS
    assert nights == run_always
    assert nights == run_at_times


def test_the_hour_of_the_night_comes_once_on_every_day_in_every_zone() -> None:
    """No change of a clock leaves it out or repeats it, in any zone of the database, over two years from now."""
    first = datetime.now(UTC).date()
    rules = [ZoneInfo(name) for name in sorted(available_timezones())]
    wrong = [
        (zone.key, day.isoformat())
        for zone in rules
        for day in (first + back * ONE for back in range(DAYS))
        if _offset(day, zone, 0) != _offset(day, zone, 1)
    ]

    assert len(rules) > len(ZONES)
    assert [] == wrong


def _offset(day: date, zone: ZoneInfo, fold: int) -> timedelta | None:
    """It differs between the two folds where the hour is left out or repeated (PEP 495)."""
    return datetime.combine(day, RUNS_AT, zone).replace(fold=fold).utcoffset()
