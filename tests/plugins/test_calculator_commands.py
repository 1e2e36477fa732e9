"""The calculators `convert` and `setting`, run as a person runs them."""

import json
from decimal import Decimal
from fractions import Fraction

import click
import pytest
from click.testing import CliRunner, Result
from hypothesis import given
from hypothesis import strategies as st

from torqueaudit.model.numbers import MOST_DIGITS
from torqueaudit.model.torque.units import Torque, TorqueUnit, to_decimal
from torqueaudit.plugin.commands import unit_table
from torqueaudit_plugins.metric_units.commands import convert
from torqueaudit_plugins.wrench_adapter.commands.setting import setting

LEVER = ("--length", "500", "--adapter", "50")


def run(command: click.Command, *words: str) -> Result:
    """Run one command; anything but a clean exit fails here."""
    result = CliRunner().invoke(command, words)
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exc_info
    return result


@pytest.mark.parametrize(
    ("words", "line"),
    [
        (("80 lbf·ft", "N·m"), "108.4654358665 N·m"),
        (("108 N·m", "lbf·ft"), "79.65671212194 lbf·ft"),
        (("108 Nm", "mkg"), "11.01293510016 kgf·m"),
        (("100 Nm", "n-m"), "100 N·m"),
        (("80 ft-lb", "Nm", "--digits", "4"), "108.5 N·m"),
        (("80 ft-lb", "Nm", "--digits", "20"), "108.465435866512032 N·m"),
        (("1,5 dNm", "cN·m"), "15 cN·m"),
        (("1,5 mNm", "gf·cm"), "15.29574319467 gf·cm"),
        (("1,5 daNm", "Ncm"), "1500 N·cm"),
        (("1234 mNm", "N·m"), "1.234 N·m"),
        (("0.1234 N·m", "N·cm"), "12.34 N·cm"),
        (("0.01234 N·m", "N·cm"), "1.2340 N·cm"),
    ],
)
def test_convert_prints_value_and_unit(words: tuple[str, ...], line: str) -> None:
    """One line, nothing else, so that a script can read it too."""
    result = run(convert, *words)

    expected = (0, f"{line}\n", "")
    actual = (result.exit_code, result.stdout, result.stderr)

    assert expected == actual


def test_convert_answers_as_json_with_a_decimal_string() -> None:
    """The value is a string, so no reader makes a float of it."""
    expected = {"value": "108.4654358665", "unit": "N·m"}
    actual = json.loads(run(convert, "80 lbf·ft", "N·m", "--json").stdout)

    assert expected == actual


@pytest.mark.parametrize(
    ("words", "line"),
    [
        (("100 N·m", *LEVER, "--angle", "45"), "93.396 N·m"),
        (("100 N·m", *LEVER, "--angle", "45", "--digits", "11"), "93.395911747 N·m"),
        (("100 N·m", *LEVER), "90.909 N·m"),
        (("100 N·m", *LEVER, "--angle", "90"), "100 N·m"),
        (("100 N·m", *LEVER, "--angle", "180"), "111.11 N·m"),
        (("74 ft-lb", "--length", "500,0", "--adapter", "0"), "74 lbf·ft"),
    ],
)
def test_setting_prints_the_setting_first_and_then_what_to_heed(words: tuple[str, ...], line: str) -> None:
    """The first line is value and unit, in the unit the torque was written in; then what is fitted, and the warning."""
    result = run(setting, *words)
    first, fitted, last = result.stdout.splitlines()

    assert result.exit_code == 0
    assert first == line
    for words_of_warning in ("maker's manual prevails", "Never put a pipe", "calibrated with this adapter"):
        assert words_of_warning in last
    assert fitted.startswith("  with adapter ")


def test_setting_cautions_before_the_standing_warning() -> None:
    """An adapter longer than the lever is answered, with a caution."""
    lines = run(setting, "100 N·m", "--length", "200", "--adapter", "300").stdout.splitlines()

    assert len(lines) == 4
    assert lines[:2] == ["40 N·m", "  with adapter 300 mm at 0°"]
    assert "factor 2.5, outside 0.5 to 2" in lines[2]


