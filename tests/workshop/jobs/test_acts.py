"""The acts: what they refuse, what sending twice does, what a strike does, and that no order confuses them."""

import os
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from torqueaudit.book.errors import IdUsed
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.acts import Opening, Permission, Tighten
from torqueaudit.model.job.facts import CheckMethod, MarkState, Outcome
from torqueaudit.model.job.record import FastenerState
from torqueaudit.plugins import Plugins
from torqueaudit.testing import Clock, findings, play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.checks import check
from torqueaudit.workshop.jobs.concessions import concede
from torqueaudit.workshop.jobs.fasteners import loosen, see_mark, tighten
from torqueaudit.workshop.jobs.job import open_job
from torqueaudit.workshop.jobs.release import hand_over, release
from torqueaudit.workshop.jobs.strikes import strike
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.opening import open_workshop
from torqueaudit.workshop.recheck.road import recheck, report_ride
from torqueaudit.workshop.register.people import add_person
from torqueaudit.workshop.register.settings import settle
from torqueaudit.workshop.vehicles.vehicle import add_vehicle
from torqueaudit.workshop.wrenches.wrench import withdraw_wrench

NUT = "rear-axle-nut"
SET = Tighten(Outcome.TURNED_CLICKED, "W-1", "108 N·m")
OPENED = "2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2\n"
TIGHT = OPENED + "2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2\n"
READY = (
    TIGHT
    + """2031-04-02 10:06 rear-axle-nut mark intact by P-2
    2031-04-02 10:09 rear-axle-nut checked mark seen by P-3
    """
)
GONE = (
    READY
    + """2031-04-02 10:15 released by P-1
    2031-04-02 10:20 handed over at 12010 km by P-1
    """
)


def refused(workshop: Workshop, line: str) -> str:
    """The sentence with which the workshop refuses a card's line; nothing may be recorded."""
    before = workshop.book.head()
    with pytest.raises(Refused) as caught:
        play(workshop, line)
    assert before == workshop.book.head()
    return str(caught.value)


def test_the_same_act_sent_twice_changes_nothing(workshop: Workshop) -> None:
    """A phone that sends again gets what was recorded the first time."""
    play(workshop, OPENED)
    say = Say("P-2", minutes_ago=3, id="phone-1")
    tighten(workshop, "1", NUT, SET, say)
    before = workshop.book.head()
    tighten(workshop, "1", NUT, SET, say._replace(minutes_ago=4))

    assert before == workshop.book.head()


def test_the_same_job_opened_twice_is_one_job(workshop: Workshop) -> None:
    """Its number comes back, and no second one is made."""
    numbers = [open_job(workshop, Opening("V-1", "axle"), Say("P-2", id="phone-2")) for _ in range(2)]

    assert numbers == ["1", "1"]


def test_an_act_sent_again_after_the_release_is_still_known(workshop: Workshop) -> None:
    """Even where the same words would be refused by now."""
    play(workshop, READY)
    release(workshop, "1", Say("P-1", id="phone-3"))
    before = workshop.book.head()
    release(workshop, "1", Say("P-1", id="phone-3"))

    assert before == workshop.book.head()


@pytest.mark.parametrize(
    "other",
    [
        lambda w, say: tighten(w, "1", NUT, SET._replace(shown="100 N·m"), say),
        lambda w, say: tighten(w, "1", NUT, SET._replace(differing={1: Outcome.NOT_REACHED}), say),
        lambda w, say: tighten(w, "1", NUT, SET, say._replace(by="P-3")),
        lambda w, say: loosen(w, "1", NUT, "wheel out", say),
    ],
    ids=["torque", "one-of-a-group", "person", "act"],
)
def test_a_used_id_with_other_words_is_refused(workshop: Workshop, other: Callable[[Workshop, Say], None]) -> None:
    """Another torque, another outcome for one of a group, another person, another act."""
    play(workshop, OPENED)
    tighten(workshop, "1", NUT, SET, Say("P-2", id="phone-1"))
    before = workshop.book.head()

    with pytest.raises(IdUsed, match="phone-1 was used before"):
        other(workshop, Say("P-2", id="phone-1"))
    assert before == workshop.book.head()


