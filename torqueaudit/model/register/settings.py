"""What a workshop has chosen."""

from collections.abc import Sequence
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING, Any, NamedTuple
from zoneinfo import ZoneInfo

from torqueaudit.model.register.bounds import NUMBERS, beyond, within
from torqueaudit.model.unread import NothingKnown, Unread, told_of

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry

OWN = ("settled", "struck")  # among the entries of a site


class Settings(NamedTuple):
    """What a workshop has chosen. The defaults are ours: common practice, no source.

    Months and cycles after which a wrench is calibrated again: ISO 6789-1:2017 (from memory).
    """

    zone: str = "UTC"
    base_address: str = "http://localhost:8080"  # of the labels: what owners open
    workshop_address: str = ""  # of the workshop's own pages: bench, devices, wrenches; "" is that of the labels
    own_tolerance_percent: Decimal = Decimal(10)
    late_minutes: int = 720
    untouched_days: int = 7
    due_soon_days: int = 3
    check_seconds: int = 5  # a sign-off tells of checks that were entered closer to each other; 0 tells of none
    single_handed: bool = False
    guard_factor: Decimal = Decimal(0)  # r of the guard band r·U; 0 is simple acceptance
    correct_deviation: bool = True
    calibration_months: int = 12
    calibration_cycles: int = 5000
    wrench_due_soon_days: int = 14
    backup_days: int = 7  # after so many without a backup the night tells it; 0 is never
    telephone: str = ""  # the workshop's, for the owner's tag
    mail_address: str = ""  # the workshop's, to which owners write from a published page
    label_printer: str = ""  # of the system, on which the pages print labels; "" gives a PDF to open
    label_stock: str = ""  # what the pages print labels on: a stock's name, or the path of a file of one's own
    upper_case_labels: bool = False  # a symbol of capitals needs fewer modules; some cameras do not open it
    pin_at_terminal: bool = False  # the command line asks for the PIN of whoever says something there
    labels_published: bool = False  # what labels open are published files, which take nothing: no page ends reminders
    weekly_reminders: int = 4  # at most, once a re-check was missed
    quiet_from: int = 20  # the hour from which nobody is reminded, by the workshop's clock
    quiet_until: int = 8  # the same hour twice: there is no quiet
    disclosure_days: int = 365  # that it is kept who was shown what is known of whom
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

    def ends_soon(self, due_on: date, on: date) -> bool:
        """Whether a calibration whose last day is `due_on` is told of on a day, since it ends soon."""
        return timedelta(0) <= due_on - on <= timedelta(days=self.wrench_due_soon_days)


def begin_of(day: date, zone: ZoneInfo) -> datetime:
    """The first moment (UTC) of a local day."""
    return datetime.combine(day, time(), zone).astimezone(UTC)


def told_settings(entries: Sequence["Entry"]) -> tuple[Settings, tuple[Unread, ...]]:
    """The settings as far as what was chosen can be read, and the entries that cannot."""
    try:
        settings: Settings
        settings, unread = told_of([each for each in entries if each.what in OWN], fold_settings)
    except NothingKnown as error:
        return Settings(), (error.unread,)
    return settings, unread


def fold_settings(entries: Sequence["Entry"]) -> Settings:
    """The settings as last chosen, one by one; what nobody ever chose is at its default of today.

    A number beyond its bounds, as earlier versions took it, is the nearest one inside. Raises ValueError for a choice
    that this program does not know.
    """
    chosen = _chosen(entries)
    settings = _taken_from(chosen)
    if chosen:
        raise ValueError(f"{', '.join(chosen)}: no setting that is known; it was chosen with a later version")
    return settings._replace(**{name: within(name, getattr(settings, name)) for name in NUMBERS})


def beyond_bounds(entries: Sequence["Entry"]) -> list[str]:
    """The numbers among the settings that an earlier version took beyond their bounds, in sentences."""
    gone = {each.entry for each in told_settings(entries)[1]}
    return beyond(_chosen([entry for entry in entries if entry.sequence not in gone]))


def _chosen(entries: Sequence["Entry"]) -> dict[str, Any]:
    chosen: dict[str, Any] = {}
    for entry in entries:
        if entry.what == "settled":
            chosen.update(entry.said)
    return chosen


def _taken_from(chosen: dict[str, Any]) -> Settings:
    """Every setting under the key that entries hold it by, taken out of what was chosen."""
    own = Settings()
    return Settings(
        zone=chosen.pop("zone", own.zone),
        base_address=chosen.pop("base_address", own.base_address),
        workshop_address=chosen.pop("workshop_address", own.workshop_address),
        own_tolerance_percent=Decimal(chosen.pop("own_tolerance_percent", own.own_tolerance_percent)),
        late_minutes=chosen.pop("late_minutes", own.late_minutes),
        untouched_days=chosen.pop("untouched_days", own.untouched_days),
        due_soon_days=chosen.pop("due_soon_days", own.due_soon_days),
        check_seconds=int(chosen.pop("check_seconds", own.check_seconds)),
        single_handed=chosen.pop("single_handed", own.single_handed),
        guard_factor=Decimal(chosen.pop("guard_factor", own.guard_factor)),
        correct_deviation=chosen.pop("correct_deviation", own.correct_deviation),
        calibration_months=int(chosen.pop("calibration_months", own.calibration_months)),
        calibration_cycles=int(chosen.pop("calibration_cycles", own.calibration_cycles)),
        wrench_due_soon_days=int(chosen.pop("wrench_due_soon_days", own.wrench_due_soon_days)),
        backup_days=int(chosen.pop("backup_days", own.backup_days)),
        telephone=chosen.pop("telephone", own.telephone),
        mail_address=chosen.pop("mail_address", own.mail_address),
        label_printer=chosen.pop("label_printer", own.label_printer),
        label_stock=chosen.pop("label_stock", own.label_stock),
        upper_case_labels=chosen.pop("upper_case_labels", own.upper_case_labels),
        pin_at_terminal=chosen.pop("pin_at_terminal", own.pin_at_terminal),
        labels_published=chosen.pop("labels_published", own.labels_published),
        weekly_reminders=int(chosen.pop("weekly_reminders", own.weekly_reminders)),
        quiet_from=int(chosen.pop("quiet_from", own.quiet_from)),
        quiet_until=int(chosen.pop("quiet_until", own.quiet_until)),
        disclosure_days=int(chosen.pop("disclosure_days", own.disclosure_days)),
        demo=chosen.pop("demo", own.demo),
        expected_plugins=tuple(chosen.pop("expected_plugins", own.expected_plugins)),
        blocked_plugins=tuple(chosen.pop("blocked_plugins", own.blocked_plugins)),
    )
