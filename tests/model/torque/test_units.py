"""Torques as people write them: what is read, what is refused, and that nothing is lost on the way."""

import re
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from torqueaudit.model.numbers import LONGEST, MOST_DIGITS, clear_text, read_decimal
from torqueaudit.model.torque.units import (
    NEWTON_METRE,
    Torque,
    TorqueUnit,
    UnitTable,
    format_number,
    most_in,
    to_decimal,
)

# Two invented units: a span of three sevenths of a metre never has a finite decimal.
GRIP = TorqueUnit("grip·span", Fraction(3, 7), ("gs", "span·grip"))
TENTH = TorqueUnit("dN·m", Fraction(1, 10))
UNITS = UnitTable((NEWTON_METRE, GRIP, TENTH))

WRITTEN = st.integers(1, 10**MOST_DIGITS - 1).flatmap(
    lambda whole: st.integers(0, MOST_DIGITS - 1).map(lambda places: Decimal(whole).scaleb(-places))
)


@pytest.mark.parametrize(
    ("text", "value", "symbol"),
    [
        ("25 N·m", "25", "N·m"),
        ("25N·m", "25", "N·m"),
        ("  25   Nm ", "25", "N·m"),
        ("108,5 Nm", "108.5", "N·m"),
        ("108.50 n-M", "108.50", "N·m"),
        ("+7 N*m", "7", "N·m"),
        ("7 N.m", "7", "N·m"),
        ("7 N m", "7", "N·m"),
        ("7 N\u00a0m", "7", "N·m"),
        ("7 N\u00d7m", "7", "N·m"),
        ("7 N⋅m", "7", "N·m"),
        ("7 N · m", "7", "N·m"),
        ("3 GS", "3", "grip·span"),
        ("3 span.-grip.", "3", "grip·span"),
        ("0,25 dNm", "0.25", "dN·m"),
    ],
)
def test_a_torque_is_read_as_people_write_it(text: str, value: str, symbol: str) -> None:
    """Comma or point, any case, any separator: "108,5 Nm" and "108.5 N·m" are one torque, digits kept as written."""
    expected = (value, symbol)
    torque = UNITS.parse(text)
    actual = (str(torque.value), torque.unit.symbol)

    assert expected == actual


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "does not begin with a number"),
        ("Nm", "does not begin with a number"),
        ("NaN N·m", "does not begin with a number"),
        ("inf N·m", "does not begin with a number"),
        (".5 N·m", "does not begin with a number"),
        ("٣ N·m", "is not written in the digits 0 to 9"),
        ("25", "has no unit"),
        ("0 N·m", "must be above zero"),
        ("0,000 N·m", "must be above zero"),
        ("-5 N·m", "must be above zero"),
        ("\u22125 N·m", "must be above zero"),
        ("1.000,5 N·m", "is more than one number"),
        ("1,000,000 N·m", "is more than one number"),
        ("1 000 N·m", "is more than one number"),
        ("1e3 N·m", "is more than one number"),
        ("97-119 N·m", "is more than one number"),
        ("98 ± 10 N·m", "is more than one number"),
        ("30 N·m + 90°", "is more than one number"),
        ("60 N·m (6.0 gs)", "is more than one number"),
        ("60 N/m", "is more than one number"),
        ("25 N··m", "is not a torque unit known here"),
        ("25 N-·m", "is not a torque unit known here"),
        ("25 ·N·m", "is not a torque unit known here"),
        ("25 N·", "is not a torque unit known here"),
        ("25 furlong", "is not a torque unit known here"),
        ("25 N·m·", "is not a torque unit known here"),
        ("10² N·m", "is not a torque unit known here"),
        ("80 lb", "so it is no torque"),
        ("80 kg", "so it is no torque"),
        ("80 mN", "so it is no torque"),
        ("80 MN", "so it is no torque"),
        ("80 N", "so it is no torque"),
        ("123456789012345678901 N·m", f"has more than {MOST_DIGITS} digits"),
        ("1" * 61 + " N·m", f"is longer than {LONGEST} characters"),
    ],
)
def test_what_is_not_one_torque_is_refused_with_a_sentence(text: str, why: str) -> None:
    """A bare pound, a range, a torque with an angle, a thousands mark or nonsense is never read as some torque."""
    with pytest.raises(ValueError, match=re.escape(why)):
        UNITS.parse(text)


