"""How far a wrench is believed, and what that makes of an applied torque."""

from datetime import UTC, date, datetime
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from torqueaudit.model.torque.correction import BudgetLine, Correction
from torqueaudit.model.wrench.figures import figures_at
from torqueaudit.model.wrench.point import Point
from torqueaudit.model.wrench.scale import Shown, scale_read
from torqueaudit.model.wrench.uncertainty import Applied, Trust, applied_of, trust_of
from torqueaudit.model.wrench.wrench import Calibration, InForce, Scale, Wrench

DUE = date(2032, 3, 31)
STATED = InForce(None, DUE)
PERMISSIBLE = "permissible deviation ±4 %, rectangular"
WITHOUT_READINGS = "scatter of one pass, without readings: what ±4 % leaves beside the deviation, rectangular"
WRENCH = Wrench(
    number="W-1",
    kind="setting",
    tag="blue",
    min_nm=Decimal(20),
    max_nm=Decimal(200),
    lever_mm=None,
    due_on=DUE,
    withdrawn="",
)
settings = st.decimals("20", "200", places=1)


def point(shown: str, reference: str, **stated: str) -> Point:
    """A calibration point of one reading."""
    expanded, interval, loading_point = (
        Decimal(stated[name]) if name in stated else None for name in ("expanded", "interval", "loading_point")
    )
    return Point(
        shown_nm=Decimal(shown),
        references_nm=(Decimal(reference),),
        expanded=expanded,
        interval=interval,
        loading_point=loading_point,
    )


def in_force(*points: Point, certificate: str = "C-1", left: tuple[Point, ...] = ()) -> InForce:
    """A calibration that holds."""
    moment = datetime(2031, 4, 1, tzinfo=UTC)
    return InForce(
        Calibration(
            entry=7,
            recorded_at=moment,
            on=date(2031, 4, 1),
            due_on=DUE,
            certificate=certificate,
            laboratory="lab",
            decision_rule="",
            as_found=points,
            as_left=left,
            adapters=(),
            paper=None,
        ),
        DUE,
    )


def trust(rests_on: InForce, shown: str = "100", *, correct_deviation: bool = False, wrench: Wrench = WRENCH) -> Trust:
    """What the wrench is believed at a setting."""
    return trust_of(wrench, rests_on, Shown(Decimal(shown)), correct_deviation=correct_deviation)


def names(found: Trust) -> list[str]:
    """What the budget rests on."""
    return [line.name for line in found.lines]


FULL = in_force(
    point("40", "40", expanded="0.01", interval="0.01"),
    point("100", "98", expanded="0.012", interval="0.035"),
    point("200", "190", expanded="0.015", interval="0.07"),
)


def test_nothing_in_force_proves_nothing() -> None:
    """The torque is told, its uncertainty is not, and why stands beside it."""
    found = trust(InForce(None, DUE, "wrench W-1 was dropped on 2031-04-01 (off the bench)"))
    applied = applied_of(Decimal(100), found, [Correction("adapter", Decimal("1.1"))])

    expected = Applied(Fraction(110), None, (), "wrench W-1 was dropped on 2031-04-01 (off the bench)")

    assert expected == applied


@pytest.mark.parametrize("shown", ["39.9", "200.1"], ids=["below the lowest", "above the highest"])
@pytest.mark.parametrize("correct_deviation", [False, True])
def test_outside_the_calibrated_points_nothing_is_proved(shown: str, correct_deviation: bool) -> None:  # noqa: FBT001
    """Nothing is carried on past the points, neither a deviation nor an uncertainty."""
    found = trust(FULL, shown, correct_deviation=correct_deviation)
    says = "the setting lies outside the points at which wrench W-1 was calibrated (40 … 200 N·m)"

    assert Trust(Fraction(1), (), says) == found


@pytest.mark.parametrize("shown", ["40", "200"])
def test_the_ends_of_the_calibrated_span_belong_to_it(shown: str) -> None:
    """At the lowest and at the highest point it was looked at."""
    assert trust(FULL, shown).why_not == ""


def test_a_wrench_used_as_it_is_adds_its_deviation_and_does_not_square_it() -> None:
    """100 set gave 98: the torque stays 100, and 2.041 % is added to what W and the scatter make as squares."""
    found = trust(FULL)

    assert found.factor == 1
    assert [
        "calibration C-1, deviation of 2.041 % left in, added as it is",
        "calibration C-1, W",
        WITHOUT_READINGS,
    ] == names(found)
    assert [True, False, False] == [line.adds for line in found.lines]
    assert Decimal("0.006") == found.lines[1].relative


