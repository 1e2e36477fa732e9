"""A wrench folded from its entries: deviations, classes, what is in force on a day, what brings it back."""

from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

import pytest

from torqueaudit.ledger.entry import Entry
from torqueaudit.model.job.noted import Noted
from torqueaudit.model.torque.correction import Fitted
from torqueaudit.model.torque.fitted import adapters_text, plain_adapters
from torqueaudit.model.wrench.classes import BAR, SCREWDRIVER
from torqueaudit.model.wrench.doubt import Known, known_of, not_ordered
from torqueaudit.model.wrench.entries import fold_struck, fold_wrench
from torqueaudit.model.wrench.figures import figures_at
from torqueaudit.model.wrench.point import Point, outside
from torqueaudit.model.wrench.words import cycles_text, outside_text, percent_text, reach_text
from torqueaudit.model.wrench.wrench import Paper, Scale, Wrench

DAY = date(2031, 4, 2)
GOOD = {"shown_nm": "100", "references_nm": ["98", "99"]}
BAD = {"shown_nm": "100", "references_nm": ["90"]}


def entry(number: int, kind: str, said: dict[str, Any], judged: dict[str, Any] | None = None) -> Entry:
    """An entry of wrench W-1 that stands as the given one of its subject."""
    at = "2031-04-02T09:00:00Z"
    return Entry(
        site="YARD",
        sequence=number,
        id=f"A{number}",
        subject="wrench/W-1",
        number=number,
        kind=kind,
        happened_at=at,
        recorded_at=at,
        who="P-1",
        said=said,
        judged=judged or {},
        previous="",
        digest="",
        of=1,
    )


def wrench(*later: Entry, **said: Any) -> Wrench:
    """A wrench of 20 to 200 N·m with these entries behind its own."""
    entered = {"kind": "setting", "tag": "blue", "min_nm": "20", "max_nm": "200", **said}
    return fold_wrench([entry(1, "entered.1", entered), *later])


def calibrated(number: int, on: str, due_on: str, *, failed: str = "", **points: Any) -> Entry:
    """A calibration of a day, passed unless it says why not."""
    judged = {"due_on": due_on, "passed": not failed, **points}
    return entry(number, "calibrated.1", {"on": on}, {**judged, "withdrawn": failed} if failed else judged)


@pytest.mark.parametrize(
    ("said", "permissible"),
    [
        ({}, "0.04"),
        ({"max_nm": "10"}, "0.06"),
        ({"max_nm": "10.1"}, "0.04"),
        ({"construction": BAR}, "0.06"),
        ({"construction": SCREWDRIVER}, "0.06"),
        *(({"iso_class": name}, "0.04") for name in ("I B", "I C", "I E", "II A", "II B", "II C")),
        *(({"iso_class": name}, "0.06") for name in ("I A", "I D", "II D", "II E", "II F", "II G")),
        ({"iso_class": "I E", "max_nm": "10"}, "0.06"),
        ({"iso_class": "I E", "construction": SCREWDRIVER}, "0.04"),
    ],
)
def test_the_permissible_deviation_goes_by_the_tools_maximum(said: dict[str, str], permissible: str) -> None:
    """Outside check: ISO 6789-1:2017, from memory; the split at 10 N·m is on the maximum, not on the reading.

    A class that is stated decides; the construction stands in where none is.
    """
    assert Decimal(permissible) == wrench(**said).permissible


def test_an_unknown_maximum_takes_the_wider_class() -> None:
    """Nothing better is known of it."""
    assert Decimal("0.06") == fold_wrench([entry(1, "entered.1", {"kind": "setting", "tag": "blue"})]).permissible


def test_everything_that_was_entered_comes_back() -> None:
    """Scales, direction, owner, lever."""
    scale = {"unit": "lbf·ft", "division": "1", "unit_nm": "1.3558179483314004"}
    folded = wrench(scales=[scale], direction="right", owner="the yard next door", lever_mm="500", due_on="2031-09-30")

    assert (Scale("lbf·ft", Decimal(1), Decimal("1.3558179483314004")),) == folded.scales
    assert ("right", "the yard next door", Decimal(500)) == (folded.direction, folded.owner, folded.lever_mm)
    assert date(2031, 9, 30) == folded.due == folded.due_on


def test_a_point_without_w_states_none() -> None:
    """No figure is made up where the certificate has none."""
    point = Point(Decimal(100), (Decimal(96),))

    assert (None, None) == (point.without_deviation, point.uncorrected)


