"""What a workshop has chosen."""

from collections.abc import Sequence
from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple
from zoneinfo import ZoneInfo

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry


class Settings(NamedTuple):
    """What a workshop has chosen. The defaults are ours: common practice, no source.

    Months and cycles after which a wrench is calibrated again: ISO 6789-1:2017 (from memory).
    """

    zone: str = "UTC"
    base_address: str = "http://localhost:8080"
    own_tolerance_percent: Decimal = Decimal(10)
    late_minutes: int = 720
    untouched_days: int = 7
    due_soon_days: int = 3
    single_handed: bool = False
    guard_factor: Decimal = Decimal(0)  # r of the guard band r·U; 0 is simple acceptance
    correct_deviation: bool = False
    calibration_months: int = 12
    calibration_cycles: int = 5000
    wrench_due_soon_days: int = 14
    telephone: str = ""  # the workshop's, for the owner's tag
    upper_case_labels: bool = False  # a symbol of capitals needs fewer modules; some cameras do not open it
    demo: bool = False
    expected_plugins: tuple[str, ...] = ()
    blocked_plugins: tuple[str, ...] = ()

    @property
    def expects(self) -> frozenset[str]:
        """The plugins whose absence stops every job; nobody can choose to do without the workshop's own rules.

        See decision 0008.
        """
        return frozenset({*self.expected_plugins, "workshop_rules"})

    @property
    def timezone(self) -> ZoneInfo:
        """The workshop's local time."""
        return ZoneInfo(self.zone)


def fold_settings(entries: Sequence["Entry"]) -> Settings:
    """The settings as last chosen, one by one."""
    chosen: dict[str, object] = {}
    for entry in entries:
        chosen.update(entry.said)
    for name in ("own_tolerance_percent", "guard_factor"):
        if name in chosen:
            chosen[name] = Decimal(str(chosen[name]))
    for name in ("expected_plugins", "blocked_plugins"):
        listed = chosen.get(name)
        if isinstance(listed, list):
            chosen[name] = tuple(listed)
    return Settings(**chosen)  # type: ignore[arg-type]  # keys and kinds were checked when they were said
