"""The probability of conformity and its words against published examples, a table worked out and scipy."""

from decimal import Decimal

import pytest
from scipy.stats import norm

from torqueaudit.model.torque.verdict import IN, IN_NOT_PROVED, SIMPLE, conformity, provable, verdict_of

LOWER, UPPER = Decimal("97.2"), Decimal("118.8")
FOUR_PERCENT = Decimal("0.04")  # a stated U (k = 2), not a permissible deviation


@pytest.mark.parametrize(
    ("value", "u", "lower", "upper", "probability"),
    [
        ("-5.47", "0.05", None, "-5.40", "0.9192433"),
        ("509", "8.6", "490", None, "0.9864232"),
    ],
    ids=["upper limit", "lower limit"],
)
def test_the_examples_of_jcgm_106(value: str, u: str, lower: str | None, upper: str | None, probability: str) -> None:
    """Source: JCGM 106:2012, examples with one limit (inputs from memory, not read in the document)."""
    low, up = (None if limit is None else Decimal(limit) for limit in (lower, upper))

    assert Decimal(probability) == conformity(Decimal(value), 2 * Decimal(u), low, up)


@pytest.mark.parametrize(
    ("value", "probability"),
    [("97.2", "0.500000"), ("98", "0.658423"), ("100", "0.919243"), ("108", "0.999999"), ("116", "0.886264")],
)
def test_a_nut_between_97_2_and_118_8(value: str, probability: str) -> None:
    """Source: p = Φ((T_U - y)/u) - Φ((T_L - y)/u), JCGM 106:2012 7.4 (from memory), worked out to six places."""
    nm = Decimal(value)

    assert Decimal(probability) == round(conformity(nm, FOUR_PERCENT * nm, LOWER, UPPER), 6)


@pytest.mark.parametrize("limits", [(LOWER, UPPER), (LOWER, None), (None, UPPER), (LOWER, LOWER + 1)], ids=str)
@pytest.mark.parametrize("expanded", ["0.01", "0.5", "4.32", "40"])
def test_probabilities_agree_with_scipy(limits: tuple[Decimal | None, Decimal | None], expanded: str) -> None:
    """Source: scipy.stats.norm, on both sides of each limit and far beyond."""
    lower, upper = limits
    for tenths in range(900, 1260, 7):
        nm = Decimal(tenths) / 10
        u = float(expanded) / 2
        below = 0.0 if lower is None else norm.cdf((float(lower) - float(nm)) / u)
        above = 0.0 if upper is None else norm.sf((float(upper) - float(nm)) / u)

        assert pytest.approx(1 - below - above, abs=6e-8) == float(conformity(nm, Decimal(expanded), lower, upper))


def test_a_guard_band_as_wide_as_u_leaves_the_middle() -> None:
    """Source: ISO 14253-1:2017 and ILAC-G8:09/2019 4.2 (from memory): accepted from T_L + U to T_U - U, U = 4 % of y.

    y - 0.04·y = 97.2 at 101.25 and y + 0.04·y = 118.8 at 114.2308, worked out.
    """
    step = Decimal("0.0001")
    lowest, highest = LOWER / (1 - FOUR_PERCENT), UPPER / (1 + FOUR_PERCENT)
    assert (Decimal("101.25"), Decimal("114.2308")) == (lowest, round(highest, 4))
    expected = {
        lowest - step: IN_NOT_PROVED,
        lowest: IN,
        Decimal(108): IN,
        round(highest, 4) - step: IN,
        round(highest, 4) + step: IN_NOT_PROVED,
    }
    actual = {nm: verdict_of(nm, FOUR_PERCENT * nm, LOWER, UPPER, Decimal(1)).word for nm in expected}

    assert expected == actual


@pytest.mark.parametrize(("guard_factor", "risk"), [("0", "0.50"), ("1", "0.0228")])
def test_the_risk_of_accepting_at_the_limit_of_acceptance(guard_factor: str, risk: str) -> None:
    """Source: ILAC-G8:09/2019 table 1 (from memory): up to 50 % by simple acceptance, below 2.5 % with w = U."""
    guard = Decimal(guard_factor)
    at_the_limit = LOWER + guard * 2
    verdict = verdict_of(at_the_limit, Decimal(2), LOWER, None, guard)

    assert verdict.word == IN
    assert verdict.probability is not None
    assert Decimal(risk) == round(1 - verdict.probability, len(risk) - 2)
    assert pytest.approx(norm.sf(2 * float(guard)), abs=6e-8) == float(1 - verdict.probability)


def test_the_rules_are_named_as_the_documents_name_them() -> None:
    """Source: JCGM 106:2012 8.2 simple acceptance, 8.3 guard bands (from memory)."""
    expected = [SIMPLE, "guard band 1·U", "guard band 0.83·U"]
    actual = [verdict_of(LOWER, Decimal(1), LOWER, UPPER, Decimal(r)).rule for r in ("0", "1.0", "0.83")]

    assert expected == actual


def test_a_tolerance_narrower_than_two_u_can_prove_nothing() -> None:
    """Source: ISO 14253-1:2017 (from memory): with w = U on both sides nothing is left of a tolerance below 2·U."""
    wide, just, narrow = (provable(Decimal(2), LOWER, LOWER + room, Decimal(1)) for room in (5, 4, Decimal("3.9")))

    assert (True, True, False) == (wide, just, narrow)
