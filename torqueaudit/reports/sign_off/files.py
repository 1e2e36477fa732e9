"""The files of a sign-off in a folder. What needs least comes first, so that a missing library loses least."""

from collections.abc import Callable, Sequence
from pathlib import Path

from torqueaudit.model.shown.sign_off import SignOff
from torqueaudit.reports.files import write_forms
from torqueaudit.reports.json.sign_off import sign_off_json
from torqueaudit.reports.json.values import json_file
from torqueaudit.reports.sign_off.page import sign_off_pdf
from torqueaudit.reports.sign_off.table import sign_off_csv

FORMS: tuple[tuple[str, Callable[[SignOff], bytes]], ...] = (
    ("json", lambda told: json_file(sign_off_json(told))),
    ("csv", sign_off_csv),
    ("pdf", sign_off_pdf),
)


def write_sign_off(told: SignOff, folder: Path) -> Sequence[Path]:
    """Write signed-FROM-TO.json, .csv and .pdf, replacing those of an earlier run. Raises as `write_forms`."""
    return write_forms(f"signed-{told.first}-{told.last}", FORMS, told, folder)