def test_setting_works_out_several_adapters_and_says_them_in_their_order() -> None:
    """Lengths straight ahead add: 500/650 of 100 N·m (common practice, no source). One folded back takes off."""
    lines = run(setting, "100 N·m", "--length", "500", "--adapter", "50@0", "--adapter", "100@0").stdout.splitlines()
    back = run(setting, "100 N·m", "--length", "500", "--adapter", "100@0", "--adapter", "50@180").stdout.splitlines()

    assert lines[:3] == ["76.923 N·m", "  with adapter 50 mm at 0°", "  with adapter 100 mm at 0°"]
    assert back[:3] == ["90.909 N·m", "  with adapter 100 mm at 0°", "  with adapter 50 mm at 180°"]


def test_setting_answers_as_json_with_decimal_strings() -> None:
    """Setting in the written unit, applied torque in N·m, the factor, and the same warnings as on the screen."""
    result = run(setting, "100 kgf·cm", *LEVER, "--json")
    on_the_screen = run(setting, "100 kgf·cm", *LEVER).stdout.splitlines()[2:]

    expected = {
        "setting": "90.909",
        "unit": "kgf·cm",
        "applied_nm": "9.80665",
        "factor": "1.1",
        "fitted": ["adapter 50 mm at 0°"],
        "warnings": on_the_screen,
    }
    actual = json.loads(result.stdout)

    assert expected == actual


@pytest.mark.parametrize(
    ("command", "words", "why"),
    [
        (convert, ("80 kg", "N·m"), '"kg" says how heavy'),
        (convert, ("80 furlong", "N·m"), "kgf·m, kgf·cm, gf·cm, daN·m, dN·m, N·cm, cN·m, mN·m"),
        (convert, ("80 N·m", "mN"), '"mN" says how heavy'),
        (convert, ("-5 N·m", "lbf·ft"), '"-5 N·m" must be above zero'),
        (convert, ("80 N·m",), "Missing argument 'UNIT'"),
        (convert, ("80 N·m", "Nm", "--digits", "0"), "is not in the range"),
        (setting, ("-5 N·m", *LEVER), '"-5 N·m" must be above zero'),
        (setting, ("100 N·m", "--length", "500"), "with TORQUE --length MM --adapter MM"),
        (setting, ("100 N·m", "--length", "5OO", "--adapter", "50"), '--length: "5OO" is not a plain number'),
        (setting, ("100 N·m", "--length", "50", "--adapter", "50", "--angle", "180"), "turn nothing or the wrong way"),
        (setting, ("100 N·m", *LEVER, "--adapter", "30", "--angle", "45"), "is of one adapter, and there are 2"),
        (setting, ("100 N·m", "--length", "500±2", "--adapter", "50"), "works out no uncertainty; leave ± out"),
        (setting, ("100 N·m", "--length", "500", "--adapter", "50±1@0"), "works out no uncertainty; leave ± out"),
        (setting, ("100 N·m", *LEVER, "--adapter", "550@180"), "the adapters together fold back"),
        (setting, ("100 N·m", *LEVER, "--angle", "200"), "must be 0 (straight ahead) to 180"),
        (setting, ("30 N·m + 90°", *LEVER), "is more than one number and one unit"),
    ],
)
def test_wrong_use_is_one_sentence_and_exit_2(command: click.Command, words: tuple[str, ...], why: str) -> None:
    """Nothing on stdout, the reason on stderr."""
    result = run(command, *words)

    assert result.exit_code == 2
    assert result.stdout == ""
    assert why in result.stderr


@given(
    value=st.decimals("0.000001", 1_000_000, places=6),
    unit=st.sampled_from(unit_table().units),
    other=st.sampled_from(unit_table().units),
    digits=st.integers(1, MOST_DIGITS),
)
def test_what_convert_prints_is_read_again(value: Decimal, unit: TorqueUnit, other: TorqueUnit, digits: int) -> None:
    """With the same number, whatever it was converted from, and no question is asked about it."""
    printed = run(convert, f"{value:f} {unit.symbol}", other.symbol, "--digits", str(digits)).stdout.strip()
    again = unit_table().parse(printed)
    exact = Torque(value, unit).convert(other)

    assert again == (to_decimal(Fraction(exact.value), digits), other)
    assert printed == run(convert, printed, other.symbol, "--digits", str(MOST_DIGITS)).stdout.strip()


@given(st.text(), st.text())
def test_no_words_bring_a_traceback(first: str, second: str) -> None:
    """Whatever is typed, the commands answer or refuse."""
    assert run(convert, "--", first, second).exit_code in {0, 2}
    assert run(setting, "--length", "500", "--adapter", first, "--", second).exit_code in {0, 2}
