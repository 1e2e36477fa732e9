"""What a night says, of books in which everything was recorded through the acts."""

import os
from datetime import UTC, date, datetime
from importlib.metadata import EntryPoint, entry_points
from pathlib import Path
from typing import Any

import pytest

from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.facts import CheckMethod, MarkState
from torqueaudit.model.shown.night import Line, Night
from torqueaudit.model.wrench.acts import NewWrench
from torqueaudit.plugins import Plugins, load_plugins
from torqueaudit.workshop.door.words import erase_words
from torqueaudit.workshop.jobs.checks import check
from torqueaudit.workshop.jobs.fasteners import loosen
from torqueaudit.workshop.jobs.strikes import strike
from torqueaudit.workshop.night.desk import Desk
from torqueaudit.workshop.night.night import keep_in_full, night_of
from torqueaudit.workshop.night.rechecks import pending
from torqueaudit.workshop.night.sections import sections_of
from torqueaudit.workshop.recheck.road import report_ride
from torqueaudit.workshop.vehicles.visits import arrive
from torqueaudit.workshop.wrenches.wrench import add_wrench

MANY = 297 if "TORQUEAUDIT_PROOF" in os.environ else 57
MODULE = """
from torqueaudit.hooks import hookimpl
from torqueaudit.model.shown.section import ExtraSection

@hookimpl
def {hook}:
    {body}
"""


def lines(night: Night, key: str) -> tuple[Line, ...]:
    return next(section.lines for section in night.sections if section.key == key)


def keys_with_lines(night: Night) -> list[str]:
    return [section.key for section in night.sections if section.lines]


def plugins_with(folder: Path, name: str, hook: str, body: str) -> Plugins:
    """The installed plugins and one more, written as a module into a folder that is on the path."""
    (folder / f"{name}.py").write_text(MODULE.format(hook=hook, body=body), encoding="utf-8")
    return Plugins([*entry_points(group="torqueaudit"), EntryPoint(name, name, "torqueaudit")])


def test_an_empty_night_has_every_section_in_order_and_the_head(yard: Any) -> None:
    """Nothing happened; the report still says of each heading that there is nothing."""
    yard.day("2031-04-02")
    night = night_of(yard.workshop)
    expected = [
        "could-not-audit",
        "on-the-road",
        "gone-or-untouched",
        "re-checks-missed",
        "for-the-foreman",
        "concessions",
        "due",
        "waiting-for-check",
        "to-confirm",
        "arrived",
        "rest",
    ]

    assert expected == [section.key for section in night.sections]
    assert (date(2031, 4, 1), "YARD", 0) == (night.date, night.site, night.exit_code)
    assert str(yard.workshop.book.head()) == night.head
    assert keys_with_lines(night) == []


def test_yesterday_is_the_workshops_own_and_not_the_clocks(yard: Any) -> None:
    """At 22:30 UTC it is past midnight in Vienna, so yesterday is the UTC day that still runs."""
    yard.clock.now = datetime(2031, 4, 2, 22, 30, tzinfo=UTC)

    assert date(2031, 4, 2) == night_of(yard.workshop).date


def test_a_day_that_has_not_come_is_refused(yard: Any) -> None:
    """A night of tomorrow would call missed what may still be done."""
    with pytest.raises(Refused, match="2031-05-01 has not come yet"):
        night_of(yard.workshop, date(2031, 5, 1))


def test_a_disturbed_mark_comes_before_any_other_stop(yard: Any) -> None:
    """Both left; the one whose mark moved is the one to reach first."""
    unchecked = yard.left(yard.tightened(yard.vehicle("courier"), "brake"), released=False)
    disturbed = yard.clean(yard.vehicle("enduro"), "sprocket")
    yard.clock.now += yard.minute
    yard.mark(disturbed, MarkState.DISTURBED)
    yard.day("2031-04-02")
    night = night_of(yard.workshop)
    found = lines(night, "on-the-road")

    assert [disturbed, unchecked] == [line.job for line in found]
    assert "sprocket-nut: the witness mark is disturbed. Do not ride" in found[0].says
    assert (found[0].tag, found[0].title, found[0].holds) == ("enduro", "chain-kit renewed", "sprocket")
    assert night.exit_code == 1


