"""Two jobs side by side as lines of text: what differs first, then each piece of work."""

from collections.abc import Iterator, Sequence
from textwrap import wrap

from torqueaudit.cli.job_sheet import wrapped
from torqueaudit.model.shown.compared import DIFFERS, ComparedJobs, ComparedRow

WHAT, SIDE = 13, 44  # characters of the columns


def lines_of(told: ComparedJobs) -> Iterator[str]:
    """Both jobs; a row that differs says so behind itself."""
    if told.one.book.demo:
        yield "DEMO: every name and value here is invented."
    yield from _row(ComparedRow("", f"JOB {told.one.number}", f"JOB {told.other.number}"))
    for row in told.course:
        yield from _row(row)
    yield ""
    yield f"different: {len(told.differing)} of {len(told.works)} pieces of work"
    for says in told.differences:
        yield from wrapped(f"  {says}")
    for work in told.works:
        yield ""
        yield f"{work.name}{f' (only in job {work.only})' if work.only else ''}"
        for row in work.rows:
            yield from _row(row)


def _row(row: ComparedRow) -> Iterator[str]:
    """What is told, of one and of the other, in as many lines as it takes."""
    sides = [wrap(said, SIDE, break_on_hyphens=False) or [""] for said in (row.one, row.other)]
    lines = max(map(len, sides))
    columns: Sequence[Sequence[str]] = [[*side, *[""] * (lines - len(side))] for side in sides]
    for at, (one, other) in enumerate(zip(*columns, strict=True)):
        what = row.what if at == 0 else ""
        differs = f"  {_differs(row)}" if row.differs and at == 0 else ""
        yield f"  {what:<{WHAT}} {one:<{SIDE}} {other:<{SIDE}}{differs}".rstrip()


def _differs(row: ComparedRow) -> str:
    return DIFFERS.upper() if row.differs == DIFFERS else f"{DIFFERS.upper()}: {row.differs}"
