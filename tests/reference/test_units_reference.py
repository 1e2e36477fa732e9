"""Torque units against published and independent sources."""

from decimal import Context, Decimal

import pint
import pytest
from scipy import constants

from torqueaudit.model.torque.units import format_number
from torqueaudit.plugin.commands import unit_table

UNITS = unit_table()
PINT: pint.UnitRegistry[float] = pint.UnitRegistry()

# The definitions multiplied out: 1 lb = 0.45359237 kg and 1 ft = 0.3048 m (international yard and pound, 1959),
# g_n = 9.80665 m/s² (3rd CGPM, 1901).
EXACT = {
    "N·m": "1",
    "lbf·ft": "1.3558179483314004",
    "lbf·in": "0.1129848290276167",
    "ozf·in": "0.00706155181422604375",
    "kgf·m": "9.80665",
    "kgf·cm": "0.0980665",
    "gf·cm": "0.0000980665",
    "daN·m": "10",
    "dN·m": "0.1",
    "N·cm": "0.01",
    "cN·m": "0.01",
    "mN·m": "0.001",
}

# NIST SP 811:2008, appendix B.8, "moment of force or torque", as printed there to seven digits
# (values from memory, not read in the publication).
NIST_SP_811 = {"lbf·ft": "1.355818", "lbf·in": "0.1129848", "ozf·in": "0.007061552", "kgf·m": "9.80665"}

SCIPY = {
    "lbf·ft": constants.lbf * constants.foot,
    "lbf·in": constants.lbf * constants.inch,
    "ozf·in": constants.lbf / 16 * constants.inch,
    "kgf·m": constants.kgf,
    "kgf·cm": constants.kgf * constants.centi,
    "gf·cm": constants.kgf * constants.gram * constants.centi,
    "daN·m": constants.deka,
    "dN·m": constants.deci,
    "N·cm": constants.centi,
    "cN·m": constants.centi,
    "mN·m": constants.milli,
}

# In pint "Nm" is a textile unit, so units are spelled out.
PINT_NAMES = {
    "lbf·ft": "force_pound * foot",
    "lbf·in": "force_pound * inch",
    "ozf·in": "force_ounce * inch",
    "kgf·m": "kilogram_force * meter",
    "kgf·cm": "kilogram_force * centimeter",
    "gf·cm": "force_gram * centimeter",
    "daN·m": "decanewton * meter",
    "dN·m": "decinewton * meter",
    "N·cm": "newton * centimeter",
    "cN·m": "centinewton * meter",
    "mN·m": "millinewton * meter",
}


def test_every_bundled_unit_is_checked_here() -> None:
    """A unit added without a reference value fails."""
    assert EXACT.keys() == {unit.symbol for unit in UNITS.units}


@pytest.mark.parametrize(("symbol", "size"), EXACT.items())
def test_units_have_the_exact_size_of_their_definition(symbol: str, size: str) -> None:
    """Source: the definitions of pound, foot and standard acceleration named above, all digits."""
    assert Decimal(size) == UNITS.parse(f"1 {symbol}").nm


@pytest.mark.parametrize(("symbol", "size"), NIST_SP_811.items())
def test_units_agree_with_nist_sp_811_as_printed(symbol: str, size: str) -> None:
    """Source: NIST SP 811:2008 B.8, rounded to its seven digits."""
    assert size == format_number(UNITS.parse(f"1 {symbol}").nm, 7)


@pytest.mark.parametrize(("symbol", "size"), SCIPY.items())
def test_units_agree_with_scipy_constants(symbol: str, size: float) -> None:
    """Source: scipy.constants, in binary floating point."""
    assert pytest.approx(size, rel=1e-15, abs=0) == float(UNITS.parse(f"1 {symbol}").nm)


@pytest.mark.parametrize(("symbol", "name"), PINT_NAMES.items())
def test_units_agree_with_pint(symbol: str, name: str) -> None:
    """Source: pint's default registry, in binary floating point."""
    size = PINT.Quantity(1, name).to("newton * meter").magnitude

    assert pytest.approx(size, rel=1e-15, abs=0) == float(UNITS.parse(f"1 {symbol}").nm)


