"""A specified torque: the value, its limits, and the way in which the document asks for it."""

from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

TORQUE = "torque"
TORQUE_AND_ANGLE = "torque and angle"


class Printed(NamedTuple):
    """A torque as a document prints it: one value, or both ends of a range.

    `nm` has one or two numbers in N·m; `half_digit_nm` is half a unit of the last printed digit of each, the most by
    which a rounded number differs from what it was rounded from.
    """

    written: str
    nm: tuple[Decimal, ...]
    half_digit_nm: tuple[Decimal, ...]


class Specification(NamedTuple):
    """A specified torque as the document prints it, and in N·m.

    `lower_nm` or `upper_nm` is None where the document does not limit that side ("at least 90 N·m"). `nominal_nm` is
    None where it prints limits only. `own_tolerance`: it prints none, so `tolerance` is the workshop's own. `angle` and
    its tolerance are degrees turned after the torque, and `final_lower_nm` to `final_upper_nm` what the wrench may show
    at their end. `drag_excluded`: what a self-locking nut needs to turn at all comes on top; `drag_min_nm` is the least
    that it has to need for its locking part to hold. `also` are further printed values; `written` governs, and its
    digits are worth `half_digit_nm`.
    """

    written: str
    unit: str
    lower_nm: Decimal | None
    upper_nm: Decimal | None
    source: str
    page: str
    nominal_nm: Decimal | None = None
    tolerance: str = ""
    own_tolerance: bool = False
    method: str = TORQUE
    angle: Decimal | None = None
    angle_tolerance: Decimal | None = None
    final_written: str = ""
    final_lower_nm: Decimal | None = None
    final_upper_nm: Decimal | None = None
    drag_excluded: bool = False
    drag_min_nm: Decimal | None = None
    also: tuple[Printed, ...] = ()
    half_digit_nm: tuple[Decimal, ...] = ()

    @property
    def limits_nm(self) -> tuple[Decimal, ...]:
        """The limits there are, the lower first."""
        return tuple(limit for limit in (self.lower_nm, self.upper_nm) if limit is not None)

    @property
    def printed_nm(self) -> tuple[Decimal, ...]:
        """What `written` says in N·m: one value, or both ends of a range."""
        return self.limits_nm if self.nominal_nm is None else (self.nominal_nm,)

    @property
    def target_nm(self) -> Decimal:
        """What to aim for in N·m: the printed value, the middle of a printed range, the limit where there is one."""
        printed = self.printed_nm
        return sum(printed, Decimal(0)) / len(printed)

    @property
    def angle_window(self) -> tuple[Decimal, Decimal] | None:
        """The fewest and the most degrees, None where none can be judged."""
        if self.angle is None or self.angle_tolerance is None:
            return None
        return self.angle - self.angle_tolerance, self.angle + self.angle_tolerance

    def disagreeing(self) -> tuple[Printed, ...]:
        """The further printed values that differ from the governing one by more than rounding either explains."""
        return tuple(other for other in self.also if self._differs(other))

    def _differs(self, other: Printed) -> bool:
        # A range printed beside a value with a tolerance is held against the limits that the tolerance gives.
        own, halves = self.printed_nm, self.half_digit_nm
        if len(other.nm) > len(own):
            own, halves = self.limits_nm, halves * 2
        pairs = zip(own, other.nm, halves, other.half_digit_nm, strict=True)
        return any(abs(mine - its) > half + its_half for mine, its, half, its_half in pairs)


def within(number: Decimal | Fraction, lower: Decimal | None, upper: Decimal | None) -> bool:
    """Whether a number lies between two ends, of which either may be missing and both belong to what is allowed."""
    if isinstance(number, Decimal):  # decimals compare exactly, and far sooner than fractions
        return (lower is None or lower <= number) and (upper is None or number <= upper)
    return (lower is None or Fraction(lower) <= number) and (upper is None or number <= Fraction(upper))