@pytest.mark.parametrize("text", ["25 furlong", "25 kg", "25"])
def test_a_refused_unit_lists_the_known_ones(text: str) -> None:
    """Whoever mistypes a unit sees what could have been written."""
    with pytest.raises(ValueError, match=re.escape("known are N·m, grip·span, dN·m")):
        UNITS.parse(text)


def test_a_refusal_shows_unprintable_text_as_question_marks() -> None:
    """A stray control sign or half of a surrogate pair in the input cannot break the screen that shows the sentence."""
    with pytest.raises(ValueError, match=re.escape('"a?b?" does not begin')):
        UNITS.parse("a\x1bb\ud800")


@pytest.mark.parametrize(
    ("unit", "why"),
    [
        (TorqueUnit("grip·rod", Fraction(1), ("n-m",)), 'grip·rod: "n-m" is already a spelling of N·m'),
        (TorqueUnit("SpanGrip", Fraction(1)), '"SpanGrip" is already a spelling of grip·span'),
        (TorqueUnit("pull", Fraction(1), ("kg",)), '"kg" cannot stand for a torque unit'),
        (TorqueUnit("pull 2", Fraction(1)), '"pull 2" cannot stand for a torque unit'),
        (TorqueUnit("", Fraction(1)), '"" cannot stand for a torque unit'),
        (TorqueUnit("pull", Fraction(0)), "its size must be above zero"),
    ],
)
def test_a_unit_that_would_confuse_is_refused(unit: TorqueUnit, why: str) -> None:
    """Two units of one spelling, a mere force, or a size of zero never get into the table."""
    with pytest.raises(ValueError, match=re.escape(why)):
        UnitTable((NEWTON_METRE, GRIP, unit))


def test_a_table_knows_what_it_is_given_and_nothing_else() -> None:
    """The core gives N·m alone; even that is known only where it is given."""
    expected = Torque(Decimal(98), NEWTON_METRE)
    actual = UnitTable([NEWTON_METRE]).parse("98 N·m")

    assert expected == actual
    with pytest.raises(ValueError, match="known are dN·m"):
        UnitTable([TENTH]).parse("98 N·m")


@pytest.mark.parametrize(
    ("number", "either"),
    [
        ("1,000", "1000 or 1"),
        ("1.000", "1000 or 1"),
        ("10,500", "10500 or 10.5"),
        ("108.465", "108465 or 108.4650"),
        ("12.500", "12500 or 12.5"),
        ("-1,000", "-1000 or -1"),
    ],
)
def test_a_separator_before_three_digits_is_not_guessed(number: str, either: str) -> None:
    """Some sheets print 1,000 or 1.000 and mean a thousand: read as one, the axle nut would get a thousandth."""
    with pytest.raises(ValueError, match=re.escape(f"may be thousands or decimals; write {either} to say")):
        read_decimal(number, "the torque")


@pytest.mark.parametrize("number", ["0.125", "0,125", "1000,250", "1.0005", "12.50", "1000.250", "0.500"])
def test_what_no_thousand_is_written_as_is_plain(number: str) -> None:
    """A nought before the sign, four digits before it, or any other number of digits behind it."""
    assert Decimal(number.replace(",", ".")) == read_decimal(number, "the torque")


@pytest.mark.parametrize(
    ("number", "most", "asked"),
    [("12.500", 12499, False), ("12,500", 12499, False), ("12.500", 12500, True), ("12,500", Fraction(25001, 2), True)],
)
def test_a_thousand_that_makes_no_sense_is_not_asked_back(number: str, most: int | Fraction, *, asked: bool) -> None:
    """Both signs alike: a field that holds 12499 at most cannot mean 12500."""
    if asked:
        with pytest.raises(ValueError, match="may be thousands or decimals"):
            read_decimal(number, "the torque", most)
    else:
        assert Decimal("12.5") == read_decimal(number, "the torque", most)


@pytest.mark.parametrize(
    ("text", "most_nm", "value"),
    [
        ("101.234 N·m", None, "101.234"),
        ("1.001 N·m", None, "1.001"),
        ("1.000 N·m", None, None),
        ("1,000 N·m", None, None),
        ("1.000 N·m", 60, "1"),
        ("9.999 dN·m", None, None),
        ("12.500 dN·m", None, "12.5"),
    ],
)
def test_a_torque_is_asked_back_where_a_thousand_of_its_unit_may_be_meant(
    text: str, most_nm: int | None, value: str | None
) -> None:
    """1000 N·m is the most that is believed, and less where the wrench reaches less; a certificate prints 101.234."""
    told = () if most_nm is None else (most_nm,)
    if value is None:
        with pytest.raises(ValueError, match="may be thousands or decimals"):
            UNITS.parse(text, *told)
    else:
        assert Decimal(value) == UNITS.parse(text, *told).value


