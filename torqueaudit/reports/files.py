"""The files of a report in a folder. What needs least comes first, so that a missing library loses least."""

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TypeVar

from torqueaudit.book.flushing import make_folder, write_whole
from torqueaudit.model.shown.night import Night
from torqueaudit.reports.data import nightly_csv, table_file
from torqueaudit.reports.errors import ReportRefused
from torqueaudit.reports.html import nightly_html
from torqueaudit.reports.json.night import night_json
from torqueaudit.reports.json.values import json_file
from torqueaudit.reports.pdf import nightly_pdf

Told = TypeVar("Told")

FORMS: tuple[tuple[str, Callable[[Night], bytes]], ...] = (
    ("html", lambda night: nightly_html(night).encode()),
    ("json", lambda night: json_file(night_json(night))),
    ("csv", lambda night: table_file(nightly_csv(night))),
    ("pdf", nightly_pdf),
)


def write_nightly(night: Night, folder: Path) -> list[Path]:
    """Write nightly-YYYY-MM-DD.html, .json, .csv and .pdf. Raises as `write_forms`."""
    return write_forms(f"nightly-{night.date.isoformat()}", FORMS, night, folder)


def write_forms(
    name: str, forms: Iterable[tuple[str, Callable[[Told], bytes]]], told: Told, folder: Path
) -> list[Path]:
    """Write each form of what is told, replacing the file of that name of an earlier run.

    Raises ReportRefused with the files already written, which are kept; an older one of a form that failed is not.
    """
    written: list[Path] = []
    try:
        make_folder(folder)
        for ending, make in forms:
            target = folder / f"{name}.{ending}"
            # What an earlier run said must not lie beside this one's if making it fails.
            target.unlink(missing_ok=True)
            write_whole(target, make(told))
            written.append(target)
    except FileExistsError as error:
        raise ReportRefused(
            f"{error.filename or folder} cannot be written: it is a file; name a folder", written
        ) from error
    except OSError as error:
        raise ReportRefused(
            f"{error.filename or folder} cannot be written: {error.strerror or error}", written
        ) from error
    except ReportRefused as error:
        raise ReportRefused(str(error), written) from error
    return written
