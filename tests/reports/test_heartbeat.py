"""A night that did not run is seen by whatever runs next: the night itself, `ledger verify`, and the bench."""

from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from torqueaudit.book import last_night
from torqueaudit.book.places import night_of as file_of
from torqueaudit.cli.main import cli
from torqueaudit.ledger.entry import moment_of
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.night.heartbeat import heartbeat, keep_audited, nights_to_run
from torqueaudit.workshop.night.night import night_of

TYPED = " Look why; `torqueaudit nightly --since-last` audits them."
ONE = timedelta(days=1)


def typed(yard: Any, *words: str) -> Result:
    return CliRunner().invoke(cli, ["--book", str(yard.path), *words])


def audited(yard: Any, day: date) -> None:
    """Keep that the night of a day was audited, as a night keeps it."""
    file_of(yard.path).unlink(missing_ok=True)
    last_night.keep(yard.path, day, datetime.now(UTC))


def today(yard: Any) -> Workshop:
    """The workshop of forty days ago by the machine's clock."""
    own = yard.workshop
    return Workshop(own.book, own.plugins, lambda: datetime.now(UTC), own.chance)


@pytest.fixture
def yesterday(yard_of_late: Any) -> date:
    """In the workshop, by the machine's clock."""
    day: date = yard_of_late.workshop.local_day(datetime.now(UTC)) - ONE
    return day


def at(workshop: Workshop, local: datetime) -> Workshop:
    """The workshop at a moment by its own clock."""
    moment = local.replace(tzinfo=workshop.settings.timezone).astimezone(UTC)
    return Workshop(workshop.book, workshop.plugins, lambda: moment, workshop.chance)


def test_the_night_after_missed_ones_names_them_and_ends_with_code_1(yard_of_late: Any, yesterday: date) -> None:
    """Nothing else was missed; the night after it has nothing to say any more."""
    yard_of_late.quiet(yard_of_late.vehicle("tourer"))
    audited(yard_of_late, yesterday - 3 * ONE)
    first, second = typed(yard_of_late, "nightly"), typed(yard_of_late, "nightly")
    says = f"The last night that was audited is that of {yesterday - 3 * ONE}; 2 nights since were not.{TYPED}"

    assert (1, True) == (first.exit_code, f"Nights that were not audited: 1\n  {says}" in first.stdout), first.output
    assert (0, False) == (second.exit_code, "Nights that were not audited" in second.stdout), second.output


def test_nights_since_the_last_are_made_up_for_once(yard_of_late: Any, yesterday: date, tmp_path: Path) -> None:
    """Three reports, each with its files, the oldest first, and none of them missing; then nothing is left to do."""
    yard_of_late.quiet(yard_of_late.vehicle("tourer"))
    audited(yard_of_late, yesterday - 3 * ONE)
    out = ("--since-last", "--out", str(tmp_path / "nights"))
    done, again = typed(yard_of_late, "nightly", *out), typed(yard_of_late, "nightly", *out)
    days = [yesterday - 2 * ONE, yesterday - ONE, yesterday]

    assert [f"nightly-{day}.json" for day in days] == sorted(each.name for each in (tmp_path / "nights").glob("*.json"))
    assert "Nights that were not audited" not in done.stdout
    assert [f"This night was audited {days} late, on" in done.stdout for days in ("2 days", "1 day", "0 days")] == [
        True,
        True,
        False,
    ]
    assert sorted(done.stdout.index(f", {day}: ") for day in days) == [done.stdout.index(f", {day}: ") for day in days]
    assert (0, f"The night of {yesterday} was audited already; no other has come since.\n") == (
        again.exit_code,
        again.output,
    )


def test_the_first_night_of_a_book_is_that_of_yesterday_alone(yard_of_late: Any, yesterday: date) -> None:
    """Nobody waits for the nights of years in which the book was not audited."""
    assert [yesterday] == nights_to_run(today(yard_of_late))