def test_a_wrench_corrected_for_takes_w_alone() -> None:
    """100 set gave 98: 2.041 % too much shown, so the torque is 98 and W without that deviation is its uncertainty."""
    found = trust(FULL, correct_deviation=True)

    assert ["calibration C-1, W with the deviation of 2.041 % corrected for", WITHOUT_READINGS] == names(found)
    assert Decimal("0.006") == found.lines[0].relative
    assert 98 * Fraction(1) == 100 * found.factor


def test_without_readings_the_scatter_is_what_the_class_leaves() -> None:
    """±4 % beside a deviation of 2.041 % leaves 1.959 %, rectangular: u = 1.959 %/√3 (JCGM 100:2008, 4.3.7)."""
    expected = (Decimal("0.04") - Decimal(2) / 98) / Decimal(3).sqrt()

    assert expected == trust(FULL, correct_deviation=True).lines[1].relative


def test_one_reading_outside_is_held_by_the_permissible_deviation_alone() -> None:
    """200 set gave 190, 5.26 %: nothing narrower is known of how it scatters."""
    assert Decimal("0.04") / Decimal(3).sqrt() == trust(FULL, "200", correct_deviation=True).lines[1].relative


def test_a_deviation_is_corrected_for_where_no_uncertainty_is_stated() -> None:
    """Readings without W or W′: the deviation is known and how well is not, so the permissible deviation stands."""
    bare = in_force(point("40", "40"), point("200", "190"))
    line = BudgetLine(PERMISSIBLE, Decimal("0.04") / Decimal(3).sqrt())
    says = f"{PERMISSIBLE}, around the deviation of 5.263 % corrected for; no W stated"
    corrected = Trust(Fraction(19, 20), (line._replace(name=says),), "", Fraction(1, 19))

    assert Trust(Fraction(1), (line,)) == trust(bare, "200")
    assert corrected == trust(bare, "200", correct_deviation=True)


def test_one_point_without_a_figure_takes_the_permissible_deviation_for_all() -> None:
    """Between a stated and an unstated point nothing can be said."""
    half = in_force(point("40", "40", interval="0.02"), point("200", "190"))

    assert [PERMISSIBLE] == names(trust(half, "40"))


@pytest.mark.parametrize("correct_deviation", [False, True])
def test_an_interval_that_its_own_readings_contradict_is_none(correct_deviation: bool) -> None:  # noqa: FBT001
    """100 set gave 97: no wrench used as it is lies within 1 % of that, and nothing is left for W."""
    slip = in_force(point("100", "97", interval="0.01"))

    corrected = f"{PERMISSIBLE}, around the deviation of 3.093 % corrected for; no W stated"
    says = corrected if correct_deviation else PERMISSIBLE

    assert [says] == names(trust(slip, correct_deviation=correct_deviation))


def test_a_certificate_without_points_takes_the_permissible_deviation() -> None:
    """A calibration that only says "passed" limits the deviation and no more; then no setting lies outside."""
    assert [PERMISSIBLE] == names(trust(in_force(), "20")) == names(trust(STATED, "20"))


def test_what_was_left_counts_and_not_what_was_found() -> None:
    """After an adjustment the points found before it say nothing of what comes."""
    adjusted = in_force(point("100", "90", interval="0.2"), left=(point("100", "100", interval="0.02"),))

    assert Decimal("0.01") == trust(adjusted).lines[1].relative


def test_a_calibration_without_a_number_is_named_by_its_day() -> None:
    """The budget says which calibration it rests on."""
    bare = in_force(point("100", "100", interval="0.02"), certificate="")

    assert "calibration of 2031-04-01, W" in names(trust(bare))


def test_w_is_worked_out_of_a_stated_interval() -> None:
    """W′ 3.5 % with a deviation of 2.0408 % and |b_ep| 0.1 % leaves W 1.3592 %, and b_ep stays beside it."""
    stated = point("100", "98", interval="0.035", loading_point="-0.001")
    expected = Decimal("0.035") - Decimal(2) / 98 - Decimal("0.001")

    assert expected == stated.without_deviation
    assert Decimal("0.035") == stated.uncorrected


