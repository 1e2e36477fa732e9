"""Correction for an adapter on the wrench, so that the record says what reached the fastener.

An adapter is fitted as kind "adapter" with the attributes `length_mm` (drive centre to fastener centre) and `angle_deg`
(0 straight ahead, 90 square, 180 folded back). With a lever of 500 mm, 50 mm straight ahead and a setting of 90.909 N·m
the fastener gets 100 N·m. Several in a row are corrected for together, every angle against the lever. Sockets and
extensions in line with the drive change nothing.
"""

from typing import TYPE_CHECKING

from torqueaudit.plugin import hookimpl

if TYPE_CHECKING:
    from torqueaudit.plugin import Correction, WrenchUse

ADAPTER = "adapter"


@hookimpl
def correct_setting(use: "WrenchUse") -> "Correction | None":
    """The factor (L + Σ E·cos θ)/L of all adapters fitted; None where none is fitted.

    Raises ValueError with a sentence for a missing length, angle or lever, and for a geometry that cannot be used.
    """
    adapters = tuple(part for part in use.fitted if part.kind == ADAPTER)
    if not adapters:
        return None
    from torqueaudit_plugins.wrench_adapter.calc.correction import (
        correction_of,  # every command loads this plugin, few tighten
    )

    return correction_of(use, adapters)


@hookimpl
def rules_follow_entries() -> bool:
    """What is fitted and the lever are all that the factor is worked out from."""
    return True
