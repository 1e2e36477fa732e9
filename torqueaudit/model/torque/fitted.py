"""What is put between a wrench and a fastener, one piece or several in a row: read back, compared, and said."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from torqueaudit.model.torque.correction import Fitted, plain_fitted
from torqueaudit.model.torque.units import read_decimal

ADAPTER = "adapter"


def fitted_of(plain: Mapping[str, Any]) -> Fitted:
    """What an entry holds as fitted."""
    return Fitted(plain["kind"], plain["attributes"])


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
    """Length and angle of an adapter: "40 mm at 0°"."""
    return f"{fitted.attributes.get('length_mm')} mm at {fitted.attributes.get('angle_deg')}°"


def _adapters(fitted: Iterable[Fitted]) -> list[tuple[tuple[str, str], ...]]:
    return sorted(_measures(each) for each in fitted if each.kind == ADAPTER)


def _measures(fitted: Fitted) -> tuple[tuple[str, str], ...]:
    named = ((name, _number(text)) for name, text in fitted.attributes.items() if "_u_" not in name)
    return tuple(sorted(named))


def _number(text: str) -> str:
    """A measure as one number is written in one way, however it was told."""
    try:
        number = read_decimal(text, "a measure")
    except ValueError:
        return text
    return f"{number.normalize():f}"