def test_a_mark_that_a_later_job_undid_is_history(yard: Any) -> None:
    """The nut was tightened and marked anew in a later job, so the old mark stops nobody."""
    vehicle = yard.vehicle("enduro")
    first = yard.clean(vehicle)
    yard.clock.now += yard.minute
    yard.mark(first, MarkState.DISTURBED)
    yard.day("2031-04-02")
    yard.quiet(vehicle)
    yard.day("2031-04-03")
    night = night_of(yard.workshop)

    assert lines(night, "on-the-road") == ()
    assert night.exit_code == 0


def test_gone_without_release_until_it_is_released(yard: Any) -> None:
    """A vehicle that left unreleased is told every night, and no more once the foreman released it."""
    job = yard.left(yard.tightened(yard.vehicle("courier")), released=False)
    yard.day("2031-04-02")
    before = night_of(yard.workshop)
    yard.check(job)
    yard.release(job)
    after = night_of(yard.workshop, date(2031, 4, 2))

    assert [job] == [line.job for line in lines(before, "gone-or-untouched")]
    assert "Left on 2031-04-01 without release." in lines(before, "gone-or-untouched")[0].says
    assert lines(after, "gone-or-untouched") == ()


def test_an_open_job_is_told_when_nobody_touched_it_for_a_week(yard: Any) -> None:
    """Seven days is the workshop's choice: quiet on the seventh day, told when it is over."""
    job = yard.open(yard.vehicle("twin"))
    yard.day("2031-04-10")
    quiet, loud = night_of(yard.workshop, date(2031, 4, 7)), night_of(yard.workshop, date(2031, 4, 8))

    assert lines(quiet, "gone-or-untouched") == ()
    assert [job] == [line.job for line in lines(loud, "gone-or-untouched")]
    assert "next: tighten front-axle to 100 N·m" in lines(loud, "gone-or-untouched")[0].says


def test_a_recheck_is_missed_when_its_grace_is_over(yard: Any) -> None:
    """Handed over on 1 April, due on 15 April, seven days of grace: missed from 23 April, eight days late."""
    job = yard.clean(yard.vehicle("tourer"))
    yard.day("2031-04-24")
    within, missed = night_of(yard.workshop, date(2031, 4, 22)), night_of(yard.workshop, date(2031, 4, 23))

    assert lines(within, "re-checks-missed") == ()
    assert "Re-check was due 7 days ago, within its grace" in lines(within, "due")[0].says
    assert [(job, 8, None)] == [(x.job, x.days_late, x.metres_late) for x in lines(missed, "re-checks-missed")]
    assert (within.exit_code, missed.exit_code) == (0, 1)
    assert "look: mark on the front-axle" in lines(missed, "re-checks-missed")[0].says


def test_a_recheck_is_missed_by_distance_alone(yard: Any) -> None:
    """Due at 1100 km with 50 km of grace: due at 1140 km, missed at 1160 km, two days after it left."""
    job = yard.clean(yard.vehicle("tourer"))
    yard.day("2031-04-03")
    report_ride(yard.workshop, job, 1_140_000, "", Say("owner"))
    within = night_of(yard.workshop, date(2031, 4, 3))
    report_ride(yard.workshop, job, 1_160_000, "", Say("owner"))
    missed = night_of(yard.workshop, date(2031, 4, 3))

    assert "due now: the vehicle has run its distance" in lines(within, "due")[0].says
    assert [(job, None, 60_000)] == [(x.job, x.days_late, x.metres_late) for x in lines(missed, "re-checks-missed")]


def test_wheel_and_brake_come_first_and_then_the_latest(yard: Any) -> None:
    """A sprocket that is longest overdue stands behind a wheel and a brake; among those the later one leads."""
    sprocket = yard.clean(yard.vehicle("a"), "sprocket")
    yard.day("2031-04-02")
    wheel = yard.clean(yard.vehicle("b"), "wheel")
    yard.day("2031-04-03")
    brake = yard.clean(yard.vehicle("c"), "brake")
    yard.day("2031-05-10")

    assert [wheel, brake, sprocket] == [x.job for x in lines(night_of(yard.workshop), "re-checks-missed")]


