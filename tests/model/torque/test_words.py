"""Values as people read them."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from torqueaudit.model.register.distance import length_m
from torqueaudit.model.torque.specification import TORQUE_AND_ANGLE, Specification
from torqueaudit.model.torque.words import aim_text, applied_text, digits_apart, specified_text, torque_text


@pytest.mark.parametrize(
    ("nm", "expected"),
    [
        ("108", "108 N·m"),
        ("108.00", "108 N·m"),
        ("92.5", "92.5 N·m"),
        ("100", "100 N·m"),
        ("98.1818", "98.2 N·m"),
        ("5.424", "5.42 N·m"),
        ("9.5", "9.5 N·m"),
        ("1E+2", "100 N·m"),
    ],
)
def test_a_torque_is_said_to_the_tenth_and_finer_where_small(nm: str, expected: str) -> None:
    """Without idle zeros; the zeros of a hundred are not idle."""
    assert expected == torque_text(Decimal(nm))


def test_a_torque_may_be_said_without_its_unit() -> None:
    """As the lower end of a range."""
    assert torque_text(Decimal("19.80"), bare=True) == "19.8"


@pytest.mark.parametrize(
    ("specification", "expected"),
    [
        (
            Specification(
                written="22 N·m",
                unit="N·m",
                lower_nm=Decimal("19.8"),
                upper_nm=Decimal("24.2"),
                source="m",
                page="1",
                nominal_nm=Decimal(22),
                tolerance="10 %",
            ),
            "22 N·m (19.8 … 24.2)",
        ),
        (
            Specification(
                written="100 N·m",
                unit="N·m",
                lower_nm=Decimal(90),
                upper_nm=Decimal(110),
                source="m",
                page="1",
                nominal_nm=Decimal(100),
                tolerance="10 %",
                own_tolerance=True,
            ),
            "100 N·m (own tolerance: 90 … 110)",
        ),
        (
            Specification(
                written="80 lbf·ft",
                unit="lbf·ft",
                lower_nm=Decimal("101.7"),
                upper_nm=Decimal("115.2"),
                source="m",
                page="1",
                nominal_nm=Decimal(108),
                tolerance="5 lbf·ft",
            ),
            "80 lbf·ft (101.7 … 115.2 N·m)",
        ),
        (
            Specification(
                written="62 … 68 N·m", unit="N·m", lower_nm=Decimal(62), upper_nm=Decimal(68), source="m", page="1"
            ),
            "62 … 68 N·m",
        ),
        (
            Specification(
                written="30 N·m",
                unit="N·m",
                lower_nm=Decimal("28.5"),
                upper_nm=Decimal("31.5"),
                source="m",
                page="1",
                nominal_nm=Decimal(30),
                tolerance="5 %",
                method=TORQUE_AND_ANGLE,
                angle=Decimal(45),
            ),
            "30 N·m + 45°",
        ),
    ],
    ids=["tolerance", "own", "another unit", "range", "angle"],
)
def test_a_specified_torque_is_said_with_what_it_allows(specification: Specification, expected: str) -> None:
    """A range speaks for itself, and an angle is judged by no limits of torque."""
    assert expected == specified_text(specification)


def test_what_to_aim_for_is_said_with_the_angle_and_the_drag() -> None:
    """The torque alone would leave a joint of torque and angle loose."""
    plain = Specification(
        written="30 N·m",
        unit="N·m",
        lower_nm=Decimal(27),
        upper_nm=Decimal(33),
        source="m",
        page="1",
        nominal_nm=Decimal(30),
        tolerance="10 %",
    )
    expected = ["30 N·m", "30 N·m + 45°", "30 N·m + drag"]
    each = (plain, plain._replace(angle=Decimal(45)), plain._replace(drag_excluded=True))

    assert expected == [aim_text(specification) for specification in each]


@pytest.mark.parametrize(
    ("expanded", "expected"),
    [
        ("2", "± 2.0 N·m"),
        ("5.843514", "± 5.8 N·m"),
        ("9.96", "± 10 N·m"),
        ("0.456", "± 0.46 N·m"),
        ("0.1", "± 0.10 N·m"),
        ("123", "± 120 N·m"),
    ],
)
def test_an_uncertainty_always_has_two_significant_digits(expanded: str, expected: str) -> None:
    """JCGM 100:2008, 7.2.6 asks for two at most; one form everywhere."""
    assert applied_text(Decimal(108), Decimal(expanded)).endswith(f" N·m {expected}")


@pytest.mark.parametrize(
    ("nm", "expanded", "expected"),
    [
        ("99.1287", "0.59478", "99.13 N·m ± 0.59 N·m"),
        ("107.8", "5.1", "107.8 N·m ± 5.1 N·m"),
        ("108", "12.3", "108 N·m ± 12 N·m"),
        ("15", "0.69", "15.00 N·m ± 0.69 N·m"),
    ],
)
def test_a_torque_is_rounded_to_its_uncertainty(nm: str, expanded: str, expected: str) -> None:
    """JCGM 100:2008, 7.2.6: the value has as many digits as its uncertainty."""
    assert expected == applied_text(Decimal(nm), Decimal(expanded))


@pytest.mark.parametrize(
    ("nm", "expanded", "limits", "expected"),
    [
        ("118.7", "12.3", ("97.2", "118.8"), "118.70 N·m ± 12 N·m"),
        ("99.996", "5.1", ("100", "120"), "99.996 N·m ± 5.1 N·m"),
        ("100.004", "5.1", (None, "100"), "100.004 N·m ± 5.1 N·m"),
        ("100", "5.1", ("100", "120"), "100.0 N·m ± 5.1 N·m"),
    ],
)
def test_a_torque_reads_as_on_the_side_of_its_limit_where_it_lies(
    nm: str, expanded: str, limits: tuple[str | None, str], expected: str
) -> None:
    """More digits than its uncertainty has, where fewer would say what is not so."""
    bounds = [None if each is None else Decimal(each) for each in limits]

    assert expected == applied_text(Decimal(nm), Decimal(expanded), *bounds)


@given(
    nm=st.decimals("1", "300", places=6),
    expanded=st.none() | st.decimals("0.01", "20", places=3),
    limit=st.decimals("1", "300", places=4),
)
def test_no_torque_reads_as_on_the_other_side_of_its_limit(
    nm: Decimal, expanded: Decimal | None, limit: Decimal
) -> None:
    """Read back as numbers, a torque and the limit beside it stand as they stand exactly."""
    further = digits_apart(nm, limit, expanded_nm=expanded)
    shown = Decimal(applied_text(nm, expanded, limit).split(" ")[0])
    beside = Decimal(torque_text(limit, bare=True, further=further))

    assert nm.compare(limit) == shown.compare(beside)


@pytest.mark.parametrize(
    ("nm", "limit", "further", "read"),
    [
        ("6.0996", "6.1", 2, "6.0996 N·m"),
        ("96.96", "97", 1, "96.96 N·m"),
        ("6.1", "6.1", 0, "6.1 N·m"),
        ("96", "97", 0, "96 N·m"),
    ],
)
def test_two_torques_are_told_apart(nm: str, limit: str, further: int, read: str) -> None:
    """No digit more than that takes."""
    assert further == digits_apart(Decimal(nm), Decimal(limit), None)
    assert read == torque_text(Decimal(nm), further=further)


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("100 km", "100000"),
        ("12 000 km", "12000000"),
        ("12\u00a0000 km", "12000000"),
        ("1\u202f234\u202f567 m", "1234567"),
        ("62 mi", "99779.328"),
        ("1 mile", "1609.344"),
        ("250 mm", "0.25"),
        ("12.5 KM", "12500"),
    ],
)
def test_a_distance_is_read_exactly(text: str, metres: str) -> None:
    """Groups of three digits may stand apart (ISO 80000-1, 7.3.2); a mile is 1609.344 m (NIST SP 811, B.8)."""
    assert Decimal(metres) == length_m(text)


@pytest.mark.parametrize("text", ["12 00 km", "1,000 km", "100", "100 furlongs", "km", "-5 km", "12 0000 km", ""])
def test_what_is_no_distance_is_refused(text: str) -> None:
    """Also where the digits stand apart in any other way."""
    with pytest.raises(ValueError, match=r"number|distance|read"):
        length_m(text)
