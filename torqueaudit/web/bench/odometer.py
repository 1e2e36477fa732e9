"""What an odometer or an hour meter shows, typed in digits; its form says in which unit it was asked for."""

from typing import TYPE_CHECKING

from torqueaudit.model.act import Refused
from torqueaudit.model.vehicle.exchange import Replaced
from torqueaudit.model.vehicle.instrument import Instrument
from torqueaudit.read.odometer import read_run

if TYPE_CHECKING:
    from torqueaudit.model.vehicle.instrument import Run
    from torqueaudit.web.typed import Typed

UNITS = ("km", "mi", "h")


def read_typed_run(typed: "Typed", name: str = "odometer") -> "Run | None":
    """What was read off, in whole metres or running hours; None where the form asked for nothing. Raises Refused.

    The unit comes with the form: a tap that waited for a connection means what its screen showed.
    """
    written = typed.one(name)
    return _read(written, typed.chosen(f"{name}_unit", UNITS)) if written else None


def read_typed_exchange(typed: "Typed") -> Replaced:
    """What was told of an instrument that was replaced. Raises Refused."""
    kind = Instrument(typed.chosen("kind", tuple(Instrument)))
    now = typed.one("now")
    return Replaced(kind, read_typed_run(typed, "was"), _read(now, kind.unit) if now and kind.unit else None)


def _read(written: str, unit: str) -> "Run":
    try:
        return read_run(f"{written} {unit}" if written[-1:].isdigit() else written)
    except ValueError as error:
        raise Refused(f"{'hour meter' if unit == 'h' else 'odometer'}: {error}") from None