def test_due_soon_is_told_and_is_nothing_missed(yard: Any) -> None:
    """Due on 15 April and three days are soon: told from 12 April, not before."""
    job = yard.clean(yard.vehicle("tourer"))
    yard.day("2031-04-16")
    early, soon, today = (night_of(yard.workshop, date(2031, 4, day)) for day in (11, 12, 15))

    assert lines(early, "due") == ()
    assert [job] == [line.job for line in lines(soon, "due")]
    assert "Re-check due in 3 days" in lines(soon, "due")[0].says
    assert "Re-check due today" in lines(today, "due")[0].says
    assert {0} == {early.exit_code, soon.exit_code, today.exit_code}


def test_a_job_that_a_later_job_undid_is_told_so_and_not_as_missed(yard: Any) -> None:
    """The first job's re-check is overdue, but its only fastener belongs to the second job now."""
    vehicle = yard.vehicle("school bike")
    first = yard.clean(vehicle)
    yard.day("2031-04-20")
    second = yard.clean(vehicle)
    yard.day("2031-05-01")
    night = night_of(yard.workshop, date(2031, 4, 30))

    assert lines(night, "re-checks-missed") == ()
    assert [(first, True)] == [(x.job, f"see job {second}" in x.says) for x in lines(night, "rest")]
    assert night.exit_code == 0


def test_concessions_of_the_day_go_by_the_local_day_they_were_recorded_on(yard: Any) -> None:
    """23:30 UTC on 1 April is 2 April in Vienna."""
    yard.clock.now = datetime(2031, 4, 1, 23, 30, tzinfo=UTC)
    job = yard.conceded(yard.vehicle("scooter"), "2031-04-20")
    yard.day("2031-04-04")
    first, second, third = (night_of(yard.workshop, date(2031, 4, day)) for day in (1, 2, 3))

    assert (lines(first, "concessions"), lines(third, "concessions")) == ((), ())
    assert [job] == [line.job for line in lines(second, "concessions")]
    assert "Basis: joint holds at 80 N·m by the invented manual." in lines(second, "concessions")[0].says
    assert lines(second, "on-the-road") == ()


def test_a_concession_that_ended_leaves_an_open_stop_on_the_road(yard: Any) -> None:
    """Permitted until 10 April: quiet that day, and from the next the stop stands again and the rest says why."""
    job = yard.conceded(yard.vehicle("scooter"), "2031-04-10")
    yard.day("2031-04-12")
    last, after = night_of(yard.workshop, date(2031, 4, 10)), night_of(yard.workshop, date(2031, 4, 11))

    assert (lines(last, "on-the-road"), lines(last, "rest")) == ((), ())
    assert [job] == [line.job for line in lines(after, "on-the-road")]
    assert "85 N·m was applied" in lines(after, "on-the-road")[0].says
    assert "ended on 2031-04-10" in lines(after, "rest")[0].says


def test_waiting_for_a_check_names_the_fastener(yard: Any) -> None:
    """Tightened today, looked at by nobody else; told the same night, and nothing is missed yet."""
    job = yard.tightened(yard.vehicle("twin"))
    yard.day("2031-04-02")
    night = night_of(yard.workshop)
    check(yard.workshop, job, "front-axle", CheckMethod.WATCHED, "", Say("P-3"))

    assert [(job, True)] == [
        (x.job, "Not independently checked: front-axle." in x.says) for x in lines(night, "waiting-for-check")
    ]
    assert keys_with_lines(night) == ["waiting-for-check"]
    assert keys_with_lines(night_of(yard.workshop)) == ["for-the-foreman"]


def test_a_check_that_is_called_in_from_the_road_is_told_once(yard: Any) -> None:
    """Nobody can look today at what is away; once it is here somebody can."""
    job = yard.left(yard.tightened(yard.vehicle("twin")), released=False)
    yard.day("2031-04-02")
    away = night_of(yard.workshop)
    arrive(yard.workshop, yard.workshop.record(job).vehicle, 1_010_000, Say("P-2"))
    here = night_of(yard.workshop, yard.workshop.today())

    assert "not independently checked" in lines(away, "on-the-road")[0].says
    assert () == lines(away, "waiting-for-check")
    assert [job] == [line.job for line in lines(here, "waiting-for-check")]


