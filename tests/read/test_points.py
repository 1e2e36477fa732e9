"""Figures of a certificate that contradict each other are asked back.

Outside check: ISO 6789-2:2017, W′ = |a| + W + |b_ep|; the formula from memory, not read in the standard.
"""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from torqueaudit.model.torque.units import NEWTON_METRE, UnitTable
from torqueaudit.model.wrench.point import Point
from torqueaudit.model.wrench.wrench import Wrench
from torqueaudit.read.points import read_points, read_share

READINGS = "97.2 98.1 97.6 98.4 97.9"  # a mean deviation of 2.209507 %
UNITS = UnitTable((NEWTON_METRE,))
WRENCH = Wrench(
    number="W-1", kind="setting", tag="blue", min_nm=None, max_nm=None, lever_mm=None, due_on=None, withdrawn=""
)


def point(figures: str, readings: str = READINGS) -> Point:
    """One point as it is told."""
    (found,) = read_points(UNITS, WRENCH, (f"100 N·m: {readings}; {figures}",))
    return found


@pytest.mark.parametrize(
    "figures",
    [
        "W 1.384921 %; b_ep 0.1 %; W′ 3.694428 %",
        "W 1.4 %; b_ep 0.1 %; W′ 3.7 %",
        "W 1.4 %; W′ 3.6 %",
        "W 1.4 %; W′ 3.5 %",  # 3.609507, of which each of W and W′ may be off by 0.05 and the readings by 0.052
        "W 1.4 %; W′ 4.9 %",  # what is left is a b_ep that is not stated
        "W 1 %; W′ 3 %",
        "W 1.4 %",
        "W′ 2.3 %",
        "W 1.4 %; b_ep 0.1 %",
    ],
)
def test_figures_that_agree_as_far_as_they_are_printed_are_taken(figures: str) -> None:
    """Each is rounded to its last digit, and so are the readings."""
    assert point(figures).references_nm


@pytest.mark.parametrize(
    "figures",
    [
        "W 1.4 %; W′ 2.3 %",
        "W 1.4 %; W′ 3.4 %",
        "W 1.384921 %; b_ep 0.1 %; W′ 3.5 %",
        "W 1.4 %; b_ep 0.1 %; W′ 4.0 %",
        "W 1.4 %; b_ep 1.1 %; W′ 3.7 %",
    ],
)
def test_figures_that_contradict_each_other_are_asked_back(figures: str) -> None:
    """A W′ that is smaller than what it is made of; one that is larger where a b_ep is stated."""
    with pytest.raises(ValueError, match=r"make a deviation of \+2\.21 %, which with W 1\.\S+ %.* makes a W′ of"):
        point(figures)


def test_a_w_dash_below_the_deviation_of_rounded_readings_is_taken() -> None:
    """101.75 was read, of which a is 1.720 %, and printed as 101.8, of which it is 1.768 %; W′ is 1.720 + 0.01."""
    assert point("W 0.01 %; b_ep 0.00 %; W′ 1.73 %", readings="101.8").interval == Decimal("0.0173")


def test_few_digits_of_the_readings_leave_more_room() -> None:
    """98 for what may be 97.5 … 98.5: a deviation of 2.041 ± 0.52 %."""
    assert point("W 1.4 %; W′ 2.9 %", "98 98 98").interval == Decimal("0.029")
    with pytest.raises(ValueError, match=r"makes a W′ of 3\.441 % at least, not 2\.9 %"):
        point("W 1.4 %; W′ 2.9 %", "98.00 98.00 98.00")


@given(
    st.lists(st.integers(9000, 11000), min_size=1, max_size=10),
    st.integers(1, 400),
    st.integers(0, 100),
    st.integers(0, 3),
)
def test_what_a_laboratory_rounds_correctly_is_never_asked_back(
    readings: list[int], w: int, b_ep: int, digits: int
) -> None:
    """From exact figures each printed to its own digits, worked out here in fractions."""
    references = [Decimal(each) / 100 for each in readings]
    deviation = sum(((100 - each) / each for each in references), Decimal(0)) / len(references) * 100
    exact = {"W": Decimal(w) / 100, "b_ep": Decimal(b_ep) / 100}
    exact["W′"] = abs(deviation) + exact["W"] + exact["b_ep"]
    unit = Decimal(1).scaleb(-digits)
    printed = {name: value.quantize(unit) for name, value in exact.items()}
    if printed["W"] == 0 or printed["W′"] <= abs(deviation):
        return
    told = "; ".join(f"{name} {value} %" for name, value in printed.items())
    read = " ".join(f"{each:.1f}" for each in references)

    assert point(told, read).interval == printed["W′"] / 100


def test_an_uncertainty_in_percent_is_read_as_a_share() -> None:
    """With its sign or without; nothing is known to 0 %."""
    assert [Decimal("0.005")] * 3 == [read_share(text) for text in ("0.5 %", "0,5%", "0.5")]
    for text in ("0 %", "-1 %", "60 %", "half"):
        with pytest.raises(ValueError, match=r"an uncertainty"):
            read_share(text)
