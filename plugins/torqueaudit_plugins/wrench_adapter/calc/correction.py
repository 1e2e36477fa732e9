"""What one adapter makes of a wrench's setting, with the budget of its uncertainty.

Standard uncertainties may be stated as `length_u_mm`, `angle_u_deg` and `lever_u_mm`. Where none is stated the workshop
assumes 1 mm, 5 degrees and 5 mm (hand position), and the budget line says so; no standard prescribes these values.
"""

from decimal import Decimal
from typing import NamedTuple

from torqueaudit.plugin import BudgetLine, Correction, Fitted, WrenchUse, format_number, read_decimal
from torqueaudit_plugins.wrench_adapter.calc.formula import Geometry, caution, factor_of, relative_uncertainties


class Input(NamedTuple):
    """One input of the budget: its name, the attribute that states its standard uncertainty, else the assumed one."""

    name: str
    attribute: str
    assumed: Decimal
    unit: str


INPUTS = (
    Input("lever length", "lever_u_mm", Decimal(5), "mm"),
    Input("adapter length", "length_u_mm", Decimal(1), "mm"),
    Input("adapter angle", "angle_u_deg", Decimal(5), "degrees"),
)


def correction_of(use: WrenchUse, adapter: Fitted) -> Correction:
    """Factor and budget of one adapter. Raises ValueError with a sentence where they cannot be worked out."""
    geometry = _geometry(use, adapter)
    factor = factor_of(geometry)
    return Correction(adapter.kind, factor, _budget(geometry, adapter), caution(factor))


def _geometry(use: WrenchUse, adapter: Fitted) -> Geometry:
    if use.lever_mm is None:
        wrench = f"wrench {use.wrench}" if use.wrench else "the wrench"
        raise ValueError(
            f"the lever length of {wrench} is not known, so the adapter cannot be corrected for; "
            "measure drive centre to hand mark and enter it"
        )
    return Geometry(use.lever_mm, _attribute(adapter, "length_mm"), _attribute(adapter, "angle_deg"))


def _attribute(adapter: Fitted, name: str) -> Decimal:
    if name not in adapter.attributes:
        raise ValueError(f"the adapter's {name} is missing; state length_mm and angle_deg (0 is straight ahead)")
    return read_decimal(adapter.attributes[name], f"the adapter's {name}")


def _budget(geometry: Geometry, adapter: Fitted) -> tuple[BudgetLine, ...]:
    standard = Geometry(*(_standard_uncertainty(adapter, each) for each in INPUTS))
    relative = relative_uncertainties(geometry, standard)
    return tuple(
        BudgetLine(_line_name(adapter, each, u), line) for each, u, line in zip(INPUTS, standard, relative, strict=True)
    )


def _standard_uncertainty(adapter: Fitted, each: Input) -> Decimal:
    if each.attribute not in adapter.attributes:
        return each.assumed
    stated = _attribute(adapter, each.attribute)
    if stated < 0:
        raise ValueError(f"the adapter's {each.attribute} must be zero or above, not {stated:f}")
    return stated


def _line_name(adapter: Fitted, each: Input, u: Decimal) -> str:
    whose = "as stated" if each.attribute in adapter.attributes else "the workshop's assumption"
    return f"{each.name}, u = {format_number(u, 6)} {each.unit}, {whose}"