def test_corrected_for_its_deviation_a_wrench_keeps_the_share_of_its_loading_point() -> None:
    """W′ = |a| + W + |b_ep|, and the correction takes |a| away; the budget says which figures it rests on."""
    found = trust(in_force(point("100", "98", expanded="0.012", loading_point="0.002")), correct_deviation=True)

    assert names(found)[0] == "calibration C-1, W + |b_ep| with the deviation of 2.041 % corrected for"
    assert Decimal("0.007") == found.lines[0].relative


def test_one_calibrated_point_is_said_as_one() -> None:
    """Not as a span from itself to itself."""
    says = "the setting lies outside the points at which wrench W-1 was calibrated (120 N·m)"

    assert says == trust(in_force(point("120", "120", interval="0.02"))).why_not


def test_a_deviation_of_either_sign_widens_the_interval() -> None:
    """W′ = |a| + W + |b_ep|."""
    high, low = (point("100", reference, expanded="0.01", loading_point="0.002") for reference in ("98", "102"))

    assert Decimal(2) / 98 + Decimal("0.012") == high.uncorrected
    assert Decimal(2) / 102 + Decimal("0.012") == low.uncorrected


def test_the_division_of_the_scale_that_was_read_is_added_and_else_the_coarsest() -> None:
    """Half a division to each side, whatever else is known (JCGM 100:2008, F.2.2.1)."""
    foot_pounds = Decimal("1.3558179483314004")
    scales = (Scale("N·m", Decimal("2.5"), Decimal(1)), Scale("lbf·ft", Decimal(2), foot_pounds))
    with_scale = WRENCH._replace(scales=scales)
    line = BudgetLine("scale division 2 lbf·ft", 2 * foot_pounds / Decimal(12).sqrt() / 50)

    read = Shown(Decimal(50), scale_read(with_scale, "50 N·m", Decimal(50)))
    own = BudgetLine("scale division 2.5 N·m", Decimal("2.5") / Decimal(12).sqrt() / 50)

    assert own == trust_of(with_scale, FULL, read, correct_deviation=True).lines[-1]
    assert line == trust(FULL, "50", wrench=with_scale).lines[-1]
    assert line == trust(STATED, "50", wrench=with_scale).lines[-1]


def test_every_budget_line_counts_once_and_as_a_square() -> None:
    """3 % and 4 % make 5 %, doubled for k = 2, of the torque that every factor was multiplied into."""
    parts = [
        Correction("adapter", Decimal("1.1"), (BudgetLine("angle", Decimal("0.04")),)),
        Correction("crow", Decimal(2), ()),
    ]
    found = applied_of(Decimal(50), Trust(Fraction(1, 2), (BudgetLine("wrench", Decimal("0.03")),)), parts)

    assert (Decimal("55.000"), Decimal("5.5")) == (found.nm, found.expanded_nm)
    assert ["wrench", "angle"] == [line.name for line in found.budget]


def test_what_adds_is_no_square() -> None:
    """3 % and 4 % make 5 %, doubled for k = 2, and 1 % left in comes on top: 11 %."""
    lines = (
        BudgetLine("left in", Decimal("0.01"), adds=True),
        BudgetLine("wrench", Decimal("0.03")),
        BudgetLine("angle", Decimal("0.04")),
    )

    assert Decimal("11.0") == applied_of(Decimal(100), Trust(Fraction(1), lines), []).expanded_nm


def test_an_empty_budget_is_no_uncertainty_and_not_an_unknown_one() -> None:
    """Nothing to add makes zero."""
    assert applied_of(Decimal(50), Trust(Fraction(1), ()), []).expanded_nm == 0


@given(settings)
def test_a_stated_wrench_is_known_at_every_setting(shown: Decimal) -> None:
    """The permissible deviation is a share of the torque, so U is 4.62 % anywhere."""
    applied = applied_of(shown, trust_of(WRENCH, STATED, Shown(shown), correct_deviation=False), [])

    assert applied.expanded_nm is not None
    assert Decimal("4.6188") == round(applied.expanded_nm / applied.nm * 100, 4)


@given(settings, st.lists(st.decimals("0.001", "0.1", places=4), min_size=3, max_size=3))
def test_a_value_between_points_lies_between_their_values(shown: Decimal, values: list[Decimal]) -> None:
    """Straight lines never overshoot, and outside the points there is nothing."""
    points = [Point(Decimal(at), (Decimal(at),), w) for at, w in zip((40, 100, 200), values, strict=True)]
    found = figures_at(points, Decimal("0.04"), shown)

    assert (found is None) == (shown < 40)
    assert found is None or min(values) <= (found.expanded or 0) <= max(values)
