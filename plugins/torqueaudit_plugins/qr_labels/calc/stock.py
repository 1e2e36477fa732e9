"""What labels are printed on: sheets and rolls, read from small TOML files that hold dimensions and nothing else."""

import tomllib
from importlib import resources
from pathlib import Path
from typing import Any, NamedTuple

MILLIMETRES_PER_INCH = 25.4
LEVELS = ("H", "Q", "M", "L")
# Where the token stands: below each symbol, in the text beside it, or in one large row across the foot of the label.
BELOW, BESIDE, ACROSS = "below", "beside", "across"  # across the foot of a sheet's label: decision 0039
ALL, TOKEN = "all", "token"  # what is printed beside the symbol: every word, or the token alone

_NUMBER = (int, float)
_TOP: dict[str, Any] = {"format": int, "says": str, "kind": str, "dpi": int, "copies": int, "quiet_edge_mm": _NUMBER}
_TOP |= {"levels": list, "least_dots": int, "words": str, "token": str, "shift_x_mm": _NUMBER, "shift_y_mm": _NUMBER}
_SIZE: dict[str, Any] = {"width_mm": _NUMBER, "height_mm": _NUMBER}
_GRID: dict[str, Any] = {"columns": int, "rows": int}
_GRID |= dict.fromkeys(("left_mm", "top_mm", "gap_x_mm", "gap_y_mm"), _NUMBER)
_TABLES = {"roll": {"label": _SIZE}, "sheet": {"label": _SIZE, "page": _SIZE, "grid": _GRID}}
# Both ends included; beyond them a value is a slip of the keyboard. The largest paper is A3.
_BOUNDS = {"dpi": (100, 1200), "copies": (1, 2), "least_dots": (1, 40), "columns": (1, 100), "rows": (1, 100)}
_BOUNDS |= dict.fromkeys(("width_mm", "height_mm"), (1, 450))
_BOUNDS |= dict.fromkeys(("quiet_edge_mm", "left_mm", "top_mm", "gap_x_mm", "gap_y_mm"), (0, 450))
_BOUNDS |= dict.fromkeys(("shift_x_mm", "shift_y_mm"), (-10, 10))  # a printer is not farther off
# What a stock may leave out, and what it then is.
_USUAL: dict[str, Any] = {"levels": ["H"], "least_dots": 4, "words": ALL, "token": BELOW}
_USUAL |= {"shift_x_mm": 0, "shift_y_mm": 0}


class LabelRefused(ValueError):
    """Why no label is handed out: one sentence that says what to do."""


class _Wrong(Exception):  # caught where the text is at hand, which tells the line
    """What is wrong with a stock, and the table and key where it stands; neither where something is missing."""

    def __init__(self, says: str, *path: str) -> None:
        super().__init__(says)
        self.path = tuple(filter(None, path))


class Stock(NamedTuple):
    """One kind of label paper. On a roll the page is the label."""

    name: str
    says: str
    is_sheet: bool
    dpi: int
    copies: int  # of the symbol on one label, at most
    quiet_edge_mm: float
    label_mm: tuple[float, float]  # width, height
    page_mm: tuple[float, float]
    columns: int = 1
    rows: int = 1
    start_mm: tuple[float, float] = (0, 0)  # of the first label, from the left and the top of the page
    gap_mm: tuple[float, float] = (0, 0)  # between columns, between rows
    levels: tuple[str, ...] = ("H",)  # of the symbol, the best first
    least_dots: int = 4  # of a module
    words: str = ALL
    token: str = BELOW
    shift_mm: tuple[float, float] = (0, 0)  # to the right and down, against what the printer is off

    def dots(self, millimetres: float) -> int:
        """Turn a length into whole printer dots, rounded down so that nothing leaves its label."""
        return int(millimetres * self.dpi / MILLIMETRES_PER_INCH + 1e-9)

    @property
    def per_page(self) -> int:
        """How many labels one page holds."""
        return self.columns * self.rows

    def origin(self, position: int) -> tuple[int, int]:
        """Left and top of a label on its page in dots, shifted; positions count from 0, row by row."""
        row, column = divmod(position, self.columns)
        left, top = (
            self.dots(start + number * (size + gap)) + shift
            for start, number, size, gap, shift in zip(
                self.start_mm, (column, row), self.label_mm, self.gap_mm, self.shift_dots, strict=True
            )
        )
        return left, top

    @property
    def shift_dots(self) -> tuple[int, int]:
        """How far everything is moved to the right and down."""
        right, down = (round(shift * self.dpi / MILLIMETRES_PER_INCH) for shift in self.shift_mm)
        return right, down

    def shifted(self, right_mm: float, down_mm: float) -> "Stock":
        """Print so much farther to the right and down. Raises LabelRefused when that leaves the page."""
        stock = self._replace(shift_mm=(right_mm, down_mm))
        _check_shift(stock)
        return stock


