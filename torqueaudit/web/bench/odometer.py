"""An odometer typed in digits, with its unit beside it."""

from typing import TYPE_CHECKING

from torqueaudit.model.act import Refused
from torqueaudit.read.odometer import read_odometer

if TYPE_CHECKING:
    from torqueaudit.web.typed import Typed

UNITS = ("km", "mi")


def read_odometer_if_typed(typed: "Typed") -> int | None:
    """The odometer of a form in whole metres; None where nothing was typed. Raises Refused."""
    return read_typed_odometer(typed) if typed.one("odometer") else None


def read_typed_odometer(typed: "Typed") -> int:
    """The odometer of a form in whole metres. Raises Refused."""
    written = typed.one("odometer")
    unit = typed.chosen("odometer_unit", UNITS)
    try:
        return read_odometer(f"{written} {unit}" if written[-1:].isdigit() else written)
    except ValueError as error:
        raise Refused(f"odometer: {error}") from None