@pytest.mark.parametrize("by", ["P-2", "P-4", "owner", "import", "setup"])
@pytest.mark.parametrize("what", ["released", "conceded not-checked on rear axle nut until 2031-05-01: seen, 20 km"])
def test_only_a_foreman_releases_and_concedes(workshop: Workshop, what: str, by: str) -> None:
    """Neither a mechanic, nor a trainee, nor whoever is nobody here."""
    play(workshop, READY)

    assert "only a foreman" in refused(workshop, f"2031-04-02 10:15 {what} by {by}")


@pytest.mark.parametrize("by", ["owner", "import", "setup"])
def test_nobody_from_outside_tightens_or_checks(workshop: Workshop, by: str) -> None:
    """The owner sees marks and reports rides, and that is all."""
    play(workshop, TIGHT)

    assert by in refused(workshop, f"2031-04-02 10:15 rear-axle-nut 108 N·m with W-1 by {by}")
    assert by in refused(workshop, f"2031-04-02 10:15 rear-axle-nut checked watched by {by}")


@pytest.mark.parametrize(
    ("tightened", "checked"),
    [
        ("108 N·m with W-1 by P-2", "P-2"),
        ("108 N·m with W-1 by P-4", "P-2"),
        ("108 N·m with W-1 helped by P-3 by P-2", "P-3"),
        ("108 N·m with W-1 helped by P-1 and P-3 by P-2", "P-1"),
    ],
)
def test_nobody_checks_their_own_work(workshop: Workshop, tightened: str, checked: str) -> None:
    """Neither who did it, nor the trainee's supervisor, nor a helper."""
    play(workshop, f"{OPENED}2031-04-02 10:05 rear-axle-nut {tightened}")
    expected = f"rear-axle-nut: {checked} had a hand in it, and nobody checks their own work; somebody else looks"

    assert expected == refused(workshop, f"2031-04-02 10:09 rear-axle-nut checked watched by {checked}")


def test_a_trainee_does_not_check(workshop: Workshop) -> None:
    """The second look is a mechanic's or the foreman's."""
    play(workshop, TIGHT)

    assert "P-4 is trainee" in refused(workshop, "2031-04-02 10:09 rear-axle-nut checked watched by P-4")


@pytest.mark.parametrize("what", ["mark intact by P-2", "checked watched by P-3"])
def test_what_is_loose_is_neither_marked_nor_checked(workshop: Workshop, what: str) -> None:
    """There is nothing yet that a mark or a look could belong to."""
    play(workshop, OPENED)

    assert "not tightened at that time" in refused(workshop, f"2031-04-02 10:09 rear-axle-nut {what}")


def test_a_mark_told_late_belongs_to_what_stood_when_it_was_seen(workshop: Workshop) -> None:
    """The line of ten o'clock says nothing of the tightening of eleven."""
    play(
        workshop,
        TIGHT
        + """2031-04-02 10:30 rear-axle-nut loosened: spacer forgotten by P-2
        2031-04-02 11:00 rear-axle-nut 108 N·m with W-1 by P-2
        2031-04-02 10:10 rear-axle-nut mark intact by P-2
        2031-04-02 10:10 rear-axle-nut checked watched by P-3
        """,
    )
    now = workshop.record("1").current(NUT)

    assert (now.mark, now.check) == (None, None)
    assert "loosened at that time" in refused(workshop, "2031-04-02 10:40 rear-axle-nut mark intact by P-2")


def test_up_to_ten_minutes_ahead_is_accepted(workshop: Workshop) -> None:
    """Two clocks never agree; tomorrow is a slip of the pen."""
    play(workshop, OPENED)
    ahead = workshop.clock() + timedelta(minutes=10)
    tighten(workshop, "1", NUT, SET, Say("P-2", ahead))
    with pytest.raises(Refused) as caught:
        tighten(workshop, "1", NUT, SET, Say("P-2", ahead + timedelta(seconds=1)))

    assert str(caught.value) == "2031-04-02 10:10 lies ahead of this clock (2031-04-02 10:00); say when it happened"