def test_w_is_what_w_prime_holds_beside_the_deviation() -> None:
    """|a| is 4.1667 %; a W′ smaller than that cannot be what it is called, and leaves nothing to go by."""
    point = Point(Decimal(100), (Decimal(96),), interval=Decimal("0.06"), loading_point=Decimal("0.001"))
    small = point._replace(interval=Decimal("0.02"))

    assert Decimal("0.017333") == round(point.without_deviation or Decimal(0), 6)
    assert Decimal("0.06") == point.uncorrected
    assert small.without_deviation is None


def test_every_reading_counts_for_the_class() -> None:
    """A mean inside does not hide a single reading outside: 96.0 is +4.167 %."""
    point = Point(Decimal(100), (Decimal(96), Decimal(100), Decimal(100)))

    says = "+4.167 % at 100 N·m in its worst reading, +1.389 % in the mean"

    assert says == outside_text((point,), Decimal("0.04"))
    assert "+4.167 % at 100 N·m" == outside_text((point._replace(references_nm=(Decimal(96),)),), Decimal("0.04"))
    assert () == outside((point,), Decimal("0.06"))
    assert percent_text(Decimal("-0.0123")) == "-1.23 %"


def test_between_points_on_a_straight_line_and_nowhere_else() -> None:
    """Halfway gets half of each; outside all points nothing is known."""
    stated = ((20, "0.01"), (100, "0.03"), (200, "0.002"))
    points = [Point(Decimal(nm), (Decimal(nm),), Decimal(w)) for nm, w in stated]
    figures = [figures_at(points, Decimal("0.04"), Decimal(nm)) for nm in (19, 20, 60, 100, 150, 200, 201)]

    assert ["", "0.01", "0.02", "0.03", "0.016", "0.002", ""] == [
        str(each.expanded) if each else "" for each in figures
    ]
    assert figures_at((), Decimal("0.04"), Decimal(1)) is None


@pytest.mark.parametrize("kind", ["calibrated.1", "interim_checked.1"])
def test_a_look_answers_between_its_points_and_nowhere_else(kind: str) -> None:
    """A calibration as a check: halfway between two points, at each of them, and neither below nor above."""
    points = [{"shown_nm": "50", "references_nm": ["50"]}, {"shown_nm": "100", "references_nm": ["80"]}]
    judged = {"on": "2031-04-05", "points": points, "as_found": points, "due_on": "2032-04-05"}
    (look,) = wrench(entry(3, kind, {"tester": "bench", "on": "2031-04-05"}, judged)).looks

    assert [False, True, True, True, False] == [look.answers(Decimal(nm)) for nm in (49, 50, 75, 100, 101)]
    assert not look.answers(None)


@pytest.mark.parametrize(("day", "why"), [("2032-04-02", ""), ("2032-04-03", "(due 2032-04-02)")])
def test_the_due_day_itself_is_still_valid(day: str, why: str) -> None:
    """And the day after is not."""
    folded = wrench(calibrated(2, "2031-04-02", "2032-04-02"))

    assert why in folded.in_force(date.fromisoformat(day)).why_not
    assert bool(why) == bool(folded.in_force(date.fromisoformat(day)).why_not)


def test_a_day_before_the_first_calibration_rests_on_nothing() -> None:
    """A later calibration does not reach back."""
    found = wrench(calibrated(2, "2031-04-02", "2032-04-02")).in_force(date(2031, 4, 1))

    assert "nothing shows that wrench W-1 is in calibration" == found.why_not


def test_calibrations_stand_by_their_day_however_late_they_were_told() -> None:
    """The newer one was told first."""
    folded = wrench(calibrated(2, "2031-03-01", "2032-03-01"), calibrated(3, "2030-03-01", "2031-03-01"))
    newest, older = folded.calibrated_before(DAY), folded.calibrated_before(date(2030, 12, 1))

    assert [3, 2] == [each.entry for each in folded.calibrations]
    assert (newest and newest.entry, older and older.entry) == (2, 3)
    assert folded.calibrated_before(date(2030, 2, 28)) is None


