"""What plugins add to a report or a record, held against what they may add."""

from math import isfinite
from typing import TYPE_CHECKING

from torqueaudit.model.job.record import Job
from torqueaudit.model.judged.around import Around
from torqueaudit.model.shown.section import Chart, ExtraSection

if TYPE_CHECKING:
    from torqueaudit.plugins import Plugins


LARGEST = 1e12  # that a picture can show


def panels_of(job: Job, around: Around, plugins: "Plugins") -> tuple[ExtraSection, ...]:
    """What plugins add to a job's record; one that breaks is a panel that says so."""
    panels: list[ExtraSection] = []
    for name, answer in plugins.ask("record_panels", job=job, around=around):
        if fault := fault_of(answer, "record"):
            says = f"Plugin {name}: {fault}. What it would have told is not known; have it mended."
            panels.append(ExtraSection("Not shown", (says,)))
        else:
            panels += answer
    return tuple(panels)


def fault_of(answer: object, place: str) -> str:
    """What is wrong with a plugin's answer that was to stand in the "report" or the "record"; "" when nothing is."""
    if isinstance(answer, Exception):
        return f"broke while it added to the {place} ({type(answer).__name__}: {answer})"
    if not isinstance(answer, list) or not all(isinstance(each, ExtraSection) for each in answer):
        return f"answered with something that is not a list of {place} sections"
    for section in answer:
        rows = section.rows if isinstance(section.rows, tuple | list) else (section.rows,)
        if not all(_is_text(part) for part in ((section.title,), section.sentences, section.columns, *rows)):
            return f"its section “{section.title}” holds something that is not text"
        if any(len(row) != len(section.columns) for row in rows):
            return f"its section “{section.title}” has rows that do not fit its columns"
        if section.chart is not None and not _is_chart(section.chart):
            return f"its section “{section.title}” holds a picture that is no chart of finite numbers with its text"
    return ""


def _is_chart(chart: object) -> bool:
    if not isinstance(chart, Chart) or not _is_text((chart.title, chart.says, chart.x_name, chart.y_name)):
        return False
    limit = () if chart.limit is None else ((chart.limit,),)
    drawn = ((chart.points, 2), (chart.line, 2), (chart.band, 3), (limit, 1))
    return bool(chart.points and chart.says) and all(_are_places(places, size) for places, size in drawn)


def _are_places(places: object, size: int) -> bool:
    return isinstance(places, tuple | list) and all(
        isinstance(each, tuple | list) and len(each) == size and all(map(_is_finite, each)) for each in places
    )


def _is_finite(number: object) -> bool:
    return isinstance(number, int | float) and isfinite(number) and abs(number) <= LARGEST


def _is_text(part: object) -> bool:
    return isinstance(part, tuple | list) and all(isinstance(cell, str) for cell in part)