def stock_names() -> list[str]:
    """Names of the stocks that come with the program, sorted."""
    folder = resources.files("torqueaudit_labels") / "stocks"
    return sorted(file.name.removesuffix(".toml") for file in folder.iterdir() if file.name.endswith(".toml"))


def find_stock(name: str) -> Stock:
    """Read a bundled stock by its name, or a stock of the workshop's own by the path of its `.toml` file."""
    if name in stock_names():
        return read_stock(name, stock_text(name))
    path = Path(name)
    if path.suffix.lower() != ".toml":
        raise LabelRefused(f"there is no label stock {name!r}; known are {', '.join(stock_names())}, or a .toml file.")
    if path.stem in stock_names():
        raise LabelRefused(f"{name} is named like a stock that comes with the program; give the file another name.")
    try:
        text = path.read_text(encoding="utf-8-sig")  # some editors begin a file with a mark
    except OSError as error:
        raise LabelRefused(f"the label stock {name} cannot be read: {error.strerror}; look at its name.") from error
    except UnicodeDecodeError as error:
        raise LabelRefused(f"the label stock {name} cannot be read: it is no UTF-8 text; save it as such.") from error
    return read_stock(path.stem, text)


def stock_text(name: str) -> str:
    """The file of a bundled stock, to begin one of one's own from."""
    if name not in stock_names():
        raise LabelRefused(f"there is no label stock {name!r}; known are {', '.join(stock_names())}.")
    return (resources.files("torqueaudit_labels") / "stocks" / f"{name}.toml").read_text("utf-8")


def read_stock(name: str, text: str) -> Stock:
    """Read and check one stock. Raises LabelRefused with the stock, the line, the key and what to do."""
    try:
        top = {**_USUAL, **tomllib.loads(text)}
        _check(top)
    except ValueError as error:  # of tomllib; a number of thousands of digits is one too
        raise LabelRefused(f"label stock {name}: this is not TOML: {error}; put that right.") from error
    except _Wrong as wrong:
        says = str(wrong) if str(wrong).endswith("?") else f"{wrong}."
        raise LabelRefused(f"label stock {name}{_line(text, wrong.path)}: {says}") from None
    stock = _made(name, top)
    _check_room(stock)
    _check_shift(stock)
    return stock


def _line(text: str, path: tuple[str, ...]) -> str:
    from torqueaudit.plugin import Lines  # only a mistake needs it

    return f", line {Lines(text).of(path)}" if path else ""


def _check(top: dict[str, Any]) -> None:
    if top.get("format", 1) != 1:
        raise _Wrong(f"this version reads format = 1, not {top['format']}", "format")
    sheet = _TABLES["sheet"]
    _check_known("", top, {**_TOP, **sheet})
    _check_values("", top, _TOP)
    tables = _TABLES.get(top["kind"])
    if tables is None:
        raise _Wrong(f'kind must be "sheet" or "roll", not {top["kind"]!r}', "kind")
    for table in (each for each in sheet if each in top and each not in tables):
        raise _Wrong(f'[{table}] is not for a roll; take it out, or write kind = "sheet"', table)
    for table, keys in tables.items():
        if not isinstance(top.get(table), dict):
            says = f"{table} has to be one table, under" if table in top else "this table is missing; add"
            raise _Wrong(f"{says} [{table}], with {', '.join(keys)}", table if table in top else "")
        _check_known(table, top[table], keys)
        _check_values(table, top[table], keys)
    _check_words(top)


def _check_words(top: dict[str, Any]) -> None:
    if not top["says"].strip() or not top["says"].isprintable():
        raise _Wrong("says must tell in one line what the paper is", "says")
    for key, known in {"words": (ALL, TOKEN), "token": (BELOW, BESIDE, ACROSS)}.items():
        if top[key] not in known:
            *others, last = (f'"{each}"' for each in known)
            raise _Wrong(f"{key} must be {', '.join(others)} or {last}, not {top[key]!r}", key)
    if top["words"] == TOKEN and top["token"] != BELOW:
        raise _Wrong(f'with words = "{TOKEN}" token must be "{BELOW}", not {top["token"]!r}', "token")
    if not top["levels"] or any(level not in LEVELS for level in top["levels"]):
        raise _Wrong(f"levels must name some of {', '.join(LEVELS)}, not {top['levels']}", "levels")


