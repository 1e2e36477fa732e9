"""What a person can say of a wrench."""

from datetime import date, time
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple

from torqueaudit.model.torque.correction import Fitted
from torqueaudit.model.wrench.classes import OTHER


class NewWrench(NamedTuple):
    """A wrench as it is entered; range and scale divisions as written with unit, the main scale first.

    `lever_mm` goes from drive centre to hand mark, `lever_expanded_mm` is its U (k = 2); `due_on` is stated without a
    calibration; `owner` names who lent it. No `direction` stated: it is taken to measure to both sides, and its sheet
    says so.
    """

    kind: str
    tag: str
    lowest: str = ""
    highest: str = ""
    lever_mm: Decimal | None = None
    lever_expanded_mm: Decimal | None = None
    due_on: date | None = None
    construction: str = OTHER
    iso_class: str = ""
    direction: str = ""
    scales: tuple[str, ...] = ()
    owner: str = ""


class WrenchChange(NamedTuple):
    """What is put right of a wrench, each as it is entered; what is empty stays as it was."""

    kind: str = ""
    tag: str = ""
    lowest: str = ""
    highest: str = ""
    lever_mm: Decimal | None = None
    lever_expanded_mm: Decimal | None = None
    construction: str = ""
    iso_class: str = ""
    direction: str = ""
    scales: tuple[str, ...] = ()
    owner: str = ""


class CheckWrench(NamedTuple):
    """A look on the workshop's own tester: points as read, the tester's certificate and U (k = 2), a fraction."""

    tester: str
    points: tuple[str, ...]
    certificate: str = ""
    expanded: Decimal | None = None


class Calibrate(NamedTuple):
    """What a certificate says: points as printed, `due_on` and `hour` only where it prints one.

    `adapters` are those that were fitted, from the wrench on.
    """

    on: date
    certificate: str = ""
    laboratory: str = ""
    decision_rule: str = ""
    as_found: tuple[str, ...] = ()
    as_left: tuple[str, ...] = ()
    due_on: date | None = None
    adapters: tuple[Fitted, ...] = ()
    file: Path | None = None
    hour: time | None = None
    direction: str = ""
    reference: str = ""
    temperature_c: Decimal | None = None
    technician: str = ""
