"""What plugins add to a report or a record, held against what they may add: plain text, and pictures as numbers."""

from math import isfinite
from typing import Any

from torqueaudit.model.shown.section import Chart, ExtraSection
from torqueaudit.plugins.answers import Answer, WrongAnswer, list_of

LARGEST = 1e12  # that a picture can show


def sections_of(plugin: str, answer: Any, place: str) -> Answer[ExtraSection]:
    """A plugin's answer that is to stand in the "report" or the "record"."""
    checked = list_of(ExtraSection, plugin, answer, f"answered with something that is not a list of {place} sections")
    wrong = next(filter(None, map(_wrong_in, checked.given)), "")
    return Answer(plugin, [], WrongAnswer(wrong)) if wrong else checked


def _wrong_in(section: ExtraSection) -> str:
    """What is wrong with a section; "" when nothing is."""
    told: Any = section.rows  # a plugin's author may not check types
    rows = told if isinstance(told, tuple | list) else (told,)
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