def test_a_moment_ahead_is_told_in_the_workshops_own_time(workshop: Workshop) -> None:
    """Both of them, whatever zone either was given in."""
    settle(workshop, {"zone": "Europe/Vienna"}, Say("P-1"))
    workshop.clock.set("2031-04-02 10:00")  # type: ignore[attr-defined]
    with pytest.raises(Refused) as caught:
        loosen(workshop, "1", NUT, "why", Say("P-2", workshop.clock() + timedelta(hours=1)))

    assert str(caught.value) == "2031-04-02 13:00 lies ahead of this clock (2031-04-02 12:00); say when it happened"


def test_what_happened_earlier_is_told_with_its_own_time(workshop: Workshop, clock: Clock) -> None:
    """An entry holds when it happened and when it was told."""
    play(workshop, OPENED)
    clock.set("2031-04-03 07:30")
    tighten(workshop, "1", NUT, SET, Say("P-2", datetime(2031, 4, 2, 10, 5, tzinfo=UTC)))
    entry = workshop.book.entries("job/1")[-1]

    assert (entry.happened_at, entry.recorded_at) == ("2031-04-02T10:05:00Z", "2031-04-03T07:30:00Z")


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("job 9 released by P-1", "job 9: no such job; look at the list of jobs"),
        ("front-axle 65 N·m with W-1 by P-2", "front-axle: job 1 has no such fastener; it has rear-axle-nut"),
        (
            "rear-axel-nut 98 N·m with W-1 by P-2",
            'rear-axel-nut: job 1 has no such fastener; did you mean "rear-axle-nut"',
        ),
        ("axle 98 N·m with W-1 by P-2", 'axle: job 1 has no such fastener; did you mean "rear-axle-nut"?'),
        (
            "rear-axle-nut-2 98 N·m with W-1 by P-2",
            "rear-axle-nut-2: rear axle nut has no number 2; it has one, rear-axle-nut",
        ),
        ("rear-axle-nut yes by P-2", "rear-axle-nut: is a fastener of job 1, and no step"),
        ("job 2 opened axel on V-1 by P-2", 'axel: no such procedure; did you mean "axle"?'),
        ("rear-axle-nut 108 kg with W-1 by P-2", "kg"),
        ("rear-axle-nut -108 N·m with W-1 by P-2", "-108"),
        ("rear-axle-nut 108 N·m with W-9 by P-2", "W-9: no such wrench"),
        ("rear-axle-nut 108 N·m with W-1 value shown by P-2", "clicks and shows no value"),
        ("rear-axle-nut 108 N·m with W-2 turned, then clicked by P-2", "shows values and does not click"),
        ("rear-axle-nut stage 2 108 N·m with W-1 by P-2", "rear axle nut: has no stage 2; it has 1"),
        (
            "rear-axle-nut 108 N·m with W-1 but 3 did not reach torque by P-2",
            "rear axle nut: has no number 3; it has 1",
        ),
        ("rear-axle-nut 108 N·m with W-1 helped by P-9 by P-2", "P-9: nobody of that number works here"),
        ("rear-axle-nut 108 N·m with W-1 by P-9", "P-9: nobody of that number works here"),
        ("rear-axle-nut loosened: Barnaby said so by P-2", "holds a name or number of P-2"),
        ("rear-axle-nut mark not seen by P-2", "say why the mark was not seen"),
        ("rear-axle-nut checked self re-inspection by P-3", "says why nobody else could look"),
        ("slack measured 37 mm by P-2", "slack: job 1 has no such measurement; it has none"),
        ("brake-tried yes by P-2", "brake-tried: job 1 has no such step; it has none"),
        ("tab-washer fitted washer by P-2", "tab-washer: job 1 has no such part; it has none"),
        (
            "handed over at 11999 km by P-1",
            "11999 km is less than the 12000 km read on 2031-04-02 in job 1; read the odometer again",
        ),
        ("ridden to 12040 km by owner", "has not been handed over yet"),
        ("re-checked at 12100 km by P-2", "has not been handed over yet"),
        ("job 2 opened axle on V-9 by P-2", "V-9: no such vehicle"),
        ("job 2 opened fork on V-1 by P-2", "fork: no such procedure"),
        ("V-9 rear-axle-nut reported loosened: tyre by owner", "V-9: no such vehicle"),
    ],
)
def test_bad_input_is_refused_with_one_sentence(workshop: Workshop, line: str, expected: str) -> None:
    """What, where, what to do; and nothing is recorded."""
    play(workshop, TIGHT)

    assert expected in refused(workshop, f"2031-04-02 10:10 {line}")


