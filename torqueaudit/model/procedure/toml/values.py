"""Reading one table of a TOML text: typed values out, and every mistake noted with its line, never raised."""

import re
import tomllib
from collections.abc import Callable, Iterable, Iterator, Mapping
from decimal import Decimal
from typing import Any, NamedTuple, TypeVar

from torqueaudit.model.nearest import did_you_mean
from torqueaudit.model.procedure.toml.lines import Lines, Path
from torqueaudit.signs import is_plain, require_seen, seen

LONGEST_TOML = 250_000  # characters of a text; the longest of ours has 11,000
LARGEST = 1_000_000
_TOO_DEEP = "lists or tables are nested too deeply"
_DEEPEST = 20  # tables and lists within each other; nothing that is read here is half as deep
_LONGEST = 200  # bits of a whole number, some 60 digits
# A key of so many parts takes the reader of Python minutes. Begun where a part begins, so that it is looked for once.
_TOO_MANY_PARTS = re.compile(
    rf"(?<![A-Za-z0-9_-])(?:(?:[A-Za-z0-9_-]++|\"[^\"\n]*+\"|'[^'\n]*+')[ \t]*+\.[ \t]*+){{{_DEEPEST}}}"
)
KEY = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")

_WHERE = re.compile(r"(?P<what>.*) \(at (?:line (?P<line>\d+), column \d+|end of document)\)", re.DOTALL)

SHORT_NAME = "short name"
_BARE = ", without quotation marks"

_Value = TypeVar("_Value")


class Mistake(NamedTuple):
    """One thing to put right in a TOML text: the line, the key ("axle-nut.torque"), and what to do.

    `typed` says it to somebody who types into a form and never sees the text, where that takes other words.
    """

    line: int
    key: str
    says: str
    typed: str = ""

    def __str__(self) -> str:
        """Say it in one line, ready to follow the file's name."""
        return f"line {self.line}, {self.key}: {self.says}" if self.key else f"line {self.line}: {self.says}"


class ProcedureMistakes(ValueError):
    """A procedure's text holds mistakes: all of them, in the order of their lines."""

    def __init__(self, mistakes: Iterable[Mistake]) -> None:
        self.mistakes = tuple(sorted(set(mistakes)))
        super().__init__("\n".join(str(mistake) for mistake in self.mistakes))