@pytest.mark.parametrize(
    ("written", "symbol", "shown"),
    [
        ("80 lbf·ft", "N·m", "108.4654358665"),
        ("108 N·m", "lbf·ft", "79.65671212194"),
        ("108 N·m", "kgf·m", "11.01293510016"),
        ("25 N·m", "lbf·in", "221.2686447832"),
    ],
)
def test_converted_torques_have_thirteen_right_digits(written: str, symbol: str, shown: str) -> None:
    """Source: the exact sizes above, divided by hand to 40 digits (25 N·m is 221.26864478317960… lbf·in)."""
    assert shown == format_number(UNITS.parse(written).convert(UNITS.unit(symbol)).value, 13)


@pytest.mark.parametrize(
    ("spelling", "symbol"),
    [
        ("Nm", "N·m"),
        ("N·m", "N·m"),
        ("N-m", "N·m"),
        ("ft-lb", "lbf·ft"),
        ("lb-ft", "lbf·ft"),
        ("ft·lbf", "lbf·ft"),
        ("in-lb", "lbf·in"),
        ("kgf-m", "kgf·m"),
        ("kg-m", "kgf·m"),
        ("mkg", "kgf·m"),
        ("N m", "N·m"),
        ("newton metre", "N·m"),
        ("Newton-meters", "N·m"),
        ("Newtonmeter", "N·m"),
        ("Ncm", "N·cm"),
        ("N cm", "N·cm"),
        ("cNm", "cN·m"),
        ("daNm", "daN·m"),
        ("dNm", "dN·m"),
        ("mNm", "mN·m"),
        ("mN·m", "mN·m"),
        ("gf.cm", "gf·cm"),
        ("gcm", "gf·cm"),
        ("kgfcm", "kgf·cm"),
        ("kgcm", "kgf·cm"),
        ("mkp", "kgf·m"),
        ("kpm", "kgf·m"),
        ("kgfm", "kgf·m"),
        ("kilogram-force metre", "kgf·m"),
        ("in lb", "lbf·in"),
        ("inlb", "lbf·in"),
        ("in.lb", "lbf·in"),
        ("in.-lb.", "lbf·in"),
        ("inch pounds", "lbf·in"),
        ("inch-lbs", "lbf·in"),
        ("ft.lb", "lbf·ft"),
        ("ft lbs", "lbf·ft"),
        ("lbs-ft", "lbf·ft"),
        ("lb ft", "lbf·ft"),
        ("ftlb", "lbf·ft"),
        ("ft. lbs.", "lbf·ft"),
        ("foot-pounds", "lbf·ft"),
        ("pound-feet", "lbf·ft"),
        ("oz-in", "ozf·in"),
        ("inch ounces", "ozf·in"),
    ],
)
@pytest.mark.parametrize("number", ["108.5", "108,5"])
def test_what_people_write_is_read(number: str, spelling: str, symbol: str) -> None:
    """Source: trade practice, as manuals print it; comma or point as decimal sign."""
    torque = UNITS.parse(f"{number} {spelling}")

    assert (Decimal("108.5"), symbol) == (torque.value, torque.unit.symbol)


@pytest.mark.parametrize("spelling", ["lb", "kg", "mN", "daN", "cN", "g", "oz"])
def test_a_force_or_a_mass_is_no_torque(spelling: str) -> None:
    """Source: definition; nothing says at which lever it acts."""
    with pytest.raises(ValueError, match="so it is no torque"):
        UNITS.parse(f"80 {spelling}")


@pytest.mark.parametrize("symbol", EXACT)
@pytest.mark.parametrize("number", ["1", "80", "108.5", "0.07", "3.333333", "12345678901234567890"])
def test_conversions_are_exact_to_28_digits_and_lead_back_to_the_written_value(number: str, symbol: str) -> None:
    """Source: the exact sizes above, multiplied with 60 digits and rounded once."""
    torque = UNITS.parse(f"{number} {symbol}")
    exact = Context(prec=60).multiply(Decimal(number), Decimal(EXACT[symbol]))

    assert Context(prec=28).plus(exact) == torque.nm
    for unit in UNITS.units:
        there_and_back = torque.convert(unit).convert(torque.unit)

        assert Decimal(number) == Context(prec=20).plus(there_and_back.value)