def test_a_withdrawn_wrench_is_refused(workshop: Workshop) -> None:
    """Whatever the wrench, the reason is told."""
    play(workshop, OPENED)
    withdraw_wrench(workshop, "W-1", "dropped", Say("P-2"))

    assert "wrench W-1 is withdrawn (dropped)" in refused(workshop, f"2031-04-02 10:10 {NUT} 108 N·m with W-1 by P-2")


def test_a_name_in_a_long_remark_is_refused(workshop: Workshop) -> None:
    """However long somebody writes."""
    play(workshop, OPENED)

    assert "holds a name or number of P-2" in refused(
        workshop, f"2031-04-02 10:10 {NUT} loosened: {'turned ' * 400}as Barnaby said by P-3"
    )


def test_a_trainee_answers_for_nobody(workshop: Workshop) -> None:
    """A supervisor is a mechanic or the foreman."""
    with pytest.raises(Refused, match="P-4 is a trainee and cannot answer for another"):
        add_person(workshop, "Egbert Sample", ("trainee",), "P-4", Say("P-1"))


def test_a_tag_that_is_the_plate_is_refused(workshop: Workshop) -> None:
    """The tag enters the ledger, and the plate must not."""
    with pytest.raises(Refused, match="“red Y-ARD 77” holds a part of the plate"):
        add_vehicle(workshop, "red Y-ARD 77", "Kestrel 500", 2030, {"plate": "YARD 77"}, Say("P-1"))


def test_release_is_refused_while_a_stop_stands(workshop: Workshop) -> None:
    """Every stop is told."""
    play(workshop, TIGHT)
    expected = (
        "job 1 cannot be released while 2 stops stand:\n"
        "  rear axle nut: not marked. Paint a line across fastener and part, and record it.\n"
        "  rear axle nut: not independently checked. Somebody who had no hand in it has to look."
    )

    assert expected == refused(workshop, "2031-04-02 10:15 released by P-1")


def test_a_release_is_given_once(workshop: Workshop) -> None:
    """Also after the vehicle has left."""
    play(workshop, GONE)

    assert "is released already" in refused(workshop, "2031-04-02 10:30 released by P-1")


def test_a_concession_covers_one_finding_until_its_last_day(workshop: Workshop, clock: Clock) -> None:
    """The stop is back the day after, and at once with a later tightening."""
    card = """2031-04-02 10:00 job 1 opened axle on V-1 by P-2
    2031-04-02 10:05 rear-axle-nut 97 N·m with W-1 by P-2
    2031-04-02 10:06 rear-axle-nut mark intact by P-2
    2031-04-02 10:07 rear-axle-nut checked watched by P-3
    2031-04-02 10:10 conceded outside-tolerance on rear axle nut until 2031-04-05: within the reading, 20 km by P-1
    """
    play(workshop, card)
    covered = findings(workshop, weight="stop")
    clock.set("2031-04-06 00:00")
    expired = findings(workshop, rule="workshop_rules/outside-tolerance")
    clock.set("2031-04-02 11:00")
    play(workshop, "2031-04-02 11:00 rear-axle-nut 97 N·m with W-1 by P-2")

    assert (len(covered), len(expired), len(findings(workshop, rule="workshop_rules/outside-tolerance"))) == (0, 1, 1)


