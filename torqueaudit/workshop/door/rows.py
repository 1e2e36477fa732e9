"""A file of rows, read by the first plugin that knows its form, within limits."""

from typing import TYPE_CHECKING

from torqueaudit.model.act import Refused
from torqueaudit.model.log.rows import MOST_ROWS, LogRows, LogSource
from torqueaudit.model.log.told import FileForm
from torqueaudit.plugins.answers import named

if TYPE_CHECKING:
    from torqueaudit.workshop.door.workshop import Workshop

MOST_BYTES = 20_000_000


def rows_of(workshop: "Workshop", name: str, data: bytes, columns: tuple[str, ...], form: FileForm) -> LogRows:
    """The rows of a file that has all these columns. Raises Refused where it cannot be read, or is too large."""
    if len(data) > MOST_BYTES:
        raise Refused(f"{name} is larger than {MOST_BYTES // 1_000_000} MB; split it into several files")
    found = _read(workshop, LogSource(name=name, data=data, columns=columns, **form._asdict()))
    if len(found.rows) > MOST_ROWS:
        raise Refused(f"{name} has more than {MOST_ROWS} rows; split it into several files")
    return found


def _read(workshop: "Workshop", source: LogSource) -> LogRows:
    answer = next(workshop.plugins.log_rows(source), None)
    if answer is None:
        raise Refused(f"{source.name}: no plugin reads such a file; look at how its name ends")
    if isinstance(answer.fault, ValueError):
        raise Refused(f"{source.name}: {answer.fault}")
    if answer.fault:
        raise Refused(f"{source.name}: plugin {answer.plugin} could not read it ({named(answer.fault)})")
    return answer.given[0]