@given(number=st.decimals("0.001", 999_999, places=3))
def test_what_is_written_clearly_is_read_without_a_question(number: Decimal) -> None:
    """As the calculators print it."""
    written = clear_text(f"{number:f}")

    assert number == read_decimal(written, "the number")


DIGITS = [f"{chr(zero + 8)}{chr(zero)}" for zero in (0x660, 0xFF10, 0x966, 0x9E6, 0x1D7CE)]


@pytest.mark.parametrize("digits", DIGITS)
def test_other_digits_than_0_to_9_are_refused_with_what_was_meant(digits: str) -> None:
    """Python reads them all; nobody at the next door does."""
    for read in (lambda: read_decimal(digits, "the lever"), lambda: UNITS.parse(f"{digits} N·m")):
        with pytest.raises(ValueError, match='is not written in the digits 0 to 9; write "80'):
            read()


def test_newton_metres_are_exact_where_a_decimal_can_hold_them() -> None:
    """A torque that ends within 28 digits is not rounded; one that never ends is rounded once, at the 28th."""
    expected = [Decimal("12.345"), Decimal("0.4285714285714285714285714286")]
    actual = [UNITS.parse("123.45 dNm").nm, UNITS.parse("1 gs").nm]

    assert expected == actual


@pytest.mark.parametrize(
    ("number", "digits", "text"),
    [
        (Fraction(1, 3), 5, "0.33333"),
        (Fraction(100), 5, "100"),
        (Fraction(123456), 2, "120000"),
        (Fraction(1, 10**12), 3, "0.000000000001"),
        (Decimal("93.400"), 5, "93.4"),
        (Decimal("2.5"), 1, "2"),
        (Decimal("3.5"), 1, "4"),
    ],
)
def test_a_number_is_shown_without_exponent_and_without_idle_zeros(
    number: Fraction | Decimal, digits: int, text: str
) -> None:
    """Rounded half to even at the last digit asked for."""
    assert text == format_number(number, digits)


@pytest.mark.parametrize("text", ["", "-", "1,", ",5", "1e5", "NaN", "Infinity", "1_000", "1 2", "0x10", "1" * 21])
def test_what_is_no_plain_number_names_what_it_should_have_been(text: str) -> None:
    """A length or an angle is read as strictly as a torque."""
    with pytest.raises(ValueError, match=r"^the lever: "):
        read_decimal(text, "the lever")


def test_plain_numbers_keep_their_sign_and_digits() -> None:
    """A comma is a decimal sign, and so is a point."""
    expected = ["-12.50", "45", "0.5"]
    actual = [str(read_decimal(text, "x")) for text in ("\u221212,50", " 45 ", "+0.5")]

    assert expected == actual


@given(WRITTEN, st.sampled_from(UNITS.units), st.sampled_from(UNITS.units))
@example(Decimal(10**MOST_DIGITS - 1), GRIP, TENTH)
@example(Decimal(1).scaleb(1 - MOST_DIGITS), GRIP, NEWTON_METRE)
def test_there_and_back_gives_the_written_value(value: Decimal, unit: TorqueUnit, other: TorqueUnit) -> None:
    """What was written comes back from N·m, and through any other unit, digit for digit."""
    written = format_number(value, MOST_DIGITS)
    torque = UNITS.parse(f"{clear_text(written, most_in(unit))} {unit.symbol}")

    for nm in (torque.nm, torque.convert(other).nm):
        assert written == format_number(Fraction(nm) / unit.newton_metres, MOST_DIGITS)
    assert value == to_decimal(Fraction(torque.convert(other).convert(unit).value), MOST_DIGITS)


@given(st.text() | st.from_regex(r"[+-]?[0-9.,]{0,9} ?[Nnmdgs·* .-]{0,6}", fullmatch=True))
@example("\x00")
@example("9" * 10_000)
@example("1 " + "a." * 29)
def test_any_text_is_a_torque_above_zero_or_a_sentence(text: str) -> None:
    """Whatever is typed, it is read as a torque or refused as ValueError in one printable line, never a traceback."""
    try:
        torque = UNITS.parse(text)
    except ValueError as refused:
        sentence = str(refused)
        assert sentence.isprintable()
        assert len(sentence) < 2 * LONGEST + 200
    else:
        assert torque.value > 0
        assert torque.unit in UNITS.units
