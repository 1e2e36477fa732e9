"""What labels are printed on: sheets and rolls, read from small TOML files that hold dimensions and nothing else."""

from importlib import resources
from pathlib import Path
from typing import NamedTuple

from torqueaudit.plugin import Mistake, Table, did_you_mean, read_toml_text

MILLIMETRES_PER_INCH = 25.4
LEVELS = ("H", "Q", "M", "L")
# Where the token stands: below each symbol, in the text beside it, or in one large row across the foot of the label.
BELOW, BESIDE, ACROSS = "below", "beside", "across"  # across the foot of a sheet's label: decision 0039
ALL, TOKEN = "all", "token"  # what is printed beside the symbol: every word, or the token alone

# The largest paper is A3, and a printer is not farther off: beyond these a value is a slip of the keyboard.
LARGEST_MM, FARTHEST_OFF_MM = 450, 10
_TOP = (
    *("format", "says", "kind", "dpi", "copies", "quiet_edge_mm", "levels", "least_dots"),
    *("words", "token", "shift_x_mm", "shift_y_mm"),
)
_SIZE = ("width_mm", "height_mm")
_GRID = ("columns", "rows", "left_mm", "top_mm", "gap_x_mm", "gap_y_mm")
_SHEET = {"label": _SIZE, "page": _SIZE, "grid": _GRID}


class LabelRefused(ValueError):
    """Why no label is handed out: one sentence that says what to do."""


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
        known = f"known are {', '.join(stock_names())}, or a .toml file."
        raise LabelRefused(f"there is no label stock {name!r}; {did_you_mean(name, stock_names(), known)}")
    if path.stem in stock_names():
        raise LabelRefused(f"{name} is named like a stock that comes with the program; give the file another name.")
    try:
        text = read_toml_text(path)
    except ValueError as error:
        raise LabelRefused(f"the label stock {error}.") from error
    return read_stock(path.stem, text)


def stock_text(name: str) -> str:
    """The file of a bundled stock, to begin one of one's own from."""
    if name not in stock_names():
        known = f"known are {', '.join(stock_names())}."
        raise LabelRefused(f"there is no label stock {name!r}; {did_you_mean(name, stock_names(), known)}")
    return (resources.files("torqueaudit_labels") / "stocks" / f"{name}.toml").read_text("utf-8")


def read_stock(name: str, text: str) -> Stock:
    """Read and check one stock. Raises LabelRefused with the stock, the line, the key and what to do."""
    mistakes: list[Mistake] = []
    stock = _read(name, Table.of(text, mistakes), mistakes)
    if stock is None:
        says = str(mistakes[0])
        raise LabelRefused(f"label stock {name}, {says if says.endswith(('?', '…')) else f'{says}.'}")
    _check_room(stock)
    _check_shift(stock)
    return stock


def _read(name: str, top: Table, mistakes: list[Mistake]) -> Stock | None:
    """The stock of a text, None where mistakes were noted: an unknown key first, for it may be what is missing."""
    is_sheet = top.raw("kind") != "roll"
    for look in (_look_at_top, _look_at_tables if is_sheet else _look_at_roll):
        if not mistakes:
            look(top)
    if mistakes:
        return None
    label = top.inner("label")
    stock = Stock(
        name=name,
        says=top.text("says", required=True),
        is_sheet=is_sheet,
        dpi=top.whole("dpi", 100, 1200, required=True) or 0,
        copies=top.whole("copies", 1, 2, required=True) or 0,
        quiet_edge_mm=_length(top, "quiet_edge_mm"),
        label_mm=(_size(label, "width_mm"), _size(label, "height_mm")),
        page_mm=(_size(label, "width_mm"), _size(label, "height_mm")),
        levels=top.texts("levels") or ("H",),
        least_dots=top.whole("least_dots", 1, 40) or 4,
        words=top.choice("words", (ALL, TOKEN), ALL),
        token=top.choice("token", (BELOW, BESIDE, ACROSS), BELOW),
        shift_mm=(_shift(top, "shift_x_mm"), _shift(top, "shift_y_mm")),
    )
    if is_sheet:
        stock = _on_sheet(stock, top.inner("page"), top.inner("grid"))
    _look_at_words(top, stock)
    return None if mistakes else stock


def _on_sheet(stock: Stock, page: Table, grid: Table) -> Stock:
    return stock._replace(
        page_mm=(_size(page, "width_mm"), _size(page, "height_mm")),
        columns=grid.whole("columns", 1, 100, required=True) or 0,
        rows=grid.whole("rows", 1, 100, required=True) or 0,
        start_mm=(_length(grid, "left_mm"), _length(grid, "top_mm")),
        gap_mm=(_length(grid, "gap_x_mm"), _length(grid, "gap_y_mm")),
    )


def _size(table: Table, key: str) -> float:
    return float(table.between(key, 1, LARGEST_MM, required=True) or 0)


def _length(table: Table, key: str) -> float:
    return float(table.between(key, 0, LARGEST_MM, required=True) or 0)


def _shift(top: Table, key: str) -> float:
    return float(top.between(key, -FARTHEST_OFF_MM, FARTHEST_OFF_MM) or 0)


def _look_at_top(top: Table) -> None:
    """Note what stands where it does not belong, and a kind or a format that cannot be read."""
    _look_at_keys(top, "", (*_TOP, *_SHEET))
    if top.raw("format") != 1 or top.raw("format") is True:
        top.wrong("format", "has to be 1, which is what this version reads")
    if top.raw("kind") not in ("sheet", "roll"):
        top.wrong("kind", 'has to be "sheet" or "roll"')


def _look_at_tables(top: Table) -> None:
    for name, keys in _SHEET.items():
        _look_at_table(top, name, keys)


def _look_at_roll(top: Table) -> None:
    for name in ("page", "grid"):
        if top.has(name):
            top.wrong(name, f'[{name}] is not for a roll; take it out, or write kind = "sheet"')
    _look_at_table(top, "label", _SIZE)


def _look_at_table(top: Table, name: str, keys: tuple[str, ...]) -> None:
    if not top.has(name):
        top.wrong("", f"[{name}] is missing; add it, with {', '.join(keys)}")
    elif isinstance(top.raw(name), list):
        for each in top.listed(name):
            each.wrong("", f"has to be one table, under [{name}], with {', '.join(keys)}")
    else:
        _look_at_keys(top.inner(name), name, keys)


def _look_at_keys(table: Table, name: str, keys: tuple[str, ...]) -> None:
    """Note every key that belongs elsewhere, and every one that is not known."""
    for key in keys:
        table.has(key)
    for key in table.written():
        home = next((f"under [{other}]" for other, known in _SHEET.items() if key in known and other != name), "")
        home = "above the first [table]" if key in _TOP else home
        if key not in keys and home:
            table.has(key)
            table.wrong(key, f"belongs {home}; move it there")
    table.finish()


def _look_at_words(top: Table, stock: Stock) -> None:
    if not set(stock.levels) <= set(LEVELS) or top.raw("levels") == []:
        top.wrong("levels", f"has to name some of {', '.join(LEVELS)}")
    if stock.words == TOKEN and stock.token != BELOW:
        top.wrong("token", f'has to be "{BELOW}" where words = "{TOKEN}"')


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