NEVER = {
    "workshop_rules/undone-by-another-job": (
        "job 2 opened axle on V-1 by P-3\n2031-04-02 10:07 rear-axle-nut loosened: tyre by P-3"
    ),
    "workshop_rules/undone-by-report": "V-1 rear-axle-nut reported loosened: tyre changed elsewhere by owner",
    "workshop_rules/not-tightened": "",
    "workshop_rules/loosened-since": "rear-axle-nut loosened: spacer by P-2",
    "workshop_rules/did-not-reach-torque": "rear-axle-nut did not reach torque by P-2",
    "workshop_rules/mark-disturbed": "rear-axle-nut mark disturbed by P-2",
    "workshop_rules/locking-part-reused": "tab-washer fitted used washer by P-2",
    "workshop_rules/brake-not-proved": "brake-tried no by P-2",
}


@pytest.mark.parametrize("rule", sorted(NEVER))
def test_no_permission_makes_this_right(workshop: Workshop, rule: str) -> None:
    """Not tightened, loosened since, not reached, disturbed, a locking part reused, a brake not proved."""
    play(workshop, "2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2")
    if NEVER[rule]:
        play(workshop, f"2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2\n2031-04-02 10:06 {NEVER[rule]}")
    view = show_job(workshop, "1")
    subject = next(each.finding.subject for each in view.findings if each.finding.rule == rule)
    until = date(2031, 5, 1)

    with pytest.raises(Refused, match="no permission makes this right"):
        concede(
            workshop,
            "1",
            Permission(rule=rule, subject=subject, basis="seen", limit="20 km", expires_on=until),
            Say("P-1"),
        )


@pytest.mark.parametrize(
    ("tightened", "line", "expected"),
    [
        ("by P-1", "until 2031-05-01: seen, 20 km", "nobody concedes their own tightening"),
        ("helped by P-1 by P-2", "until 2031-05-01: seen, 20 km", "nobody concedes their own tightening"),
        ("by P-2", "until 2031-04-01: seen, 20 km", "a concession that has expired permits nothing"),
    ],
)
def test_a_concession_is_refused(workshop: Workshop, tightened: str, line: str, expected: str) -> None:
    """For one's own tightening, and for a day gone by."""
    play(workshop, f"{OPENED}2031-04-02 10:05 rear-axle-nut 97 N·m with W-1 {tightened}")

    assert expected in refused(workshop, f"2031-04-02 10:10 conceded outside-tolerance on rear axle nut {line} by P-1")


def test_a_concession_of_nothing_is_refused(workshop: Workshop) -> None:
    """It belongs to a stop that stands now."""
    play(workshop, READY)
    line = "2031-04-02 10:10 conceded not-checked on rear axle nut until 2031-05-01: seen, 20 km by P-1"

    assert "no such stop stands on job 1" in refused(workshop, line)


def test_striking_the_opening_withdraws_the_job(workshop: Workshop) -> None:
    """The reason is shown, and nothing more is recorded on it."""
    play(workshop, f"{TIGHT}2031-04-02 10:10 line 1 struck: wrong vehicle by P-2")

    assert (show_job(workshop, "1").state, show_job(workshop, "1").withdrawn) == ("withdrawn", "wrong vehicle")
    assert "was withdrawn (wrong vehicle); open a new one" in refused(workshop, "2031-04-02 10:11 released by P-1")


def test_a_strike_takes_its_fact_back(workshop: Workshop) -> None:
    """The tightening before it stands again, with its mark."""
    play(
        workshop,
        TIGHT
        + """2031-04-02 10:06 rear-axle-nut mark intact by P-2
        2031-04-02 10:30 rear-axle-nut loosened: wrong job by P-2
        2031-04-02 10:40 line 4 struck: it was another motorcycle by P-2
        """,
    )
    now = workshop.record("1").current(NUT)

    assert (now.state, now.mark_state) == (FastenerState.TIGHTENED, MarkState.INTACT)


