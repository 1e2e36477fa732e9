"""What is said of a torque against its limits."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from torqueaudit.model.torque.verdict import (
    IN,
    IN_NOT_PROVED,
    OUT,
    OUT_NOT_PROVED,
    SIMPLE,
    conformity,
    guard_factor_in,
    provable,
    rule_text,
    verdict_of,
)

ZERO, HALF, ONE = Decimal(0), Decimal("0.5"), Decimal(1)
LOWER, UPPER = Decimal(90), Decimal(110)
torques = st.decimals("0.1", "400", places=2)
uncertainties = st.decimals("0", "60", places=3)
factors = st.sampled_from([HALF, ONE, Decimal("0.83"), Decimal(2)])
limits = st.tuples(st.none() | torques, st.none() | torques).map(
    lambda ends: ends if None in ends else tuple(sorted(ends))  # type: ignore[type-var]  # none of them is None
)


def word(nm: str, expanded: str | None = "4", lower: str | None = "90", upper: str | None = "110", r: str = "1") -> str:
    """The word for a torque with U = 4 N·m between 90 and 110 N·m, unless said otherwise."""
    low, up, u = (None if text is None else Decimal(text) for text in (lower, upper, expanded))
    return verdict_of(Decimal(nm), u, low, up, Decimal(r)).word


@pytest.mark.parametrize(
    ("nm", "said"),
    [
        ("85.9", OUT),
        ("86", OUT_NOT_PROVED),
        ("89.9", OUT_NOT_PROVED),
        ("90", IN_NOT_PROVED),
        ("93.9", IN_NOT_PROVED),
        ("94", IN),
        ("106", IN),
        ("106.1", IN_NOT_PROVED),
        ("110", IN_NOT_PROVED),
        ("110.1", OUT_NOT_PROVED),
        ("114", OUT_NOT_PROVED),
        ("114.1", OUT),
    ],
)
def test_a_guard_band_knows_four_answers(nm: str, said: str) -> None:
    """The band of U lies on both sides of each limit, its ends included."""
    assert said == word(nm)


@pytest.mark.parametrize(("nm", "said"), [("89.99", OUT), ("90", IN), ("110", IN), ("110.01", OUT)])
def test_simple_acceptance_knows_two(nm: str, said: str) -> None:
    """A value inside its limits is accepted, and one outside is not."""
    assert said == word(nm, r="0")


@pytest.mark.parametrize(("nm", "said"), [("91.9", IN_NOT_PROVED), ("92", IN), ("88", OUT_NOT_PROVED), ("87.9", OUT)])
def test_half_a_guard_band_is_half_as_wide(nm: str, said: str) -> None:
    """w = 0.5·U is 2 N·m here."""
    assert said == word(nm, r="0.5")


@pytest.mark.parametrize("r", ["0", "0.5", "1"])
def test_without_an_uncertainty_nothing_is_proved(r: str) -> None:
    """Neither in nor out, and no probability is made up."""
    assert word("100", None, r=r) == IN_NOT_PROVED
    assert word("80", None, r=r) == OUT_NOT_PROVED
    assert verdict_of(Decimal(100), None, LOWER, UPPER, Decimal(r)).probability is None


def test_without_any_uncertainty_a_limit_is_sharp() -> None:
    """U = 0 leaves no band, and the probability is one or none."""
    assert [word(nm, "0") for nm in ("89.99", "90", "110", "110.01")] == [OUT, IN, IN, OUT]
    assert [conformity(Decimal(nm), ZERO, LOWER, UPPER) for nm in (90, 89)] == [1, 0]


def test_a_tolerance_need_not_lie_even_about_its_value() -> None:
    """100 N·m with -5 +20: the band stands at the limits, wherever the value is."""
    expected = [OUT_NOT_PROVED, IN_NOT_PROVED, IN, IN, IN_NOT_PROVED]
    actual = [word(nm, lower="95", upper="120") for nm in ("94", "98", "100", "116", "117")]

    assert expected == actual


@pytest.mark.parametrize(
    ("lower", "upper", "nm", "said"),
    [
        ("90", None, "5000", IN),
        ("90", None, "93", IN_NOT_PROVED),
        ("90", None, "85", OUT),
        (None, "110", "0.1", IN),
        (None, "110", "107", IN_NOT_PROVED),
        (None, "110", "115", OUT),
        (None, None, "100", IN),
    ],
)
def test_a_missing_limit_does_not_limit(lower: str | None, upper: str | None, nm: str, said: str) -> None:
    """At least, at most, and anything."""
    assert said == word(nm, lower=lower, upper=upper)


def test_the_rule_is_stored_in_words_and_read_back() -> None:
    """What is stored with a result says by which rule it was found."""
    rules = {ZERO: SIMPLE, Decimal("0.00"): SIMPLE, ONE: "guard band 1·U", Decimal("0.50"): "guard band 0.5·U"}

    assert list(rules.values()) == [rule_text(factor) for factor in rules]
    assert list(rules) == [guard_factor_in(rule) for rule in rules.values()]


def test_what_can_be_proved_at_all_depends_on_the_guard_band() -> None:
    """With 90 … 110 N·m a U of 10 just can; half a band lets 20; simple acceptance proves by U as a whole."""
    ten, more, twenty = Decimal(10), Decimal("10.1"), Decimal(20)

    assert provable(ten, LOWER, UPPER, ONE)
    assert not provable(more, LOWER, UPPER, ONE)
    assert provable(twenty, LOWER, UPPER, HALF)
    assert not provable(more, LOWER, UPPER, ZERO)
    assert provable(twenty, LOWER, None, ONE)


@given(torques, uncertainties, limits, st.just(ZERO) | factors)
def test_words_agree_with_limits(
    nm: Decimal, expanded: Decimal, ends: tuple[Decimal | None, Decimal | None], factor: Decimal
) -> None:
    """Whatever is said to be in lies inside its limits, and whatever is said to be out does not."""
    lower, upper = ends
    inside = (lower is None or nm >= lower) and (upper is None or nm <= upper)

    assert inside == verdict_of(nm, expanded, lower, upper, factor).word.startswith("in")


@given(torques, uncertainties, limits, factors)
def test_a_guard_band_only_takes_away(
    nm: Decimal, expanded: Decimal, ends: tuple[Decimal | None, Decimal | None], factor: Decimal
) -> None:
    """In under a guard band is in by simple acceptance too, and out is out."""
    guarded = verdict_of(nm, expanded, *ends, factor).word
    simple = verdict_of(nm, expanded, *ends, ZERO).word

    assert guarded not in {IN, OUT} or guarded == simple


@given(torques, uncertainties, limits, factors)
def test_nothing_is_in_where_nothing_could_be_proved(
    nm: Decimal, expanded: Decimal, ends: tuple[Decimal | None, Decimal | None], factor: Decimal
) -> None:
    """The general answer and the single one agree."""
    if not provable(expanded, *ends, factor):
        assert verdict_of(nm, expanded, *ends, factor).word != IN


@given(st.decimals("0.01", "60", places=2), st.lists(st.decimals("0", "60", places=2), min_size=2, max_size=2))
def test_the_nearer_to_the_middle_the_likelier(expanded: Decimal, away: list[Decimal]) -> None:
    """Alike on both sides, and never more likely further out."""
    near, far = sorted(away)
    nearer, further = (conformity(100 + each, expanded, LOWER, UPPER) for each in (near, far))

    assert nearer >= further
    assert nearer == conformity(100 - near, expanded, LOWER, UPPER)


@given(torques, uncertainties, limits)
def test_a_probability_lies_between_none_and_certain(
    nm: Decimal, expanded: Decimal, ends: tuple[Decimal | None, Decimal | None]
) -> None:
    """Also far outside, where two numbers near one are taken from one."""
    probability = conformity(nm, expanded, *ends)

    assert 0 <= probability <= 1
    assert not probability.is_signed()
