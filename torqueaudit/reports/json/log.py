"""A wrench's log that was looked at or read, as JSON."""

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pathlib import Path

    from torqueaudit.workshop.jobs.logs import LogLook, RowLook


def log_json(look: "LogLook", *, recorded: bool, left: "Path | None") -> dict[str, Any]:
    """Each row with what comes of it; `recorded` says whether anything was, `left_out` names the file of the others."""
    return {
        "file": look.file,
        "recorded": recorded,
        "rows": [_row(each) for each in look.rows],
        "left_out": str(left) if left else None,
    }


def _row(each: "RowLook") -> dict[str, Any]:
    said = each.said
    return {
        "line": each.row.line,
        "becomes": each.becomes.value,
        "says": each.says,
        "id": each.act,
        "job": each.job,
        "position": said.get("position", ""),
        "wrench": said.get("wrench", ""),
        "shown": said.get("shown", ""),
    }
