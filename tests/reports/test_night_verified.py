"""A night verifies the book before it trusts what the lists say: a changed list must never read as a quiet night."""

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from torqueaudit.model.act import Say
from torqueaudit.reports.files import write_nightly
from torqueaudit.workshop.night.night import keep_in_full, night_of
from torqueaudit.workshop.night.sealing import sealed

if TYPE_CHECKING:
    from torqueaudit.model.shown.night import Night

NOT_RELIABLE = "The book does not verify, so nothing that this report says can be relied on."


def missed_twice(yard: Any) -> list[str]:
    """Two jobs whose re-check is a month late; the clock stands there."""
    jobs = [yard.clean(yard.vehicle("tourer")), yard.clean(yard.vehicle("enduro"))]
    yard.day("2031-05-01")
    return jobs


def run(yard: Any, sql: str) -> None:
    """Meddle with the file past the program, with the triggers of the ledger taken away and put back."""
    connection = yard.workshop.book.engine.connection
    triggers = connection.execute("select name, sql from sqlite_schema where type = 'trigger'").fetchall()
    for name, _ in triggers:
        connection.execute(f"drop trigger {name}")
    connection.execute(sql)
    for _, made in triggers:
        connection.execute(made)
    yard.restart()


def told(night: "Night") -> list[str]:
    """What could not be audited."""
    return [line.says for line in night.sections[0].lines]


def kept(yard: Any, day: str, each_night: int) -> "Night":
    """A night as the timer runs it."""
    night = night_of(yard.workshop, date.fromisoformat(day), each_night=each_night)
    keep_in_full(yard.workshop, night, Say("night"))
    return night


def test_a_sound_book_says_when_it_was_verified(yard: Any) -> None:
    """Each night, and the report tells the day."""
    missed_twice(yard)
    night = night_of(yard.workshop)

    assert (1, [], date(2031, 4, 30)) == (night.exit_code, told(night), night.verified_in_full)


@pytest.mark.parametrize(
    ("sql", "fault"),
    [
        ("update jobs set rechecked_on = '2031-04-20T10:00:00Z'", "The list jobs differs from the ledger on job/1"),
        ("update jobs set due_on = null, due_distance_m = null", "The list jobs differs"),
        ("update jobs set due_on = '2031-12-31'", "The list jobs differs"),
        ("update jobs set handed_over_on = null, state = 'open'", "The list jobs differs"),
        ("delete from jobs", "The list jobs differs"),
        ("delete from visits", "The list visits differs"),
        ("update visits set gone = 1", "The list visits differs"),
        ("insert into odometer (subject, vehicle, metres) values ('job/7', 'V-1', 1)", "The list odometer holds job/7"),
        ("delete from fastener_events", "The list fastener_events differs"),
        ("update ledger set document = replace(document, '100 N', '101 N')", "was altered"),
        ("delete from ledger where position = (select max(position) - 1 from ledger)", "does not follow"),
        ("update personal set value = 'Somebody Else'", "The name of person/P-1 was altered"),
    ],
)
def test_whatever_was_changed_past_the_program_could_not_be_audited(yard: Any, sql: str, fault: str) -> None:
    """The lists above all: the night asks them alone which jobs to look at."""
    missed_twice(yard)
    run(yard, sql)
    night = night_of(yard.workshop)
    says = told(night)

    assert (2, NOT_RELIABLE) == (night.exit_code, says[0])
    assert any(fault in each for each in says), says


def test_a_long_ledger_is_verified_whole_once_a_week(yard: Any) -> None:
    """The nights between say for which day it was."""
    missed_twice(yard)
    days = ["2031-04-20", "2031-04-21", "2031-04-26", "2031-04-27", "2031-04-28"]

    assert ["2031-04-20", "2031-04-20", "2031-04-20", "2031-04-27", "2031-04-27"] == [
        str(kept(yard, day, each_night=0).verified_in_full) for day in days
    ]


def test_between_two_of_them_what_was_recorded_since_is_verified(yard: Any) -> None:
    """A job of yesterday whose row was changed is told; a changed older one a week later at the latest."""
    old = yard.clean(yard.vehicle("tourer"))
    kept(yard, "2031-04-01", each_night=0)
    new = yard.clean(yard.vehicle("enduro"))
    yard.day("2031-04-08")
    run(yard, "update jobs set due_on = null")
    says = {day: "".join(told(kept(yard, day, each_night=0))) for day in ("2031-04-07", "2031-04-08")}

    assert (False, True) == (f"on job/{old};" in says["2031-04-07"], f"on job/{new};" in says["2031-04-07"])
    assert (True, True) == (f"on job/{old};" in says["2031-04-08"], f"on job/{new};" in says["2031-04-08"])


def test_a_book_that_does_not_verify_is_verified_whole_until_it_does(yard: Any) -> None:
    """No night records that it was sound, nor writes anything behind it."""
    missed_twice(yard)
    run(yard, "update jobs set due_on = null")
    before = yard.workshop.book.head()
    days = [kept(yard, day, each_night=0).verified_in_full for day in ("2031-04-20", "2031-04-21")]
    after = yard.workshop.book.head()
    yard.workshop.book.rebuild()

    assert ([None, None], before) == (days, after)
    assert date(2031, 4, 22) == kept(yard, "2031-04-22", each_night=0).verified_in_full


def test_a_book_that_does_not_verify_is_not_sealed(yard: Any, tmp_path: Path) -> None:
    """A checkpoint of it would say that it stood so."""
    missed_twice(yard)
    run(yard, "update jobs set due_on = null")
    night = sealed(yard.workshop, night_of(yard.workshop), tmp_path / "elsewhere" / "secrets.toml")

    assert (None, True) == (night.seal, "Not sealed, because the book does not verify." in told(night))


def test_what_breaks_the_verification_is_told_too(yard: Any) -> None:
    """A table that is gone, on which the verification itself stands."""
    missed_twice(yard)
    run(yard, "drop table parts")
    night = night_of(yard.workshop)

    assert (2, NOT_RELIABLE) == (night.exit_code, told(night)[0])


def test_a_fault_that_breaks_the_judging_leaves_the_report_of_what_is_wrong(yard: Any, tmp_path: Path) -> None:
    """A row that no reader of the list can take: every form of the report comes, and says so."""
    missed_twice(yard)
    run(yard, "insert into needs (subject, job, plugin) values ('job/1', 1, null), ('job/1', 1, 'x')")
    night = night_of(yard.workshop)
    written = write_nightly(night, tmp_path)

    assert (2, NOT_RELIABLE, None) == (night.exit_code, told(night)[0], night.judged_in_full)
    assert told(night)[-1].startswith("Nothing could be judged, because of what is wrong with it (TypeError: ")
    assert 4 == len(written)


def test_a_job_that_damage_keeps_from_being_read_is_told_in_one_sentence(yard: Any) -> None:
    """A table that each job asks for is gone: what the book says of itself stands in brackets, without its own end."""
    missed_twice(yard)
    run(yard, "drop table measurements")
    night = night_of(yard.workshop)
    (says,) = {each.partition(" cannot be read ")[2] for each in told(night) if each.startswith("Job ")}

    assert says.startswith("(")
    assert says.endswith(" is missing from the file)). Keep the book as it is")
