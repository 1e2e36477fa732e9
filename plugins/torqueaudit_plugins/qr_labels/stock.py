"""What labels are printed on: sheets and rolls, read from small TOML files that hold dimensions and nothing else."""

import tomllib
from importlib import resources
from pathlib import Path
from typing import Any, NamedTuple

MILLIMETRES_PER_INCH = 25.4

_MOST = 2400  # millimetres, dots per inch, columns: beyond it a stock is a slip of the keyboard
_NUMBER = (int, float)
_TOP: dict[str, Any] = {"format": int, "says": str, "kind": str, "dpi": int, "copies": int, "quiet_edge_mm": _NUMBER}
_SIZE: dict[str, Any] = {"width_mm": _NUMBER, "height_mm": _NUMBER}
_GRID: dict[str, Any] = {"columns": int, "rows": int}
_GRID |= dict.fromkeys(("left_mm", "top_mm", "gap_x_mm", "gap_y_mm"), _NUMBER)
_TABLES = {"roll": {"label": _SIZE}, "sheet": {"label": _SIZE, "page": _SIZE, "grid": _GRID}}
_MAY_BE_NOUGHT = {"quiet_edge_mm", "left_mm", "top_mm", "gap_x_mm", "gap_y_mm"}


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

    def dots(self, millimetres: float) -> int:
        """Turn a length into whole printer dots, rounded down so that nothing leaves its label."""
        return int(millimetres * self.dpi / MILLIMETRES_PER_INCH + 1e-9)

    @property
    def per_page(self) -> int:
        """How many labels one page holds."""
        return self.columns * self.rows

    def origin(self, position: int) -> tuple[int, int]:
        """Left and top of a label on its page in dots; positions count from 0, row by row."""
        row, column = divmod(position, self.columns)
        left, top = (
            start + number * (size + gap)
            for start, number, size, gap in zip(self.start_mm, (column, row), self.label_mm, self.gap_mm, strict=True)
        )
        return self.dots(left), self.dots(top)


def stock_names() -> list[str]:
    """Names of the stocks that come with the program, sorted."""
    folder = resources.files("torqueaudit_labels") / "stocks"
    return sorted(file.name.removesuffix(".toml") for file in folder.iterdir() if file.name.endswith(".toml"))


def find_stock(name: str) -> Stock:
    """Read a bundled stock by its name, or a stock of the workshop's own by the path of its `.toml` file."""
    if name in stock_names():
        return read_stock(name, (resources.files("torqueaudit_labels") / "stocks" / f"{name}.toml").read_text("utf-8"))
    if not name.endswith(".toml"):
        raise LabelRefused(f"there is no label stock {name!r}; known are {', '.join(stock_names())}, or a .toml file.")
    try:
        text = Path(name).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise LabelRefused(f"the label stock {name} cannot be read: {error}.") from error
    return read_stock(Path(name).stem, text)


def read_stock(name: str, text: str) -> Stock:
    """Read and check one stock. Raises LabelRefused with the stock, the key and what to do."""
    try:
        top = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise LabelRefused(f"label stock {name}: this is not TOML: {error}.") from error
    tables = _TABLES.get(str(top.get("kind")))
    if tables is None:
        raise LabelRefused(f'label stock {name}: kind must be "sheet" or "roll".')
    _check_keys(name, "", top, {**_TOP, **dict.fromkeys(tables, dict)})
    for table, keys in tables.items():
        _check_keys(name, f"{table}.", top[table], keys)
    if top["format"] != 1:
        raise LabelRefused(f"label stock {name}: this version reads format = 1, not {top['format']}.")
    stock = _made(name, top)
    _check_room(stock)
    return stock


def _check_keys(name: str, where: str, table: dict[str, Any], keys: dict[str, Any]) -> None:
    for key in keys.keys() - table.keys() | table.keys() - keys.keys():
        says = "is missing; add it" if key in keys else "is not known; take it out"
        raise LabelRefused(f"label stock {name}: {where}{key} {says}.")
    for key, value in table.items():
        kind = keys[key]
        if not isinstance(value, kind) or isinstance(value, bool):
            wanted = {str: "a text", int: "a whole number", dict: "a table"}.get(kind, "a number")
            raise LabelRefused(f"label stock {name}: {where}{key} must be {wanted}, not {value!r}.")
        least = 0 if key in _MAY_BE_NOUGHT else 1
        if isinstance(value, (int, float)) and not least <= value <= _MOST:
            raise LabelRefused(f"label stock {name}: {where}{key} must lie between {least} and {_MOST}, not {value}.")


def _made(name: str, top: dict[str, Any]) -> Stock:
    label = (top["label"]["width_mm"], top["label"]["height_mm"])
    is_sheet = top["kind"] == "sheet"
    stock = Stock(name, top["says"], is_sheet, top["dpi"], top["copies"], top["quiet_edge_mm"], label, label)
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
    sides = zip(
        ("wide", "high"),
        stock.start_mm,
        (stock.columns, stock.rows),
        stock.label_mm,
        stock.gap_mm,
        stock.page_mm,
        strict=True,
    )
    for side, start, number, size, gap, page in sides:
        needed = start + number * size + (number - 1) * gap
        if needed > page + 1e-9:
            raise LabelRefused(
                f"label stock {stock.name}: the labels need {needed:g} mm and the page is {page:g} mm {side}; "
                "measure the sheet again."
            )