def test_a_job_withdrawn_after_it_left_is_told(yard: Any) -> None:
    """Its opening was struck after it left: the vehicle is on the road all the same."""
    job = yard.left(yard.tightened(yard.vehicle("twin")), released=False)
    opening = yard.workshop.record(job).opened.entry
    strike(yard.workshop, job, opening, "opened on the wrong vehicle", Say("P-1"))
    yard.day("2031-05-30")

    assert keys_with_lines(night_of(yard.workshop)) == ["on-the-road"]


def test_a_wrench_to_calibrate_and_a_clock_set_back_are_in_the_rest(yard: Any) -> None:
    """Both are the workshop's own affairs and no vehicle's."""
    wrench = NewWrench("setting", "the short one", "5 N·m", "25 N·m", due_on=date(2031, 4, 10))
    add_wrench(yard.workshop, wrench, Say("P-1"))
    yard.day("2031-04-12", 12)
    yard.vehicle("a")
    yard.day("2031-04-12", 11)
    yard.vehicle("b")
    night = night_of(yard.workshop, date(2031, 4, 12))
    first, second = (line.says for line in lines(night, "rest"))

    assert first.startswith("Wrench W-2 (the short one): its calibration ended on 2031-04-10. Put it aside")
    assert "from 2031-04-12T12:00:00Z to 2031-04-12T11:00:00Z" in second
    assert night.exit_code == 0


def test_words_erased_on_the_day_are_told(yard: Any) -> None:
    """By whom, of which entries and why; the words themselves are gone, and nothing was missed."""
    job = yard.tightened(yard.vehicle("twin"))
    loosen(yard.workshop, job, yard.fastener(job), "somebody wanted to see it", Say("P-1"))
    entry = yard.workshop.book.head().sequence
    erase_words(yard.workshop, [entry], "it named a customer", Say("P-1"))
    told = [line.says for line in lines(night_of(yard.workshop, yard.workshop.today()), "rest")]

    assert [f"P-1 erased the words of #{entry}: it named a customer."] == told


def test_a_clock_behind_the_newest_entry_is_told(yard: Any) -> None:
    """The machine says it is an hour earlier than what it recorded last."""
    yard.vehicle("a")
    yard.day("2031-04-01", 7)

    assert "this clock says 2031-04-01T07:00:00Z" in lines(night_of(yard.workshop), "rest")[0].says


def test_an_expected_plugin_that_is_blocked_could_not_audit(yard: Any) -> None:
    """The rules are blocked: nothing they would find is known, and that outweighs everything else."""
    yard.left(yard.tightened(yard.vehicle("courier")), released=False)
    yard.restart(load_plugins(["workshop_rules"]))
    yard.day("2031-04-02")
    night = night_of(yard.workshop)

    assert [line.says for line in lines(night, "could-not-audit")] == [
        "Plugin workshop_rules is expected by this book and blocked. Mend it and run the night again."
    ]
    assert lines(night, "gone-or-untouched") != ()
    assert night.exit_code == 2


