"""The line that names the columns: the first that has all those that the mapping reads."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import islice
from typing import NamedTuple

from torqueaudit.plugin import MOST_ROWS, Cell, LogRow, LogRows, did_you_mean

FURTHEST = 50  # lines that are looked through for it


class Line(NamedTuple):
    """A line with what is in its cells, "" in an empty one; `fault` says why it cannot be read.

    `faults` say of cells by their place why they cannot be: that counts where something wanted stands in them.
    """

    number: int
    cells: Sequence[Cell]
    fault: str = ""
    faults: Mapping[int, str] = {}


def rows_below(lines: Iterable[Line], wanted: Sequence[str]) -> LogRows:
    """The rows below the line that has every wanted column. Raises ValueError where no line has."""
    kept = (line for line in lines if any(cell != "" for cell in line.cells) or line.fault or line.faults)
    above: list[tuple[int, list[str]]] = []
    for line in kept:
        names = [" ".join(cell.split()) if isinstance(cell, str) else "" for cell in line.cells]
        if set(wanted) <= set(names):
            _require_once(line.number, names, wanted)
            columns = _named(names)
            rows = (_row(each, columns, wanted) for each in kept)
            return LogRows(columns, tuple(islice(rows, MOST_ROWS + 1)))
        above.append((line.number, names))
        if len(above) == FURTHEST:
            break
    raise ValueError(_lacking(above, wanted))


def require_columns(columns: Sequence[str], wanted: Sequence[str], where: str) -> None:
    """Raise ValueError where a wanted column is not among the columns."""
    lacking = [name for name in wanted if name not in columns]
    if lacking:
        raise ValueError(f'{where} lacks the column "{lacking[0]}"; {did_you_mean(lacking[0], columns)}')


def _lacking(above: Sequence[tuple[int, list[str]]], wanted: Sequence[str]) -> str:
    """Which column is missed in the line that has most of them."""
    if not above:
        return "it holds no line"
    number, names = max(above, key=lambda each: len(set(wanted).intersection(each[1])))
    known = [name for name in names if name]
    lacking = next(name for name in wanted if name not in names)
    found = did_you_mean(lacking, known) if set(wanted) & set(names) else "look at separator, sheet and columns there"
    return f'no line has all columns that the mapping names; line {number} lacks "{lacking}": {found}'


def _require_once(number: int, names: Sequence[str], wanted: Sequence[str]) -> None:
    twice = [name for name, many in Counter(names).items() if many > 1 and name in wanted]
    if twice:
        raise ValueError(f'line {number} has the column "{twice[0]}" twice; rename one of them')


def _named(names: Iterable[str]) -> tuple[str, ...]:
    """Each column by a name of its own."""
    taken: dict[str, None] = {}
    for place, name in enumerate(names, start=1):
        taken[name if name and name not in taken else f"{name} (column {place})".strip()] = None
    return tuple(taken)


def _row(line: Line, columns: Sequence[str], wanted: Sequence[str]) -> LogRow:
    cells = {name: cell for name, cell in zip(columns, line.cells, strict=False) if cell != ""}
    beyond = any(cell != "" for cell in line.cells[len(columns) :])
    faults = [says for place, says in line.faults.items() if place < len(columns) and columns[place] in wanted]
    if beyond:
        faults.append(f"has more cells than the {len(columns)} columns that are named")
    return LogRow(line.number, cells, line.fault or next(iter(faults), ""))


def in_lines(text: str) -> Iterator[tuple[int, str]]:
    """The lines of a text by their numbers from 1."""
    return enumerate(text.split("\n"), start=1)