@pytest.mark.parametrize(("before", "since"), [(2, 3), (3, 2)])
def test_of_two_calibrations_of_one_day_both_stand_and_the_failing_one_holds_until_their_hours_are_told(
    before: int, since: int
) -> None:
    """As found and as left in two entries, whichever was told first: it is back once their hours say so."""
    told = [
        calibrated(before, "2031-03-01", "2032-03-01", failed="outside", as_found=[BAD]),
        calibrated(since, "2031-03-01", "2032-03-01", as_left=[GOOD]),
    ]
    asked = wrench(*told)
    answered = wrench(*told, timed(4, before, "09:00"), timed(5, since, "11:00"))
    in_force = answered.in_force(DAY)

    assert ("outside", "wrench W-1 lay outside") == (asked.withdrawn, asked.in_force(DAY).why_not)
    assert [(2, 3)] == [tuple(look.entry for look in looks) for looks in not_ordered(asked)]
    assert ("", since, []) == (
        answered.withdrawn,
        in_force.calibration and in_force.calibration.entry,
        not_ordered(answered),
    )
    assert {(before, True), (since, False)} == {(look.entry, look.out) for look in answered.looks}


def timed(number: int, look: int, hour: str) -> Entry:
    """The hour of a look of 2031-03-01, told later."""
    said = {"entry": look, "hour": hour}
    return entry(number, "look_timed.1", said, {"on": "2031-04-02", "at": f"2031-03-01T{hour}:00Z"})


def struck(number: int, target: int, why: str = "mistyped") -> Entry:
    """A strike of another entry."""
    return entry(number, "struck.1", {"entry": target, "why": why}, {"kind": "calibrated.1", "on": "2031-04-03"})


def test_what_is_struck_no_longer_counts_and_is_kept_for_the_history() -> None:
    """A mistyped calibration that found the wrench out: it is neither withdrawn nor in doubt."""
    told = [
        entry(1, "entered.1", {"kind": "setting", "tag": "blue"}),
        calibrated(2, "2031-03-01", "2032-03-01", failed="outside", as_found=[BAD]),
        entry(3, "use_estimated.1", {"on": "2031-03-01", "cycles": 300, "why": "lent"}),
        struck(4, 2),
        struck(5, 3),
    ]
    folded, gone = fold_wrench(told), fold_struck(told)

    assert ("", (), 0, ()) == (
        folded.withdrawn,
        folded.calibrations,
        folded.unrecorded_since(None),
        folded.looks,
    )
    assert [(2, 4, "mistyped"), (3, 5, "mistyped")] == [(e.entry, e.by_entry, e.why) for e in folded.struck]
    assert ([2], [3]) == ([e.entry for e in gone.calibrations], [e.entry for e in gone.estimates])


def test_as_left_holds_where_the_wrench_was_adjusted() -> None:
    """As found tells of the past, as left of what comes."""
    done = wrench(calibrated(2, "2031-03-01", "2032-03-01", as_found=[BAD], as_left=[GOOD])).calibrations[0]

    assert done.as_left == done.points
    assert Decimal(90) == done.as_found[0].references_nm[0]


def test_adapter_and_paper_of_a_calibration_come_back() -> None:
    """Both were said."""
    said = {
        "on": "2031-03-01",
        "adapter": {"kind": "adapter", "attributes": {"length_mm": "50", "angle_deg": "0"}},
        "paper": {"digest": "ab", "suffix": ".pdf", "size": 7},
    }
    done = wrench(entry(2, "calibrated.1", said, {"due_on": "2032-03-01", "passed": True})).calibrations[0]

    assert (Fitted("adapter", {"length_mm": "50", "angle_deg": "0"}),) == done.adapters
    assert (Paper("ab", ".pdf", 7), "ab.pdf") == (done.paper, done.paper and done.paper.name)


def test_several_adapters_of_a_calibration_come_back_in_their_order() -> None:
    """One alone is stored as before; several under a key of their own."""
    pair = (
        Fitted("adapter", {"length_mm": "50", "angle_deg": "45"}),
        Fitted("adapter", {"length_mm": "30", "angle_deg": "0"}),
    )
    said = {"on": "2031-03-01", **plain_adapters(pair)}
    done = wrench(entry(2, "calibrated.1", said, {"due_on": "2032-03-01", "passed": True})).calibrations[0]

    assert ["adapter"] == list(plain_adapters(pair[:1]))
    assert pair == done.adapters
    assert "50 mm at 45°, then 30 mm at 0°" == adapters_text(done.adapters)


DROPPED = entry(2, "mishandled.1", {"what": "dropped", "why": "bench"}, {"on": "2031-04-02", "withdrawn": "dropped on"})


@pytest.mark.parametrize(("on", "withdrawn"), [("2031-04-01", "dropped on"), ("2031-04-02", ""), ("2031-04-09", "")])
def test_only_a_calibration_since_brings_a_dropped_wrench_back(on: str, withdrawn: str) -> None:
    """One of before the drop, told after it, shows nothing."""
    assert withdrawn == wrench(DROPPED, calibrated(3, on, "2032-04-01")).withdrawn