def test_a_rule_that_breaks_on_a_job_could_not_audit(
    yard: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Told with the job and the vehicle it broke on; the other rules still speak."""
    monkeypatch.syspath_prepend(tmp_path)
    job = yard.clean(yard.vehicle("tourer"))
    yard.restart(plugins_with(tmp_path, "brittle_rule", "review_job(job, around)", "raise KeyError('slack')"))
    yard.day("2031-05-01")
    night = night_of(yard.workshop)
    broken = lines(night, "could-not-audit")

    assert [(job, "tourer", True)] == [(x.job, x.tag, "plugin brittle_rule: broke" in x.says) for x in broken]
    assert [job] == [line.job for line in lines(night, "re-checks-missed")]
    assert lines(night, "on-the-road") == ()
    assert night.exit_code == 2


def test_report_sections(yard: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What a plugin adds stands at the end; it was given the night as it is."""
    monkeypatch.syspath_prepend(tmp_path)
    body = "return [ExtraSection('Chains', (night.site,), ('Vehicle', 'Wear'), (('V-1', '1 %'),))]"
    yard.restart(plugins_with(tmp_path, "chain_wear", "report_sections(night)", body))
    yard.day("2031-04-02")
    night = night_of(yard.workshop)

    assert list(night.extra) == [("Chains", ("YARD",), ("Vehicle", "Wear"), (("V-1", "1 %"),), None)]
    assert night.exit_code == 0


@pytest.mark.parametrize(
    ("name", "body", "says"),
    [
        (
            "section_raises",
            "raise RuntimeError('no file')",
            "broke while it added to the report (RuntimeError: no file)",
        ),
        ("section_html", "return '<b>all well</b>'", "not a list of report sections"),
        ("section_number", "return [ExtraSection('Wear', (), ('a',), ((1,),))]", "holds something that is not text"),
        (
            "section_uneven",
            "return [ExtraSection('Wear', (), ('a',), (('1', '2'),))]",
            "rows that do not fit its columns",
        ),
    ],
)
def test_a_plugin_that_breaks_the_report_could_not_audit(
    yard: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str, body: str, says: str
) -> None:
    """The report is made all the same, and says what is not in it."""
    monkeypatch.syspath_prepend(tmp_path)
    yard.restart(plugins_with(tmp_path, name, "report_sections(night)", body))
    yard.day("2031-04-02")
    night = night_of(yard.workshop)

    assert says in lines(night, "could-not-audit")[0].says
    assert (night.exit_code, night.extra) == (2, ())


def test_an_altered_entry_of_the_day_could_not_audit(yard: Any) -> None:
    """Somebody wrote over today's entry, past the triggers; the hash beside it says so."""
    job = yard.clean(yard.vehicle("enduro"))
    yard.damage(job, "100 N", "101 N")
    yard.day("2031-04-02")
    night = night_of(yard.workshop)

    told = [line.says for line in lines(night, "could-not-audit")]
    assert "The book does not verify, so nothing that this report says can be relied on." == told[0]
    assert any("was altered: its text no longer gives its hash" in says for says in told)
    assert night.exit_code == 2


def test_a_job_that_cannot_be_read_is_told_and_the_others_go_on(yard: Any) -> None:
    """One flagged job's entry of days ago says an outcome that no reader knows."""
    damaged, sound = (yard.clean(yard.vehicle(tag)) for tag in ("a", "b"))
    yard.damage(damaged, "turned, then clicked", "sung")
    yard.day("2031-05-01")
    night = night_of(yard.workshop)

    assert [damaged] == [x.job for x in lines(night, "on-the-road") if "cannot be read" in x.says]
    assert [damaged, sound] == [line.job for line in lines(night, "re-checks-missed")]
    assert night.exit_code == 2


@pytest.mark.proof
def test_a_clean_hand_over_is_not_judged_because_it_was_on_the_day(yard: Any) -> None:
    """A workshop has dozens each day, and nothing is said of them; one with a stop is looked at."""
    yard.clean(yard.vehicle("red tourer"))
    job = yard.left(yard.tightened(yard.vehicle("blue tourer")), released=False)
    yard.day("2031-04-02")
    desk = Desk(yard.workshop, date(2031, 4, 1), None, full=False)
    sections_of(desk, pending(desk))

    assert [job] == [each.job.record.number for each in desk.told_of()]


def test_cost_follows_what_is_flagged(yard: Any) -> None:
    """With many quiet jobs as many questions to the file as with three, and only the late job is read.

    Three hundred in `make proof`.
    """
    for _ in range(3):
        yard.quiet(yard.vehicle("rental"))
    late = yard.clean(yard.vehicle("tourer"))
    yard.day("2031-05-01")
    few = _asked(yard)
    yard.day("2031-04-01", 11)
    for _ in range(MANY):
        yard.quiet(yard.vehicle("rental"))
    yard.day("2031-05-01")
    many = _asked(yard)

    assert len(few) == len(many)
    assert {f"job/{late}"} == {word for said in many for word in said.split("'") if word.startswith("job/")}


def _asked(yard: Any) -> list[str]:
    """On a night behind one that judged and verified everything."""
    keep_in_full(yard.workshop, night_of(yard.workshop), Say("night"))
    yard.restart()
    said: list[str] = []
    connection = yard.workshop.book.engine.connection
    connection.set_trace_callback(said.append)
    night = night_of(yard.workshop, each_night=0)
    connection.set_trace_callback(None)
    assert len(lines(night, "re-checks-missed")) == 1
    heads_told_before = "select hash from ledger where position"
    return [each for each in said if not each.startswith(heads_told_before)]