def test_of_a_long_row_of_missed_nights_the_newest_are_audited_and_the_rest_is_told(
    yard_of_late: Any, yesterday: date
) -> None:
    """A workshop that was closed for a month is not kept waiting, and what was not audited is said."""
    audited(yard_of_late, yesterday - 20 * ONE)
    done = typed(yard_of_late, "nightly", "--since-last")

    assert f"is that of {yesterday - 20 * ONE}; 6 nights since were not." in done.stdout
    assert 1 == done.stdout.count("Nights that were not audited")
    assert [] == nights_to_run(today(yard_of_late))


def test_a_night_that_could_not_be_told_is_missing(yard_of_late: Any, yesterday: date, tmp_path: Path) -> None:
    """Where its files cannot be written nobody has its report, so it is audited again."""
    (tmp_path / "nights").write_text("no folder", encoding="utf-8")
    audited(yard_of_late, yesterday - ONE)
    done = typed(yard_of_late, "nightly", "--since-last", "--out", str(tmp_path / "nights"))

    assert 2 == done.exit_code
    assert [yesterday] == nights_to_run(today(yard_of_late))


def test_verifying_the_ledger_says_it_and_calls_it_no_damage(yard_of_late: Any, yesterday: date) -> None:
    """Sound, code 0, and the sentence; in JSON among the remarks in plain words."""
    audited(yard_of_late, yesterday - 5 * ONE)
    plain, data = typed(yard_of_late, "ledger", "verify"), typed(yard_of_late, "ledger", "verify", "--json")
    says = f"The last night that was audited is that of {yesterday - 5 * ONE}; "

    assert (0, 0) == (plain.exit_code, data.exit_code), plain.output
    assert says in plain.stdout
    assert TYPED in plain.stdout
    assert says in data.stdout
    assert "Look why, and audit them." in data.stdout


def test_since_last_goes_with_neither_a_day_nor_json(yard_of_late: Any) -> None:
    """Several nights are no one day, and no one document."""
    for wrong in (("--date", "2031-04-02"), ("--json",)):
        done = typed(yard_of_late, "nightly", "--since-last", *wrong)
        assert (2, True) == (done.exit_code, "give it without --date and --json" in done.output)


def test_the_night_of_yesterday_is_late_from_six_o_clock_on(workshop: Workshop) -> None:
    """Until then it may still come, and nobody is troubled."""
    day = workshop.today()
    last_night.keep(workshop.book.path, day - 2 * ONE, workshop.clock())
    early, late = (at(workshop, datetime.combine(day, hour)) for hour in (time(5, 59), time(6)))

    assert (None, 0) == (heartbeat(early).says, heartbeat(early).missed)
    assert (
        f"The last night that was audited is that of {day - 2 * ONE}; 1 night since was not. Look why, and audit "
        in str(heartbeat(late).says)
    )


def test_a_book_without_any_night_says_so_from_the_day_on_that_it_was_made(workshop: Workshop) -> None:
    """Whoever never set up the night is told; on the first day there is nothing to tell."""
    made = workshop.local_day(moment_of(workshop.book.entries("site/YARD")[0].recorded_at))
    noon = [at(workshop, datetime.combine(made + after * ONE, time(12))) for after in (0, 1, 3)]

    assert [0, 1, 3] == [heartbeat(each).missed for each in noon]
    assert f"No night was audited yet: the book was made on {made}, and 3 nights since were not." in str(
        heartbeat(noon[2]).says
    )


def test_what_stands_in_the_file_spoilt_tells_nothing_and_stops_nothing(workshop: Workshop) -> None:
    """It is written anew by the next night; a later day is never replaced by an earlier one."""
    file_of(workshop.book.path).write_bytes(b"\xff\x00 no day")
    assert last_night.newest(workshop.book.path) is None
    night = night_of(workshop)
    keep_audited(workshop, night)
    keep_audited(workshop, night._replace(date=night.date - 9 * ONE))

    assert night.date == last_night.newest(workshop.book.path)
