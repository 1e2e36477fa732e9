"""What is put between a wrench and a fastener, one piece or several in a row: read back, compared, and said."""

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import Any

from torqueaudit.model.numbers import read_decimal
from torqueaudit.model.torque.correction import COVERAGE, Fitted, plain_fitted

ADAPTER = "adapter"
# The largest that makes sense of each attribute; of the uncertainties, standard ones, too. Ours, no source.
_MOST = {"length_mm": 1000, "angle_deg": 360, "length_u_mm": 100, "lever_u_mm": 100, "angle_u_deg": 100}


def fitted_of(plain: Mapping[str, Any]) -> Fitted:
    """What an entry holds as fitted."""
    return Fitted(plain["kind"], plain["attributes"])


def measure_of(fitted: Fitted, name: str) -> Decimal:
    """One of its attributes as a number. Raises ValueError, with a sentence, for one that is none."""
    return read_decimal(fitted.attributes[name], f"the adapter's {name}", _MOST.get(name))


def plain_adapters(adapters: Sequence[Fitted]) -> dict[str, Any]:
    """The adapters a wrench was calibrated with, as its entry holds them: one as "adapter", several as "adapters"."""
    plain = [plain_fitted(each) for each in adapters]
    return {"adapter": plain[0]} if len(plain) == 1 else {"adapters": plain} if plain else {}


def adapters_in(said: Mapping[str, Any]) -> tuple[Fitted, ...]:
    """The adapters that the entry of a calibration holds, from the wrench on."""
    own = [said["adapter"]] if "adapter" in said else []
    return tuple(map(fitted_of, said.get("adapters", own)))


def same_fitted(own: Iterable[Fitted], others: Iterable[Fitted]) -> bool:
    """Whether two wrenches have the same adapters on them, in whichever order, for that changes no torque.

    Measures are compared as numbers, without the uncertainties stated of them. Sockets and extensions do not count.
    """
    return _adapters(own) == _adapters(others)


def adapters_text(fitted: Iterable[Fitted]) -> str:
    """Adapters by their measures, from the wrench on: "50 mm at 45°, then 30 mm at 0°"."""
    return ", then ".join(measures_text(each) for each in fitted if each.kind == ADAPTER)


def fitted_text(fitted: Fitted) -> str:
    """An adapter by its measures, "adapter 40 mm at 0°"; anything else by its kind, "extension"."""
    return f"{ADAPTER} {measures_text(fitted)}" if fitted.kind == ADAPTER else fitted.kind


def measures_text(fitted: Fitted) -> str:
    """Length and angle of an adapter, with U (k = 2) where it is stated: "40 mm at 0°", "50 mm ± 0.5 mm at 45°"."""
    told = fitted.attributes
    length, angle = _spread(fitted, "length_u_mm", " mm"), _spread(fitted, "angle_u_deg", "°")
    return f"{told.get('length_mm')} mm{length} at {told.get('angle_deg')}°{angle}"


def _spread(fitted: Fitted, name: str, unit: str) -> str:
    """What is stated as a standard uncertainty, as people tell it: " ± 0.5 mm"; "" where nothing is."""
    if name not in fitted.attributes:
        return ""
    try:
        return f" ± {(COVERAGE * measure_of(fitted, name)).normalize():f}{unit}"
    except ValueError:
        return f" (u = {fitted.attributes[name]})"


def _adapters(fitted: Iterable[Fitted]) -> list[tuple[tuple[str, str], ...]]:
    return sorted(_measures(each) for each in fitted if each.kind == ADAPTER)


def _measures(fitted: Fitted) -> tuple[tuple[str, str], ...]:
    named = ((name, _number(fitted, name)) for name in fitted.attributes if "_u_" not in name)
    return tuple(sorted(named))


def _number(fitted: Fitted, name: str) -> str:
    """A measure as one number is written in one way, however it was told."""
    try:
        return f"{measure_of(fitted, name).normalize():f}"
    except ValueError:
        return fitted.attributes[name]