def test_what_cannot_be_struck_is_refused(workshop: Workshop) -> None:
    """Another job's fact, a strike, a fact struck already, a release by a mechanic, anything without a reason."""
    play(workshop, GONE)
    sequence = {entry.what: entry.sequence for entry in workshop.book.entries("job/1")}
    strike(workshop, "1", sequence["mark_seen"], "wrong nut", Say("P-1"))
    struck = workshop.book.entries("job/1")[-1].sequence
    for entry, by, why, expected in (
        (1, "P-2", "slip", "is not one of job 1"),
        (struck, "P-1", "slip", "is itself a strike; say the fact again instead"),
        (sequence["mark_seen"], "P-1", "slip", "is struck already"),
        (sequence["released"], "P-2", "slip", "P-2 is mechanic; only a foreman may do this"),
        (sequence["checked"], "P-2", " ", "say why it is struck"),
    ):
        with pytest.raises(Refused, match=expected):
            strike(workshop, "1", entry, why, Say(by))


def test_a_hand_over_said_again_does_not_count_an_earlier_re_check(workshop: Workshop) -> None:
    """A look before the vehicle left was not the look after the first ride."""
    play(
        workshop,
        GONE
        + """2031-04-09 09:00 rear-axle-nut mark intact by P-2
        2031-04-09 09:10 re-checked at 12100 km by P-2
        2031-04-10 10:00 line 6 struck: it had not left by P-1
        2031-04-10 10:05 handed over at 12100 km by P-1
        """,
    )

    assert show_job(workshop, "1").state == "handed over"


def test_a_vehicle_leaves_once(workshop: Workshop) -> None:
    """And its odometer does not run backwards after."""
    play(workshop, GONE)

    assert "was handed over on 2031-04-02, and V-1 has not come back since" in refused(
        workshop, "2031-04-02 11:00 handed over at 12011 km by P-1"
    )
    assert "12000 km is less than the 12010 km read on 2031-04-02" in refused(
        workshop, "2031-04-03 11:00 ridden to 12000 km by owner"
    )


def test_a_re_check_waits_for_every_mark_and_measurement(workshop: Workshop) -> None:
    """A mark not seen has not been looked at, whatever the reason."""
    play(workshop, f"{GONE}2031-04-09 09:00 rear-axle-nut mark not seen: rack on it by P-2")
    expected = "job 1: not looked at since the hand-over: mark on the rear axle nut. Look and record each first."

    assert expected == refused(workshop, "2031-04-09 09:10 re-checked at 12100 km by P-2")


def test_a_smaller_odometer_does_not_hide_a_longer_ride(workshop: Workshop) -> None:
    """A ride told late may be shorter; a later one may not."""
    play(workshop, f"{GONE}2031-04-05 09:00 ridden to 12300 km by owner")
    play(workshop, "2031-04-04 09:00 ridden to 12100 km by owner")

    assert "less than the 12300 km read on 2031-04-05" in refused(
        workshop, "2031-04-06 09:00 ridden to 12030 km by owner"
    )


def test_a_ride_never_puts_the_re_check_off(workshop: Workshop) -> None:
    """What was due at hand-over stays due."""
    play(workshop, GONE)
    before = show_job(workshop, "1").recheck
    report_ride(workshop, "1", 12_050_000, "", Say("owner"))
    after = show_job(workshop, "1").recheck

    assert before
    assert after
    assert (before.due_on, before.due_distance_m) == (after.due_on, after.due_distance_m)
    assert (date(2031, 4, 16), 12_110_000) == (after.due_on, after.due_distance_m)


def _tighten(workshop: Workshop, key: str, say: Say) -> None:
    stage = 1 if key.startswith("sprocket-bolt") and say.minutes_ago % 2 else 0
    tighten(workshop, "1", key, SET._replace(outcome=OUTCOMES[say.minutes_ago % 3], stage=stage), say)


def _strike(workshop: Workshop, key: str, say: Say) -> None:
    """Anything but the opening, which would end the story."""
    del key
    if entries := workshop.book.entries("job/1")[1:]:
        strike(workshop, "1", entries[say.minutes_ago * 7 % len(entries)].sequence, "slip", say)