class Table:
    """One table and where it stands; a key that is asked for is known, every other one is a mistake (`finish`)."""

    def __init__(self, values: object, path: Path, name: str, lines: Lines, mistakes: list[Mistake]) -> None:
        self.path, self.name = path, name
        self._lines, self._mistakes = lines, mistakes
        self._known: set[str] = set()
        self.values: Mapping[str, Any] = values if isinstance(values, dict) else {}
        if not isinstance(values, dict):
            key = path[-1] if path else ""
            self.wrong("", f"has to be a table{f', like {key} = {{ … }}' if isinstance(key, str) else ''}")

    @classmethod
    def of(cls, text: str, mistakes: list[Mistake]) -> "Table":
        """The whole of a text. Where it is no TOML, or may not be read, that is noted, and the table is empty."""
        text = text.removeprefix("\ufeff")
        mistakes.extend(_unreadable(text))
        try:
            text = "" if mistakes else text
            values = tomllib.loads(text, parse_float=Decimal)
            if any(len(path) > _DEEPEST for path, _ in _walked(values)):
                raise RecursionError  # noqa: TRY301 told as what Python itself could not read
            lines = Lines(text)
        except RecursionError:
            mistakes.append(Mistake(1, "", _TOO_DEEP))
        except ValueError as error:  # also a whole number of thousands of digits
            where = _WHERE.fullmatch(str(error))
            line = int((where and where["line"]) or text.count("\n") + 1)
            says = where["what"] if where else "a number in it is too long"
            mistakes.append(Mistake(line, "", f"this is not TOML: {says}"))
        if not mistakes:
            mistakes.extend(_not_kept(values, lines))
        if mistakes:
            values, lines = {}, Lines("")
        return cls(values, path=(), name="", lines=lines, mistakes=mistakes)

    def missing(self, key: str) -> None:
        """Note that a key is not written and has to be."""
        self.wrong(key, f"is missing; write {key} = …", "is missing")

    def wrong(self, key: str, says: str, typed: str = "") -> None:
        """Note a mistake at `key`, or at the table itself where `key` is empty.

        `typed` is the same for whoever types into a form, where `says` speaks of keys, brackets or quotation marks.
        """
        line = self._lines.of((*self.path, key) if key else self.path)
        self._mistakes.append(Mistake(line, ".".join(filter(None, (self.name, key))), says, typed))

    def has(self, key: str) -> bool:
        """Whether the key is written."""
        self._known.add(key)
        return key in self.values

    def written(self) -> tuple[str, ...]:
        """Every key of the table, in the order of the text."""
        return tuple(self.values)

    def raw(self, key: str) -> Any:
        """The value as tomllib gives it, None where the key is not written."""
        self._known.add(key)
        return self.values.get(key)

    def inner(self, key: str, name: str = "") -> "Table":
        """The table at `key`, empty where there is none, with a `finish` of its own; its mistakes call it `name`."""
        return self._at(self.raw(key) if self.has(key) else {}, (key,), name or f"{self.name}.{key}".lstrip("."))

    def listed(self, key: str) -> "tuple[Table, ...]":
        """The list of tables at `key`, empty where there is none; mistakes call each by its number."""
        value = self.raw(key) if self.has(key) else []
        if not isinstance(value, list):
            self.wrong(key, f"has to be a list of tables, each under [[{key}]]")
            return ()
        return tuple(self._at(item, (key, index), f"{key} {index + 1}") for index, item in enumerate(value))

    def _at(self, values: object, path: Path, name: str) -> "Table":
        return Table(values, path=(*self.path, *path), name=name, lines=self._lines, mistakes=self._mistakes)

    def text(self, key: str, *, required: bool = False) -> str:
        """Words, with each run of spaces and line ends as one space; "" where the key is not written."""
        value = self.raw(key)
        if value is None:
            if required:
                self.missing(key)
            return ""
        if isinstance(value, bool | dict | list):
            self.wrong(key, f'has to be text in quotation marks, like {key} = "…"', "has to be words")
            return ""
        words = " ".join(str(value).split())
        if not words:
            self.wrong(key, "is empty; say it or leave the key out")
        return words

    def read(self, key: str, reader: Callable[[str], _Value], *, required: bool = False) -> _Value | None:
        """What `reader` makes of the words at `key`; None where they are not written or it raises ValueError."""
        words = self.text(key, required=required)
        if not words:
            return None
        try:
            return reader(words)
        except ValueError as error:
            self.wrong(key, str(error))
            return None

    def flag(self, key: str, *, default: bool = False) -> bool:
        """A true or false."""
        value = self.raw(key)
        if value is not None and not isinstance(value, bool):
            self.wrong(key, f"has to be true or false{_BARE}", "has to be yes or no")
        return value if isinstance(value, bool) else default

    def whole(self, key: str, least: int, most: int, *, required: bool = False) -> int | None:
        """A whole number between `least` and `most`, None where it is not written."""
        value = self.raw(key)
        if value is None:
            if required:
                self.missing(key)
            return None
        if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= most:
            self._no_number(key, f"has to be a whole number from {least} to {most}")
            return None
        return value

    def number(self, key: str) -> Decimal | None:
        """A number above zero, None where it is not written."""
        value = self.raw(key)
        if value is None:
            return None
        number = Decimal(value) if isinstance(value, int | Decimal) and not isinstance(value, bool) else Decimal("nan")
        if number.is_nan() or not 0 < number < LARGEST:
            self._no_number(key, f"has to be a number above 0, below {LARGEST}")
            return None
        return number

    def between(self, key: str, least: int, most: int, *, required: bool = False) -> Decimal | None:
        """A number from `least` to `most`, None where it is not written."""
        value = self.raw(key)
        if value is None:
            if required:
                self.missing(key)
            return None
        number = Decimal(value) if isinstance(value, int | Decimal) and not isinstance(value, bool) else Decimal("nan")
        if number.is_nan() or not least <= number <= most:
            self._no_number(key, f"has to be a number from {least} to {most}")
            return None
        return number

    def _no_number(self, key: str, says: str) -> None:
        self.wrong(key, f"{says}{_BARE}", says)

    def choice(self, key: str, allowed: tuple[str, ...], default: str) -> str:
        """One of the allowed words."""
        word = self.text(key)
        if word and word not in allowed:
            self.wrong(key, f'"{word}" is not known; write {" or ".join(allowed)}')
            return default
        return word or default

    def texts(self, key: str) -> tuple[str, ...]:
        """A list of words, empty where it is not written."""
        value = self.raw(key)
        if value is None:
            return ()
        if not isinstance(value, list) or not all(isinstance(item, str) and item.strip() for item in value):
            self.wrong(key, f'has to be a list of texts, like {key} = ["…"]', "has to be one in each line")
            return ()
        if len(set(value)) < len(value):
            self.wrong(key, "names something twice")
        return tuple(" ".join(item.split()) for item in value)

    def keys(self, key: str) -> tuple[str, ...]:
        """A list of keys, empty where it is not written."""
        found = self.texts(key)
        for item in found:
            if not KEY.fullmatch(item):
                self.wrong(key, bad_key(item), bad_key(item, SHORT_NAME))
        return found

    def finish(self) -> None:
        """Note every key that nobody asked for, with the nearest known one."""
        for key in self.values:
            if key not in self._known:
                self.wrong(key, f"is not known here; {did_you_mean(key, self._known)}")


