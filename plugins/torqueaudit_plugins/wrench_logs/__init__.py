"""Logs of electronic torque wrenches: as text with columns, as a workbook, and as one JSON object a line."""

from typing import TYPE_CHECKING

from torqueaudit.plugin import hookimpl

if TYPE_CHECKING:
    from torqueaudit.plugin import LogRows, LogSource

# Every command loads this plugin, and few read a log: so each form is imported when a file has it.


@hookimpl
def read_log(source: "LogSource") -> "LogRows | None":
    """Read it by how its name ends."""
    ending = source.name.casefold().rpartition(".")[2]
    if ending in {"csv", "tsv", "txt"}:
        from torqueaudit_plugins.wrench_logs.text import read_columns

        return read_columns(source)
    if ending in {"jsonl", "ndjson"}:
        from torqueaudit_plugins.wrench_logs.json_lines import read_json_lines

        return read_json_lines(source)
    if ending in {"xlsx", "xlsm"}:
        from torqueaudit_plugins.wrench_logs.workbook import read_workbook

        return read_workbook(source)
    return None
