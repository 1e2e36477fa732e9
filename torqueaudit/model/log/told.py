"""What every mapping is made of: where a thing of a row is told, and how the file of these rows is written."""

from collections.abc import Callable, Mapping
from typing import NamedTuple, TypeVar

from torqueaudit.model.nearest import did_you_mean
from torqueaudit.model.procedure.toml.values import Mistake, Table
from torqueaudit.model.torque.units import UnitTable

FORMAT = 1
ENCODINGS = ("UTF-8", "UTF-16", "windows-1252")
SEPARATORS = frozenset({",", ";", "\t", "|"})
DECIMALS = (".", ",")  # the sign before decimals in text

M = TypeVar("M")


class Told(NamedTuple):
    """Where one thing of a row is told: the same `always`, or in a column, there by its own name where `names` has any.

    `table` is its place in the mapping. Neither is told where the mapping leaves it out.
    """

    table: str
    always: str = ""
    column: str = ""
    names: Mapping[str, str] = {}


class FileForm(NamedTuple):
    """How a file of rows is written; "" where the mapping says nothing of it."""

    separator: str = ""
    encoding: str = ""
    sheet: str = ""


def mapping_in(text: str, read: Callable[[Table], M]) -> M:
    """The mapping that `read` makes of a TOML text (`format = 1`).

    Raises ValueError: the first error of TOML alone, else every mistake of meaning, each on a line of its own.
    """
    mistakes: list[Mistake] = []
    top = Table.of(text, mistakes)
    if mistakes:
        raise ValueError(_told(mistakes))
    _look_at_format(top)
    mapping = read(top)
    top.finish()
    if mistakes:
        raise ValueError(_told(mistakes))
    return mapping


def _told(mistakes: list[Mistake]) -> str:
    return "\n".join(map(str, sorted(set(mistakes))))


def _look_at_format(top: Table) -> None:
    if not top.has("format"):
        top.wrong("format", f"is missing; write format = {FORMAT}")
    elif top.raw("format") is True or top.raw("format") != FORMAT:
        top.wrong("format", f"is {top.raw('format')}; this program reads format = {FORMAT}")


def file_form(table: Table) -> FileForm:
    """What the table `file` says."""
    form = FileForm(_separator(table), table.choice("encoding", ENCODINGS, ""), table.text("sheet"))
    table.finish()
    return form


def _separator(file: Table) -> str:
    """One sign between the columns of a text file, such as a tab."""
    sign = file.raw("separator")
    if sign is None or (isinstance(sign, str) and sign in SEPARATORS):
        return sign or ""
    file.wrong("separator", 'has to be one sign in quotation marks: ",", ";", "|" or "\\t" for a tab')
    return ""


def told_of(top: Table, name: str, *, required: bool = False, fixed: bool = True) -> Told:
    """What the table `name`, which has no other keys, says of where something is told."""
    table = top.inner(name)
    told = told_in(table, name, required=required, fixed=fixed)
    table.finish()
    return told


def told_in(table: Table, name: str, *, required: bool = False, fixed: bool = True) -> Told:
    """What a table says of where something is told; a thing that differs with each row is never `fixed`."""
    always = table.text("always") if fixed else ""
    column = table.text("column")
    names = names_in(table) if fixed else {}
    ways = "always = … or column = …" if fixed else "column = …"
    if always and column:
        table.wrong("always", "and a column are told; leave one of them out")
    elif (required or table.values) and not (always or column):
        table.wrong("", f"does not say where it is told; write {ways}")
    elif names and not column:
        table.wrong("names", "are of what stands in a column, and none is told")
    return Told(name, always, column, names)


def names_in(table: Table) -> Mapping[str, str]:
    """What each word of a column stands for, where a table says that below `names`."""
    names = table.inner("names")
    return {" ".join(key.split()): names.text(key) for key in names.written()}


def require_among(table: Table, words: tuple[str, ...]) -> None:
    """Note what stands below `names` for a word and is none of a few."""
    names = table.inner("names")
    for key in names.written():
        names.choice(key, words, "")


def name_in(told: Told, word: str) -> str:
    """What a word of a column stands for. Raises ValueError where the table of names has others only."""
    if not told.names or word in told.names:
        return told.names.get(word, word)
    raise ValueError(f'{told.column} "{word}" is not in [{told.table}.names]; {did_you_mean(word, told.names)}')


def look_at_units(table: Table, unit: Told, units: UnitTable) -> None:
    """Note every unit of the mapping that no torque is written in."""
    for key, spelling in [("always", unit.always)] if unit.always else []:
        _look_at_unit(table, key, spelling, units)
    for word, spelling in unit.names.items():
        if spelling:
            _look_at_unit(table.inner("names"), word, spelling, units)


def _look_at_unit(table: Table, key: str, spelling: str, units: UnitTable) -> None:
    try:
        units.unit(spelling)
    except ValueError as error:
        table.wrong(key, str(error))
