"""What is stored of the workshop's choices, under the keys that books hold."""

from decimal import Decimal

import pytest

from torqueaudit.ledger.entry import Entry
from torqueaudit.model.register.settings import Settings, fold_settings

# Never edited: books hold these keys.
CHOSEN = {
    "zone": "Europe/Vienna",
    "base_address": "https://yard.example",
    "workshop_address": "http://192.168.77.1:8080",
    "own_tolerance_percent": "7.5",
    "late_minutes": 60,
    "untouched_days": 3,
    "due_soon_days": 2,
    "single_handed": True,
    "guard_factor": "1",
    "correct_deviation": True,
    "calibration_months": "6",
    "calibration_cycles": 4000,
    "wrench_due_soon_days": 7,
    "backup_days": 3,
    "telephone": "1 234",
    "mail_address": "yard@yard.example",
    "label_printer": "front_desk",
    "label_stock": "roll-62x29",
    "upper_case_labels": True,
    "demo": True,
    "expected_plugins": ["final_drive", "workshop_rules"],
    "blocked_plugins": ["demo"],
}


def settled(*chosen: dict[str, object]) -> list[Entry]:
    """One entry for each time that something was chosen."""
    return [
        Entry(
            site="YARD",
            sequence=number,
            id=f"a{number}",
            subject="site/YARD",
            number=number,
            kind="settled.1",
            happened_at="2031-04-02T08:00:00Z",
            recorded_at="2031-04-02T08:00:00Z",
            who="setup",
            said=said,
            judged={},
            previous="",
            digest="",
            of=1,
        )
        for number, said in enumerate(chosen, start=1)
    ]


def test_every_choice_is_read_by_the_key_it_was_stored_under() -> None:
    """Whatever the fields of the record are called."""
    expected = Settings(
        zone="Europe/Vienna",
        base_address="https://yard.example",
        workshop_address="http://192.168.77.1:8080",
        own_tolerance_percent=Decimal("7.5"),
        late_minutes=60,
        untouched_days=3,
        due_soon_days=2,
        single_handed=True,
        guard_factor=Decimal(1),
        correct_deviation=True,
        calibration_months=6,
        calibration_cycles=4000,
        wrench_due_soon_days=7,
        backup_days=3,
        telephone="1 234",
        mail_address="yard@yard.example",
        label_printer="front_desk",
        label_stock="roll-62x29",
        upper_case_labels=True,
        demo=True,
        expected_plugins=("final_drive", "workshop_rules"),
        blocked_plugins=("demo",),
    )

    assert expected == fold_settings(settled(CHOSEN))


def test_the_last_choice_counts_and_the_rest_stays() -> None:
    """One by one."""
    settings = fold_settings(settled({"late_minutes": 60, "zone": "UTC"}, {"late_minutes": 90}))

    assert (settings.late_minutes, settings.zone) == (90, "UTC")
    assert settings.untouched_days == Settings().untouched_days


def test_a_choice_that_is_not_known_is_not_passed_over() -> None:
    """It may be one that makes a later program stricter."""
    with pytest.raises(ValueError, match="strictness: no setting that is known"):
        fold_settings(settled({"strictness": 2}))
