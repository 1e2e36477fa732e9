"""What an odometer or an hour meter shows, typed in digits; its form says in which unit it was asked for."""

from typing import TYPE_CHECKING

from torqueaudit.model.act import Refused
from torqueaudit.read.odometer import read_run

if TYPE_CHECKING:
    from torqueaudit.model.vehicle.instrument import Run
    from torqueaudit.web.typed import Typed

UNITS = ("km", "mi", "h")


def read_typed_run(typed: "Typed") -> "Run | None":
    """What was read off, in whole metres or running hours; None where the form asked for nothing. Raises Refused.

    The unit comes with the form: a tap that waited for a connection means what its screen showed.
    """
    written = typed.one("odometer")
    if not written:
        return None
    unit = typed.chosen("odometer_unit", UNITS)
    try:
        return read_run(f"{written} {unit}" if written[-1:].isdigit() else written)
    except ValueError as error:
        raise Refused(f"{'hour meter' if unit == 'h' else 'odometer'}: {error}") from None
