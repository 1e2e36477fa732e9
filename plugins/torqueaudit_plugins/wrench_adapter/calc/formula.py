"""The lever formula of adapters that move the fastener away from the wrench's drive.

    S = T·L / (L + E·cos θ)        applied T = S·(L + E·cos θ) / L

S is what the wrench is set to, T what reaches the fastener, L drive centre to hand centre, E drive centre to fastener
centre, θ the angle between adapter and wrench axis (0 straight ahead, 90 square, 180 folded back). Source: FAA
AC 43.13-1B, figure 7-2 (referred to by 7-40(h)); US Army TM 9-254, figures 45 and 46.

Of several adapters in a row the lengths add as vectors, so E·cos θ is the sum of theirs, every θ against the wrench's
axis and not against the adapter before. That is geometry; see the tests of reference.
"""

from decimal import Context, Decimal, localcontext
from fractions import Fraction
from typing import NamedTuple

from torqueaudit.plugin import format_number, to_decimal

LOWEST_USUAL, HIGHEST_USUAL = Fraction(1, 2), Fraction(2)  # factor
FOLDED_BACK = 180  # degrees

_PI = Decimal("3.14159265358979323846264338327950288419716939937510")
_WORKING = Context(prec=50)
_PLACES = 30


class Arm(NamedTuple):
    """One adapter: its length in the lever's unit, and its angle in degrees; or their standard uncertainties."""

    length: Decimal
    angle: Decimal


class Geometry(NamedTuple):
    """The lever, and each adapter on it from the wrench on; or what each of them adds to an uncertainty."""

    lever: Decimal
    arms: tuple[Arm, ...]


def setting_for(torque: Decimal, geometry: Geometry) -> Decimal:
    """What to set the wrench to so that `torque` reaches the fastener, in the torque's own unit.

    Raises ValueError with a sentence for a geometry that cannot be used.
    """
    return to_decimal(Fraction(torque) * Fraction(geometry.lever) / _reach(geometry))


def factor_of(geometry: Geometry) -> Fraction:
    """Applied over shown torque, (L + Σ E·cos θ)/L. Raises ValueError for a geometry that cannot be used."""
    return _reach(geometry) / Fraction(geometry.lever)


def relative_uncertainties(geometry: Geometry, standard: Geometry) -> Geometry:
    """What each length and each angle add to the relative standard uncertainty of the setting (dimensionless).

    `standard` holds u(L) and every u(E) in the lengths' unit and every u(θ) in degrees. First-order propagation of
    uncorrelated inputs, JCGM 100:2008 5.1.2; each share is |∂S/∂x|·u(x)/S.
    """
    reach = _reach(geometry)
    beyond = abs(reach - Fraction(geometry.lever))
    by_lever = beyond * Fraction(standard.lever) / (reach * Fraction(geometry.lever))
    shares = (_shares(arm, u, reach) for arm, u in zip(geometry.arms, standard.arms, strict=True))
    return Geometry(to_decimal(by_lever), tuple(shares))


def _shares(arm: Arm, standard: Arm, reach: Fraction) -> Arm:
    """What the length and the angle of one adapter add."""
    with localcontext(_WORKING):
        cosine = _cosine(arm.angle)
        sine = (1 - cosine * cosine).sqrt()
        radians = standard.angle * _PI / 180
    by_length = Fraction(abs(cosine)) * Fraction(standard.length) / reach
    by_angle = Fraction(arm.length) * Fraction(sine) * Fraction(radians) / reach
    return Arm(to_decimal(by_length), to_decimal(by_angle))


def caution(factor: Fraction, adapters: int = 1) -> str:
    """A sentence where what is fitted changes the torque more than is usual (factor outside 0.5 … 2), else ""."""
    if LOWEST_USUAL <= factor <= HIGHEST_USUAL:
        return ""
    change = "The adapter changes" if adapters == 1 else f"The {adapters} adapters together change"
    return (
        f"{change} the torque by the factor {format_number(factor, 4)}, outside 0.5 to 2: "
        "measure lever, adapter and angle again, or use a shorter adapter."
    )


def _reach(geometry: Geometry) -> Fraction:
    """L + Σ E·cos θ, above zero."""
    _require_measures(geometry)
    along = (Fraction(arm.length) * Fraction(_cosine(arm.angle)) for arm in geometry.arms)
    reach = sum(along, Fraction(geometry.lever))
    if reach <= 0:
        folds = "the adapter folds" if len(geometry.arms) == 1 else "the adapters together fold"
        raise ValueError(
            f"{folds} back to the hand or beyond it, so the wrench would turn nothing or the wrong way; "
            "use a shorter adapter or a smaller angle"
        )
    return reach


def _require_measures(geometry: Geometry) -> None:
    if geometry.lever <= 0:
        raise ValueError(f"the lever length must be above zero, not {geometry.lever:f}; measure drive to hand centre")
    for arm in geometry.arms:
        if arm.length < 0:
            raise ValueError(
                f"the adapter length must not be negative ({arm.length:f}); for one folded back write the angle 180"
            )
        if not 0 <= arm.angle <= FOLDED_BACK:
            raise ValueError(
                f"the adapter's angle must be 0 (straight ahead) to 180 (folded back) degrees, not {arm.angle:f}"
            )


def _cosine(degrees: Decimal) -> Decimal:
    """Cosine of 0 … 180 degrees to 30 places, so that 0, 60, 90, 120 and 180 come out exactly.

    Not math.cos: its last digit may differ between machines, and a judged torque is hashed in the ledger.
    """
    with localcontext(_WORKING):
        square = (_PI * degrees / 180) ** 2
        total = term = Decimal(1)
        order = 0
        while abs(term) > Decimal("1e-45"):
            order += 2
            term *= -square / (order * (order - 1))
            total += term
        return round(total, _PLACES)
