"""What plugins add to a record or a report, as JSON."""

from torqueaudit.model.shown.section import Chart, ExtraSection
from torqueaudit.reports.json.values import Object


def section_json(section: ExtraSection) -> Object:
    """A section with its sentences, its table and its picture as data."""
    return {
        "title": section.title,
        "sentences": list(section.sentences),
        "columns": list(section.columns),
        "rows": [list(row) for row in section.rows],
        "chart": _chart(section.chart) if section.chart else None,
    }


def _chart(chart: Chart) -> Object:
    return {
        "title": chart.title,
        "says": chart.says,
        "x_name": chart.x_name,
        "y_name": chart.y_name,
        "points": [list(point) for point in chart.points],
        "line": [list(point) for point in chart.line],
        "band": [list(point) for point in chart.band],
        "limit": chart.limit,
    }