def test_a_failed_calibration_leaves_it_withdrawn() -> None:
    """It says where it lay outside."""
    failed = "outside its permissible deviation"
    folded = wrench(DROPPED, calibrated(3, "2031-04-09", "2032-04-09", failed=failed, as_found=[BAD]))

    assert failed == folded.withdrawn
    assert f"wrench W-1 lay {failed}" == folded.in_force(date(2031, 4, 10)).why_not


def test_a_withdrawal_of_before_wrenches_were_calibrated_still_folds() -> None:
    """The kind as it was first written: only why."""
    folded = wrench(entry(2, "withdrawn.1", {"why": "lost"}))

    assert "lost" == folded.withdrawn
    assert date(2031, 4, 2) == folded.mishaps[0].on


def test_a_pass_told_late_of_between_drop_and_calibration_rests_on_nothing() -> None:
    """The calibration that brought the wrench back does not reach back."""
    folded = wrench(calibrated(3, "2031-01-01", "2032-01-01"), DROPPED, calibrated(4, "2031-04-20", "2032-04-20"))

    assert ["", "wrench W-1 was dropped on 2031-04-02 (bench)", ""] == [
        folded.in_force(date(2031, month, day)).why_not for month, day in ((4, 1), (4, 10), (4, 21))
    ]


def test_a_failed_interim_check_withdraws_and_moves_no_due_date() -> None:
    """A passed one changes nothing."""
    on = {"on": "2031-04-02", "points": [BAD]}
    passed = wrench(entry(2, "interim_checked.1", {"tester": "bench"}, {**on, "points": [GOOD], "passed": True}))
    failed = wrench(entry(2, "interim_checked.1", {"tester": "bench"}, {**on, "passed": False, "withdrawn": "out"}))

    assert ("", None) == (passed.withdrawn, passed.due)
    assert ("out", "out", None) == (failed.withdrawn, failed.checks[0].failed, failed.due)


def test_estimates_count_from_the_day_they_are_about() -> None:
    """Those of before the calibration do not count since."""
    estimates = [
        entry(number, "use_estimated.1", {"on": on, "cycles": cycles, "why": "lent"})
        for number, on, cycles in ((2, "2031-03-31", 100), (3, "2031-04-02", 20), (4, "2031-04-03", 3))
    ]
    folded = wrench(*estimates)

    assert [123, 23] == [folded.unrecorded_since(None), folded.unrecorded_since(DAY)]


def known(folded: Wrench, day: int, number: int, shown: str) -> Known:
    """What is known of a pass told as entry `number` on a day of April, 9 o'clock."""
    noted = Noted(
        entry=number,
        number=number,
        happened_at=datetime(2031, 4, day, 9, tzinfo=UTC),
        recorded_at=datetime(2031, 4, day, tzinfo=UTC),
        by="P-2",
        role="",
        supervisor="",
    )
    return known_of(folded, date(2031, 4, day), noted, Decimal(shown))


def checked(number: int, on: str, *points: dict[str, Any]) -> Entry:
    """An interim check with these points."""
    return entry(number, "interim_checked.1", {"tester": "bench"}, {"on": on, "points": list(points), "passed": True})


def test_a_check_answers_only_between_its_points() -> None:
    """At 100 N·m it says nothing of 150: there the calibration after it is asked."""
    later = calibrated(4, "2031-04-20", "2032-04-20", as_found=[BAD, {"shown_nm": "200", "references_nm": ["200"]}])
    folded = wrench(checked(3, "2031-04-05", GOOD), later)
    beside, at = known(folded, 4, 2, "150"), known(folded, 4, 2, "100")

    assert (3, True) == (at.answer and at.answer.entry, at.good)
    assert (4, False) == (beside.answer and beside.answer.entry, beside.good)
    assert Known(None) == known(wrench(checked(3, "2031-04-05", GOOD)), 4, 2, "150")


def test_a_check_that_found_it_out_elsewhere_is_a_hint_until_something_answers() -> None:
    """Better a deviation from beside than none, while nobody has looked at this setting."""
    folded = wrench(checked(3, "2031-04-05", BAD))
    found = known(folded, 4, 2, "150")

    assert (None, 3, "") == (found.answer, found.hint and found.hint.entry, found.mishap)