OUTCOMES = (Outcome.TURNED_CLICKED, Outcome.CLICKED_ONLY, Outcome.NOT_REACHED)
KEYS = ("sprocket-bolt", "sprocket-bolt-3", "sprocket-nut", NUT)
ACTS: tuple[Callable[[Workshop, str, Say], object], ...] = (
    _tighten,
    _tighten,
    lambda w, key, say: loosen(w, "1", key, "again", say),
    lambda w, key, say: see_mark(w, "1", key, list(MarkState)[say.minutes_ago % 4], "seen", say),
    lambda w, key, say: check(w, "1", key, CheckMethod.WATCHED, "", say),
    _strike,
    lambda w, _, say: hand_over(w, "1", 12_000_000, say),
    lambda w, _, say: report_ride(w, "1", 12_100_000, "", say),
    lambda w, _, say: recheck(w, "1", 12_100_000, "", say),
)
TOLD = st.tuples(
    st.sampled_from(ACTS), st.sampled_from(KEYS), st.sampled_from(["P-1", "P-2", "P-3"]), st.integers(0, 90)
)


@pytest.mark.proof
@settings(
    max_examples=1500 if "TORQUEAUDIT_PROOF" in os.environ else 60,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(st.lists(TOLD, min_size=1, max_size=30))
def test_any_order_of_acts_leaves_each_fastener_in_one_state(
    ready_made_book: Path,
    tmp_path_factory: pytest.TempPathFactory,
    installed_plugins: Plugins,
    told: list[tuple[Callable[[Workshop, str, Say], object], str, str, int]],
) -> None:
    """Whatever is told, in whatever order and however late: one state for each, and the lists equal the ledger."""
    path = tmp_path_factory.mktemp("order") / "yard.book"
    path.write_bytes(ready_made_book.read_bytes())
    clock = Clock()
    with open_workshop(path, clock=clock, chance=Random(4), plugins=installed_plugins) as workshop:
        open_job(workshop, Opening("V-1", "final-drive"), Say("P-2"))
        clock.moment += timedelta(hours=2)  # so that what is told late still lies after the opening
        for act, key, by, ago in told:
            clock.moment += timedelta(minutes=20)
            try:
                act(workshop, key, Say(by, minutes_ago=ago))
            except Refused:
                continue
        job = workshop.job("1")
        for fastener in job.procedure.fasteners():
            for position in fastener.positions:
                _require_one_state(workshop, position)
        show_job(workshop, "1")

        assert workshop.book.verify() == []


def _require_one_state(workshop: Workshop, position: str) -> None:
    """What the last event of the fastener leaves, by when it happened; mark and check only of what stands."""
    record = workshop.record("1")
    now = record.current(position)
    match now.state:
        case FastenerState.NOT_TIGHTENED:
            assert record.events(position) == ()
            assert (now.tightening, now.loosening) == (None, None)
        case FastenerState.LOOSENED:
            assert record.events(position)[-1] == now.loosening
            assert (now.tightening, now.mark, now.check) == (None, None, None)
        case _:
            assert now.tightening in record.events(position)
            assert now.loosening is None
            assert {now.standing} >= {each.of for each in (now.mark, now.check) if each}


def test_a_re_check_is_refused_for_the_stop_before_the_look(workshop: Workshop) -> None:
    """The mark was looked at and the nut turned since: that it was not looked at would be false."""
    play(
        workshop,
        f"{GONE}2031-04-09 09:00 rear-axle-nut mark disturbed by P-2\n"
        "2031-04-09 09:05 rear-axle-nut loosened: mark disturbed by P-2\n",
    )
    said = refused(workshop, "2031-04-09 09:10 re-checked at 12100 km by P-2")

    assert "rear axle nut: loosened since (mark disturbed)" in said
    assert "not looked at" not in said


def test_a_vehicle_is_here_since_its_first_look(workshop: Workshop) -> None:
    """A job opened later in the visit is no second arrival."""
    play(
        workshop,
        f"{GONE}2031-04-09 09:00 rear-axle-nut mark disturbed by P-2\n"
        "2031-04-09 09:30 job 2 opened axle on V-1 at 12100 km after job 1 by P-2\n",
    )
    since = show_job(workshop, "1").presence.since

    assert since is not None
    assert "2031-04-09 09:00" == f"{since.astimezone(workshop.settings.timezone):%Y-%m-%d %H:%M}"
