"""Can the specified torque be meant for that thread?

rear axle nut: 108 N·m on M6, class 8.8, is past yield (about 12.5 N·m at friction 0.14). 108 lbf·in (12.2 N·m) or
108 kgf·cm (10.6 N·m) would fit it. Was the unit or the thread read wrongly? Compare with the source.
"""

from collections.abc import Iterator

from torqueaudit.plugin import NEWTON_METRE, Fastener, Procedure, Remark, Specification, Weight, subject_of
from torqueaudit_plugins.clamp_load.calc.clamp import FRICTION_NOT_SAID, Joint, friction_text
from torqueaudit_plugins.clamp_load.calc.strength import read_class
from torqueaudit_plugins.clamp_load.table.joints import joint_of
from torqueaudit_plugins.imperial_units.calc import IMPERIAL_UNITS
from torqueaudit_plugins.metric_units.calc import METRIC_UNITS

RULE = "clamp_load/torque-implausible"

# Shares of the torque at which such a bolt yields, at the friction that is stated; else at the usual one of a thread
# of which nothing is said, also where it is oiled: documents tabulate for that. Below, a thick thread is often that of
# a hollow axle or a shaft and never meant to be used in full, a thin one less so. See decision 0014.
PAST = 1.0
THICK_FROM_MM = 14.0
FAR_BELOW, FAR_BELOW_THICK = 0.1, 1 / 30
USUAL = (0.125, 1.0)  # what another unit has to give to explain the number

# In N·m: the units that documents print, the most frequent slip first.
LBF_FT, LBF_IN, *_ = IMPERIAL_UNITS
KGF_M, KGF_CM, *_ = METRIC_UNITS
SLIPS = {unit.symbol: float(unit.newton_metres) for unit in (NEWTON_METRE, LBF_FT, LBF_IN, KGF_M, KGF_CM)}


def review_torques(procedure: Procedure) -> Iterator[Remark]:
    """A specified torque past yield or far below what its thread and class are made for."""
    for fastener in procedure.fasteners():
        if says := _implausible(procedure, fastener):
            yield Remark(RULE, Weight.CAUTION, subject_of(fastener), says)


def _implausible(procedure: Procedure, fastener: Fastener) -> str:
    try:
        joint = joint_of(procedure, fastener, FRICTION_NOT_SAID)
        strength = read_class(fastener.property_class, joint.thread)
    except ValueError:  # not stated, or of a kind that this rule knows nothing of
        return ""
    specification = fastener.specification
    target = float(specification.target_nm)
    share = joint.share_of_yield(target, strength.yield_mpa)
    fault = _fault(specification, share, joint)
    if not fault:
        return ""
    at_yield = target / share
    torque = _nm(target) if specification.unit == NEWTON_METRE.symbol else f"{specification.written} ({_nm(target)})"
    bolt = f"{joint.thread.name}, class {strength.name},"
    return f"{torque} on {bolt} {fault.format(_nm(at_yield))}. {_explained(specification, target, at_yield)}"


def _fault(specification: Specification, share: float, joint: Joint) -> str:
    if share > PAST:
        return f"is past yield (about {{}} at {friction_text(joint)})"
    least = FAR_BELOW if joint.thread.d_mm < THICK_FROM_MM else FAR_BELOW_THICK
    # What is turned on by angle starts low, and where only a maximum is printed nothing is asked for.
    if share < least and specification.angle is None and specification.lower_nm is not None:
        return "is far below what such a bolt is made for (it yields at about {})"
    return ""


def _explained(specification: Specification, target: float, at_yield: float) -> str:
    """Whether the same number in another unit would make sense, and what to do."""
    written = specification.unit
    number = target / SLIPS[written] if written in SLIPS else 0.0
    others = {unit: number * size for unit, size in SLIPS.items() if unit != written}
    fitting = [_other(number, unit, nm) for unit, nm in others.items() if USUAL[0] <= nm / at_yield <= USUAL[1]]
    if fitting:
        return f"{' or '.join(fitting)} would fit it. Was the unit or the thread read wrongly? Compare with the source."
    return "Was the unit, the thread or the class read wrongly? Compare with the source."


def _other(number: float, unit: str, nm: float) -> str:
    return _nm(nm) if unit == NEWTON_METRE.symbol else f"{_short(number)} {unit} ({_nm(nm)})"


def _nm(torque: float) -> str:
    return f"{_short(torque)} N·m"


def _short(number: float) -> str:
    return f"{number:.3g}" if number < 1000 else f"{number:.0f}"  # noqa: PLR2004  # no powers of ten
