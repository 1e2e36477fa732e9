"""Label stocks: the ones that come with the program, and mistakes in a stock of one's own."""

from importlib import resources
from pathlib import Path

import pytest

from torqueaudit_plugins.qr_labels.stock import LabelRefused, find_stock, read_stock, stock_names

SHEET = (resources.files("torqueaudit_labels") / "stocks" / "a4-3x8.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", stock_names())
def test_a_stock_fits_its_page(name: str) -> None:
    """The last label ends on the page, and no two labels overlap."""
    stock = find_stock(name)
    boxes = [stock.origin(position) for position in range(stock.per_page)]
    width, height = (stock.dots(size) for size in stock.label_mm)

    assert max(left for left, _ in boxes) + width <= stock.dots(stock.page_mm[0])
    assert max(top for _, top in boxes) + height <= stock.dots(stock.page_mm[1])
    assert all(
        abs(left - other_left) >= width or abs(top - other_top) >= height
        for number, (left, top) in enumerate(boxes)
        for other_left, other_top in boxes[:number]
    )


def test_there_is_a_sheet_and_a_thermal_roll() -> None:
    """One of each at least."""
    assert {True, False} == {find_stock(name).is_sheet for name in stock_names()}


def test_labels_lie_where_the_sheet_has_them() -> None:
    """Position 5 of a 3 by 8 sheet: second row, third column, at 140 and 37.5 mm; 300 dpi."""
    expected = (int(140 / 25.4 * 300), int(37.5 / 25.4 * 300))
    actual = find_stock("a4-3x8").origin(5)

    assert expected == actual


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("columns = 3", "columns = 4", "labels need 280 mm and the page is 210 mm wide"),
        ("top_mm = 0.5", "top_mm = 1.5", "297.5 mm and the page is 297 mm high"),
        ("rows = 8", "rows = 0", "grid.rows must lie between 1 and 2400, not 0"),
        ("rows = 8", "rows = 8.5", "grid.rows must be a whole number, not 8.5"),
        ("rows = 8", "", "grid.rows is missing"),
        ("rows = 8", "rows = 8\nrowz = 8", "grid.rowz is not known"),
        ("dpi = 300", "dpi = true", "dpi must be a whole number, not True"),
        ("width_mm = 70", "width_mm = nan", "label.width_mm must lie between 1 and 2400, not nan"),
        ("width_mm = 70", 'width_mm = "70"', "label.width_mm must be a number, not '70'"),
        ('kind = "sheet"', 'kind = "tape"', 'kind must be "sheet" or "roll"'),
        ("format = 1", "format = 2", "reads format = 1, not 2"),
        ("quiet_edge_mm = 4", "quiet_edge_mm = 20", "quiet_edge_mm leaves nothing"),
        ("dpi = 300", "dpi = ", "this is not TOML: .* line 5"),
    ],
)
def test_a_mistake_in_a_stock_is_told_in_a_sentence(old: str, new: str, says: str) -> None:
    """Stock, key, and what to do."""
    assert old in SHEET
    with pytest.raises(LabelRefused, match=says) as refused:
        read_stock("mine", SHEET.replace(old, new, 1))

    assert str(refused.value).startswith("label stock mine: ")


def test_a_stock_of_ones_own_is_read_from_its_file(tmp_path: Path) -> None:
    """Its name is the file's."""
    (tmp_path / "bench.toml").write_text(SHEET, encoding="utf-8")

    assert find_stock("a4-3x8")._replace(name="bench") == find_stock(str(tmp_path / "bench.toml"))


@pytest.mark.parametrize("name", ["a5", "../a4-3x8", "missing.toml"])
def test_an_unknown_stock_is_refused(name: str) -> None:
    """The known ones are named, or the file that cannot be read."""
    with pytest.raises(LabelRefused, match=r"known are a4-3x8, roll|missing\.toml cannot be read"):
        find_stock(name)
