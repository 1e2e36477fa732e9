"""A list of a workshop's own that was looked at or entered, as JSON."""

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pathlib import Path

    from torqueaudit.workshop.move_in.rows import ListLook


def list_json(look: "ListLook", *, recorded: bool, left: "Path | None") -> dict[str, Any]:
    """Each row with what comes of it; `recorded` says whether anything was, `left_out` names the file of wrong ones."""
    return {
        "file": look.file,
        "recorded": recorded,
        "rows": [
            {"line": each.row.line, "comes": each.comes.value, "says": each.says, "number": each.number}
            for each in look.rows
        ],
        "left_out": str(left) if left else None,
    }
