"""On which line of a TOML text each table and key stands, which tomllib does not tell."""

import re
from collections.abc import Iterator
from typing import TypeAlias

Path: TypeAlias = tuple[str | int, ...]

# Strings and comments are taken whole, so that nothing inside them looks like a key, a bracket or the end of a line.
_TOKEN = re.compile(
    r'"""(?:\\.|[^\\])*?"{3,5}'
    r"|'''.*?'{3,5}"
    r'|"(?:\\.|[^"\\\n])*"'
    r"|'[^'\n]*'"
    r"|#[^\n]*"
    r"""|[\[\]{}\n]|[^"'#\[\]{}\n]+"""
    r"|.",
    re.DOTALL,
)
_ONE = r"""(?:"[^"]*"|'[^']*'|[A-Za-z0-9_-]+)"""
_KEY = re.compile(_ONE)
_KEYS = re.compile(rf"\s*{_ONE}(?:\s*\.\s*{_ONE})*")


class Lines:
    """The lines of a text that tomllib has read without an error."""

    def __init__(self, text: str) -> None:
        self._lines: dict[Path, int] = {}
        self._tables: dict[Path, int] = {}
        table: Path = ()
        for line, statement in _statements(text):
            if statement.startswith("["):
                table = self._header(statement)
                self._lines.setdefault(table, line)
            else:
                self._lines.setdefault(table + _keys(statement), line)

    def of(self, path: Path) -> int:
        """The line of the key or table at `path`, or of the nearest table around it; a list of tables counts from 0."""
        while path and path not in self._lines:
            path = path[:-1]
        return self._lines.get(path, 1)

    def _header(self, statement: str) -> Path:
        keys = _keys(statement.lstrip("["))
        path: Path = ()
        for depth, key in enumerate(keys, start=1):
            path += (key,)
            if statement.startswith("[[") and depth == len(keys):
                self._tables[path] = self._tables.get(path, -1) + 1
            if path in self._tables:
                path += (self._tables[path],)
        return path


def headers(text: str) -> Iterator[tuple[int, str]]:
    """The line and the name of each table that a text heads: (12, "work"), (30, "source.manual")."""
    for line, statement in _statements(text):
        if statement.startswith("["):
            yield line, ".".join(map(str, _keys(statement.lstrip("["))))


def _statements(text: str) -> Iterator[tuple[int, str]]:
    """Each header or key with its value, however many lines it takes, with the line it starts on."""
    line, start, depth, statement = 1, 1, 0, ""
    for token in _TOKEN.findall(text + "\n"):
        depth += (token in ("[", "{")) - (token in ("]", "}"))
        if token == "\n" and depth == 0:
            if statement.strip():
                yield start, statement.strip()
            statement, start = "", line + 1
        elif not token.startswith("#"):
            statement += token
        line += token.count("\n")


def _keys(statement: str) -> Path:
    keys = _KEYS.match(statement)
    return tuple(key.strip("\"'") for key in _KEY.findall(keys[0])) if keys else ()