@pytest.mark.parametrize("found", [{}, {"as_found": [GOOD]}], ids=["not as found", "as found"])
def test_dropped_and_then_not_looked_at_as_found_nobody_knows(found: dict[str, Any]) -> None:
    """As found answers for what was before; without it, what befell the wrench stays a question."""
    dropped = entry(3, "mishandled.1", {"what": "dropped", "why": "bench"}, {"on": "2031-04-10", "withdrawn": "x"})
    folded = wrench(dropped, calibrated(4, "2031-04-20", "2032-04-20", as_left=[GOOD], **found))
    before, after = known(folded, 4, 2, "100"), known(folded, 25, 5, "100")

    assert ("" if found else "was dropped on 2031-04-10 (bench)") == before.mishap
    assert bool(found) == before.good
    assert Known(None) == after


def test_a_calibration_as_usual_without_figures_as_found_raises_no_question() -> None:
    """Nothing befell the wrench since it was last looked at: the drop lies before that."""
    dropped = entry(2, "mishandled.1", {"what": "dropped", "why": "bench"}, {"on": "2031-04-02", "withdrawn": "x"})
    folded = wrench(dropped, calibrated(3, "2031-04-03", "2032-04-03"), calibrated(5, "2031-04-20", "2032-04-20"))

    assert ("", 5) == ((found := known(folded, 4, 4, "100")).mishap, found.ended and found.ended.entry)


def test_on_the_day_of_a_check_the_hour_of_a_pass_decides() -> None:
    """Told late, a pass of 9 o'clock was before the check of 10 o'clock, whatever was told first."""
    seen = checked(3, "2031-04-04", GOOD)._replace(happened_at="2031-04-04T10:00:00Z")

    assert known(wrench(seen), 4, 9, "100").good


def test_a_wrench_was_usable_until_it_was_withdrawn() -> None:
    """By the moment of a drop; of a failed calibration only the day is known."""
    at = datetime(2031, 4, 2, 8, 59, 59, tzinfo=UTC)
    failed = wrench(calibrated(2, "2031-04-02", "2032-04-02", failed="out", as_found=[BAD]))
    dropped = wrench(DROPPED)

    assert [True, False] == [dropped.usable_at(DAY, moment) for moment in (at, at.replace(hour=9, minute=0, second=0))]
    assert [True, False] == [failed.usable_at(day, at) for day in (date(2031, 4, 1), DAY)]
    assert wrench().usable_at(DAY, at)


def test_a_point_says_its_setting_as_it_was_told() -> None:
    """In pounds-force feet with N·m beside it; in N·m alone as it is."""
    unit_nm = Decimal("1.3558179483314004")
    point = Point(80 * unit_nm, (79 * unit_nm,), unit="lbf·ft", unit_nm=unit_nm)

    assert ("80 lbf·ft (108.5 N·m)", Decimal(79)) == (point.at, point.in_own_unit(point.references_nm[0]))
    assert "100 N·m" == Point(Decimal(100), (Decimal(98),)).at


def test_one_cycle_is_one() -> None:
    """And more are more."""
    assert ["at least 1 cycle", "at least 2 cycles"] == [cycles_text(1), cycles_text(2)]


def test_what_a_wrench_reaches_is_said_on_its_own_scale() -> None:
    """The main one; in N·m where it has none, nothing where nobody knows."""
    scale = {"unit": "lbf·ft", "division": "1", "unit_nm": "1.3558179483314004"}
    pounds = wrench(scales=[scale], min_nm="27.116358966628008", max_nm="203.37269224971006")

    assert ["20 … 150 lbf·ft", "20 … 200 N·m", ""] == [
        reach_text(each) for each in (pounds, wrench(), wrench(min_nm=None, max_nm=None))
    ]


def test_a_direction_never_stated_is_taken_as_both_and_known_to_be_so() -> None:
    """An older entry may hold none."""
    assert [("both", False), ("both", True)] == [
        (each.direction, each.direction_stated) for each in (wrench(), wrench(direction="both"))
    ]


def test_looks_are_calibrations_and_checks_in_the_order_of_the_days() -> None:
    """Each knows whether it found the wrench out; one without figures as found knows nothing."""
    folded = wrench(
        calibrated(2, "2031-04-09", "2032-04-09", as_left=[GOOD]),
        entry(
            3,
            "interim_checked.1",
            {"tester": "bench"},
            {"on": "2031-04-05", "points": [BAD], "passed": False, "withdrawn": "x"},
        ),
    )

    assert [("interim check", True), ("calibration", False)] == [(each.what, each.out) for each in folded.looks]
    assert datetime(2031, 4, 2, 9, tzinfo=UTC) == folded.calibrations[0].recorded_at
