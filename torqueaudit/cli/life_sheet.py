"""The life of a motorcycle as lines of text: what stands on it first, then the line of time, the oldest first."""

from collections.abc import Iterator

from torqueaudit.cli.job_sheet import columns, wrapped
from torqueaudit.cli.then_sheet import course_lines
from torqueaudit.cli.vehicle_sheet import heading
from torqueaudit.model.shown.life import FastenerNow, LifeView, PartOn, Series, ValueTaken, alike


def lines_of(view: LifeView) -> Iterator[str]:
    """How it stands, its fasteners, what was measured, its parts, and what happened to it."""
    book = view.vehicle.book
    yield from heading(view.vehicle)
    yield f"as it stood on {book.asked_at:%Y-%m-%d %H:%M}, at entry #{view.entry}"
    for title, lines in (
        ("what stands on each fastener:", [line for each in alike(view.fasteners) for line in _fastener(each)]),
        ("what was measured:", [line for each in view.series for line in _series(each)]),
        ("parts fitted:", list(columns([_part(each) for each in view.parts]))),
    ):
        if lines:
            yield from ("", title, *lines)
    for stretch in view.stretches:
        run = f" ({stretch.run})" if stretch.run else ""
        yield from ("", f"{stretch.title.upper()}{run}")
        yield from course_lines(stretch.course)
    yield from ("", f"head of the ledger: {book.head}")


def _fastener(now: FastenerNow) -> Iterator[str]:
    line = now.line
    seen = f" {line.seen}" if line.seen else ""
    done = f", {line.done}" if line.done else ""
    note = f" ({line.note})" if line.note else ""
    yield from wrapped(f"  {line.name}: {line.figure}{note}, {line.mark}{seen}; {line.job}{done}")
    source = f", by {now.source}" if now.source else ""
    checked = f"; {line.checked}" if line.checked else ""
    yield from wrapped(f"      specified {line.specified}{source}{checked}")
    for each in now.open:
        yield from wrapped(f"      OPEN: {each}")


def _series(series: Series) -> Iterator[str]:
    yield f"  {series.name}:"
    yield from columns([_value(each) for each in series.taken])
    yield from (f"      {each.when:%Y-%m-%d %H:%M}: {each.late}" for each in series.taken if each.late)


def _value(taken: ValueTaken) -> tuple[str, ...]:
    when, said = f"    {taken.when:%Y-%m-%d %H:%M}", f"{taken.says}  #{taken.entry}"
    return when, taken.at, f"job {taken.job}", taken.limits, taken.verdict, said


def _part(part: PartOn) -> tuple[str, ...]:
    until = f"until {part.until:%Y-%m-%d}, job {part.replaced_by}" if part.until else "on it now"
    lot = f"lot {part.lot}" if part.lot else "no lot told"
    ran = f"ran {part.ran}" if part.ran else "run not known"
    used = "" if part.new else " (used before)"
    since = f"{part.since:%Y-%m-%d}{f' at {part.at}' if part.at else ''}"
    return f"  {part.name}", f"{part.part}{used}", lot, since, until, ran, f"job {part.job}  #{part.entry}"
