"""What the adapters on a wrench make of its setting together, with the budget of the uncertainty.

Standard uncertainties may be stated as `length_u_mm`, `angle_u_deg` and `lever_u_mm`, each half of the U (k = 2) that
people tell behind a ±; the lever's may stand with its wrench. Where none is stated the workshop assumes 1 mm, 5 degrees
and 5 mm (hand position), and the budget line says so; no standard prescribes these values.
"""

from collections.abc import Iterator
from decimal import Decimal
from typing import NamedTuple

from torqueaudit.plugin import BudgetLine, Correction, Fitted, WrenchUse, format_number, measure_of
from torqueaudit_plugins.wrench_adapter.calc.formula import Arm, Geometry, caution, factor_of, relative_uncertainties


class Input(NamedTuple):
    """One input of the budget: its name, the attribute that states its standard uncertainty, else the assumed one."""

    name: str
    attribute: str
    assumed: Decimal
    unit: str


STATED, ASSUMED = "as stated", "the workshop's assumption"
LEVER = Input("lever length", "lever_u_mm", Decimal(5), "mm")
LENGTH = Input("length", "length_u_mm", Decimal(1), "mm")
ANGLE = Input("angle", "angle_u_deg", Decimal(5), "degrees")


class Standard(NamedTuple):
    """A standard uncertainty, and whose it is."""

    u: Decimal
    whose: str


def correction_of(use: WrenchUse, adapters: tuple[Fitted, ...]) -> Correction:
    """Factor and budget of all adapters, from the wrench on. Raises ValueError with a sentence where there is none."""
    geometry = _geometry(use, adapters)
    factor = factor_of(geometry)
    return Correction(adapters[0].kind, factor, tuple(_budget(use, geometry, adapters)), caution(factor, len(adapters)))


def _geometry(use: WrenchUse, adapters: tuple[Fitted, ...]) -> Geometry:
    if use.lever_mm is None:
        wrench = f"wrench {use.wrench}" if use.wrench else "the wrench"
        raise ValueError(
            f"the lever length of {wrench} is not known, so the adapter cannot be corrected for; "
            "measure drive centre to hand mark and enter it"
        )
    arms = (Arm(_attribute(each, "length_mm"), _attribute(each, "angle_deg")) for each in adapters)
    return Geometry(use.lever_mm, tuple(arms))


def _attribute(adapter: Fitted, name: str) -> Decimal:
    if name not in adapter.attributes:
        raise ValueError(f"the adapter's {name} is missing; state length_mm and angle_deg (0 is straight ahead)")
    return measure_of(adapter, name)


def _budget(use: WrenchUse, geometry: Geometry, adapters: tuple[Fitted, ...]) -> Iterator[BudgetLine]:
    lever = _lever_u(use, adapters)
    arms = [(_standard_u(each, LENGTH), _standard_u(each, ANGLE)) for each in adapters]
    standard = Geometry(lever.u, tuple(Arm(length.u, angle.u) for length, angle in arms))
    shares = relative_uncertainties(geometry, standard)
    yield _line("", LEVER, lever, shares.lever)
    names = _names(geometry.arms)
    for name, (length, angle), share in zip(names, arms, shares.arms, strict=True):
        yield _line(name, LENGTH, length, share.length)
        yield _line(name, ANGLE, angle, share.angle)


def _names(arms: tuple[Arm, ...]) -> list[str]:
    """What each adapter is called in the budget: of several by its place and its measures."""
    if len(arms) == 1:
        return ["adapter "]
    return [f"adapter {place} ({arm.length:f} mm at {arm.angle:f}°): " for place, arm in enumerate(arms, start=1)]


def _line(of: str, each: Input, standard: Standard, relative: Decimal) -> BudgetLine:
    name = f"{of}{each.name}, u = {format_number(standard.u, 6)} {each.unit}, {standard.whose}"
    return BudgetLine(name, relative)


def _standard_u(adapter: Fitted, each: Input) -> Standard:
    if each.attribute not in adapter.attributes:
        return Standard(each.assumed, ASSUMED)
    stated = _attribute(adapter, each.attribute)
    if stated < 0:
        raise ValueError(f"the adapter's {each.attribute} must be zero or above, not {stated:f}")
    return Standard(stated, STATED)


def _lever_u(use: WrenchUse, adapters: tuple[Fitted, ...]) -> Standard:
    """Of the lever there is one, so all state the same of it; where they state nothing, its wrench does."""
    stated = {_standard_u(each, LEVER) for each in adapters if LEVER.attribute in each.attributes}
    if len(stated) > 1:
        said = " and ".join(f"{each.u:f}" for each in sorted(stated))
        raise ValueError(f"the adapters state {LEVER.attribute} differently ({said}); state it once")
    own = Standard(LEVER.assumed, ASSUMED) if use.lever_u_mm is None else Standard(use.lever_u_mm, STATED)
    return next(iter(stated), own)