def bad_key(word: str, called: str = "key") -> str:
    """What is wrong with a key; whoever types into a form knows it as a short name."""
    return f'"{word}" is no {called}; use a to z, 0 to 9 and single hyphens, like "rear-axle-nut"'


def _walked(top: object) -> Iterator[tuple[Path, object]]:
    """Every value with where it stands, as far down as anything is read, and one step further.

    Not by calling itself, for it is asked of texts that would exhaust that.
    """
    waiting: list[tuple[Path, object]] = [((), top)]
    while waiting:
        path, value = waiting.pop()
        yield path, value
        if len(path) > _DEEPEST:
            continue
        if isinstance(value, dict):
            waiting.extend(((*path, key), inner) for key, inner in value.items())
        elif isinstance(value, list):
            waiting.extend(((*path, index), inner) for index, inner in enumerate(value))


def _unreadable(text: str) -> Iterator[Mistake]:
    """Why a text is not even tried: so long, or so deep, that reading it takes minutes; or not to be seen whole."""
    if len(text) > LONGEST_TOML:
        yield Mistake(1, "", f"this has more than {LONGEST_TOML} characters, which no such file has; write less")
    elif found := _TOO_MANY_PARTS.search(text):
        line = text.count("\n", 0, found.start()) + 1
        yield Mistake(line, "", _TOO_DEEP)
    else:
        for line, written in enumerate(text.split("\n"), start=1):
            yield from _unseen(written.removesuffix("\r"), line, "")


def _unseen(text: str, line: int, key: str, *, lines: bool = True) -> Iterator[Mistake]:
    if not is_plain(text):
        try:
            require_seen(text, "here", lines=lines)
        except ValueError as error:
            yield Mistake(line, key, str(error))


def _not_kept(top: object, lines: Lines) -> Iterator[Mistake]:
    """Whole numbers that are too long to be written again, and signs that nobody sees, written as what escapes them."""
    for path, value in _walked(top):
        name = ".".join(key for key in path if isinstance(key, str))
        if isinstance(value, int) and value.bit_length() > _LONGEST:
            yield Mistake(lines.of(path), name, "this number is too long; write fewer digits")
        elif isinstance(value, dict):
            for key in value:
                yield from _unseen(key, lines.of((*path, key)), seen(f"{name}.{key}".lstrip(".")), lines=False)
        elif isinstance(value, str):
            yield from _unseen(value, lines.of(path), name)