def _check_known(table: str, values: dict[str, Any], keys: dict[str, Any]) -> None:
    for key in values:
        if key not in keys:
            raise _Wrong(f"{_named(table, key)} {_misplaced(table, key, keys)}", table, key)


def _named(table: str, key: str) -> str:
    return f"{table}.{key}" if table else key


def _misplaced(table: str, key: str, keys: dict[str, Any]) -> str:
    """What to do about a key that is not known where it stands."""
    if key in _TOP:
        return "belongs above the first [table]; move it there"
    home = next((other for other, known in _TABLES["sheet"].items() if key in known), table)
    if home != table:
        return f"belongs under [{home}]; move it there"
    from torqueaudit.plugin import did_you_mean  # only a mistake needs it

    return f"is not known; {did_you_mean(key, keys)}"


def _check_values(table: str, values: dict[str, Any], keys: dict[str, Any]) -> None:
    for key, kind in keys.items():
        named = _named(table, key)
        if key not in values:
            raise _Wrong(f"{named} is missing; add it", table)
        value = values[key]
        if not isinstance(value, kind) or isinstance(value, bool):
            wanted = {str: "a text", int: "a whole number", list: "a list"}.get(kind, "a number")
            raise _Wrong(f"{named} must be {wanted}, not {value!r}", table, key)
        least, most = _BOUNDS.get(key, (value, value))
        if not least <= value <= most:
            raise _Wrong(f"{named} must lie between {least} and {most}, not {value}", table, key)


def _made(name: str, top: dict[str, Any]) -> Stock:
    label = (top["label"]["width_mm"], top["label"]["height_mm"])
    is_sheet = top["kind"] == "sheet"
    stock = Stock(
        name=name,
        says=top["says"],
        is_sheet=is_sheet,
        dpi=top["dpi"],
        copies=top["copies"],
        quiet_edge_mm=top["quiet_edge_mm"],
        label_mm=label,
        page_mm=label,
        levels=tuple(top["levels"]),
        least_dots=top["least_dots"],
        words=top["words"],
        token=top["token"],
        shift_mm=(top["shift_x_mm"], top["shift_y_mm"]),
    )
    if not is_sheet:
        return stock
    page, grid = top["page"], top["grid"]
    return stock._replace(
        page_mm=(page["width_mm"], page["height_mm"]),
        columns=grid["columns"],
        rows=grid["rows"],
        start_mm=(grid["left_mm"], grid["top_mm"]),
        gap_mm=(grid["gap_x_mm"], grid["gap_y_mm"]),
    )


def _check_room(stock: Stock) -> None:
    if 2 * stock.quiet_edge_mm >= min(stock.label_mm):
        raise LabelRefused(f"label stock {stock.name}: quiet_edge_mm leaves nothing of the label; make it smaller.")
    for side in _sides(stock):
        if side.end > side.page + 1e-9:
            raise LabelRefused(
                f"label stock {stock.name}: the labels need {side.end:g} mm and the page is {side.page:g} mm "
                f"{side.name}; measure the sheet again."
            )


def _check_shift(stock: Stock) -> None:
    """What is printed stays inside the quiet edge, so a shift may use up that edge and the page's margin."""
    for side in _sides(stock):
        before, after = side.start + stock.quiet_edge_mm, side.page - side.end + stock.quiet_edge_mm
        if not -before - 1e-9 <= side.shift <= after + 1e-9:
            raise LabelRefused(
                f"label stock {stock.name}: shifted by {side.shift:g} mm the print leaves the page, which is "
                f"{side.page:g} mm {side.name}; shift by {-before:g} to {after:g} mm."
            )


class _Side(NamedTuple):
    """Across or down a page, in millimetres: where the labels start and end on it."""

    name: str
    page: float
    start: float
    end: float
    shift: float


def _sides(stock: Stock) -> tuple[_Side, _Side]:
    def side(name: str, at: int, number: int) -> _Side:
        start = stock.start_mm[at]
        end = start + number * stock.label_mm[at] + (number - 1) * stock.gap_mm[at]
        return _Side(name=name, page=stock.page_mm[at], start=start, end=end, shift=stock.shift_mm[at])

    return side("wide", 0, stock.columns), side("high", 1, stock.rows)
