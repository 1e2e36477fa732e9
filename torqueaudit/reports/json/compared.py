"""Two jobs side by side as JSON."""

from torqueaudit.model.shown.compared import ComparedJobs, ComparedRow
from torqueaudit.reports.json.values import Object


def compared_json(told: ComparedJobs) -> Object:
    """How each went, and each piece of work with what differs in words, "" where nothing does."""
    return {
        "one": told.one.number,
        "other": told.other.number,
        "demo": told.one.book.demo,
        "differences": list(told.differences),
        "course": [_row(each) for each in told.course],
        "works": [
            {
                "kind": each.kind,
                "name": each.name,
                "only": each.only,
                "differing": list(each.differing),
                "rows": [_row(row) for row in each.rows],
            }
            for each in told.works
        ],
    }


def _row(row: ComparedRow) -> Object:
    return row._asdict()
