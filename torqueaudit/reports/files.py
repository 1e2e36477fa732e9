"""The files of a nightly report in a folder. What needs least comes first, so that a missing library loses least."""

from collections.abc import Callable
from pathlib import Path

from torqueaudit.book.flushing import make_folder, write_whole
from torqueaudit.model.shown.night import Night
from torqueaudit.reports.data import nightly_csv, nightly_json
from torqueaudit.reports.errors import ReportRefused
from torqueaudit.reports.html import nightly_html
from torqueaudit.reports.pdf import nightly_pdf

FORMS: tuple[tuple[str, Callable[[Night], bytes]], ...] = (
    ("html", lambda night: nightly_html(night).encode()),
    # Half a character, which no file can hold, is escaped as JSON does it.
    ("json", lambda night: nightly_json(night).encode(errors="backslashreplace")),
    ("csv", lambda night: nightly_csv(night).encode()),
    ("pdf", nightly_pdf),
)


def write_nightly(night: Night, folder: Path) -> list[Path]:
    """Write nightly-YYYY-MM-DD.html, .json, .csv and .pdf, replacing those of an earlier run.

    Raises ReportRefused with the files already written, which are kept; an older PDF of the same day is not.
    """
    written: list[Path] = []
    try:
        make_folder(folder)
        for ending, make in FORMS:
            target = folder / f"nightly-{night.date.isoformat()}.{ending}"
            # What an earlier run said must not lie beside this one's if making it fails.
            target.unlink(missing_ok=True)
            write_whole(target, make(night))
            written.append(target)
    except OSError as error:
        raise ReportRefused(
            f"{error.filename or folder} cannot be written: {error.strerror or error}", written
        ) from error
    except ReportRefused as error:
        raise ReportRefused(str(error), written) from error
    return written
