"""Label stocks: the ones that come with the program, and mistakes in a stock of one's own."""

from importlib import resources
from pathlib import Path

import pypdfium2
import pytest
import zxingcpp
from PIL import Image

from torqueaudit_plugins.qr_labels.calc.stock import LabelRefused, find_stock, read_stock, stock_names, stock_text
from torqueaudit_plugins.qr_labels.printing.ruler import draw_test_page, make_test_page
from torqueaudit_plugins.qr_labels.printing.stock_picture import draw_pictures

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
        ("rows = 8", "rows = 0", r"line 20, grid\.rows: has to be a whole number from 1 to 100"),
        ("rows = 8", "rows = 8.5", r"line 20, grid\.rows: has to be a whole number from 1 to 100"),
        ("rows = 8", "", r"line 18, grid\.rows: is missing; write rows = …$"),
        ("rows = 8", "rows = 8\nrowz = 8", r'line 21, grid\.rowz: is not known here; did you mean "rows"\?$'),
        ("rows = 8", "rowz = 8", r'line 20, grid\.rowz: is not known here; did you mean "rows"\?$'),
        ("[grid]", "[gird]", r'line 18, gird: is not known here; did you mean "grid"\?$'),
        ("columns = 3", "zebra = 3", "known are columns, gap_x_mm, gap_y_mm, left_mm, rows, top_mm"),
        (
            "rows = 8",
            "rows = 8\nshift_x_mm = 1",
            r"line 21, grid\.shift_x_mm: belongs above the first .table.; move it there\.$",
        ),
        ("width_mm = 210", "width_mm = 210\ncolumns = 3", r"line 12, page\.columns: belongs under \[grid\]"),
        ('kind = "sheet"', 'kind = "roll"', r'\[page\] is not for a roll; take it out, or write kind = "sheet"'),
        (
            "[label]",
            "[[label]]",
            r"line 14, label 1: has to be one table, under \[label\], with width_mm, height_mm\.$",
        ),
        ("dpi = 300", "", r"^label stock mine, line 1, dpi: is missing; write dpi = …$"),
        ("dpi = 300", "dpi = 0", "line 5, dpi: has to be a whole number from 100 to 1200"),
        ("dpi = 300", f"dpi = {'9' * 5000}", "this is not TOML"),
        ("copies = 2", "copies = 3", "line 6, copies: has to be a whole number from 1 to 2"),
        ("gap_x_mm = 0", "gap_x_mm = -1", r"grid\.gap_x_mm: has to be a number from 0 to 450"),
        ('says = "A4 sheet of 24 labels, 3 by 8, each 70 by 37 mm"', 'says = " "', "line 3, says: is empty"),
        ('says = "A4 sheet of 24 labels, 3 by 8, each 70 by 37 mm"', "", "says: is missing; write says = …"),
        ("dpi = 300", "dpi = true", "dpi: has to be a whole number from 100 to 1200"),
        ("width_mm = 70", "width_mm = nan", r"label\.width_mm: has to be a number from 1 to 450"),
        (
            "width_mm = 70",
            'width_mm = "70"',
            r"label\.width_mm: has to be a number from 1 to 450, without quotation marks",
        ),
        ('kind = "sheet"', 'kind = "tape"', 'line 4, kind: has to be "sheet" or "roll"'),
        ("format = 1", "format = 2", "line 2, format: has to be 1"),
        ("quiet_edge_mm = 4", "quiet_edge_mm = 20", "quiet_edge_mm leaves nothing"),
        ("dpi = 300", "dpi = ", "line 5: this is not TOML: Invalid value"),
        ("copies = 2", 'copies = 2\nwords = "some"', 'line 7, words: "some" is not known; write all or token'),
        ('token = "across"', 'token = "across"\nwords = "token"', 'token: has to be "below" where words = "token"'),
        ('token = "across"', 'token = "above"', 'token: "above" is not known; write below or beside or across'),
        ("copies = 2", 'copies = 2\nlevels = ["H", 1]', "levels: has to be a list of texts"),
        ("copies = 2", 'copies = 2\nlevels = ["Z"]', "levels: has to name some of H, Q, M, L"),
        ("copies = 2", "copies = 2\nlevels = []", "levels: has to name some of H, Q, M, L"),
        ("copies = 2", "copies = 2\nshift_x_mm = 11", "shift_x_mm: has to be a number from -10 to 10"),
        ("copies = 2", "copies = 2\nshift_y_mm = -5", "shifted by -5 mm the print leaves the page.* by -4.5 to 4.5 mm"),
    ],
)
def test_a_mistake_in_a_stock_is_told_in_a_sentence(old: str, new: str, says: str) -> None:
    """Stock, key, and what to do."""
    assert old in SHEET
    with pytest.raises(LabelRefused, match=says) as refused:
        read_stock("mine", SHEET.replace(old, new, 1))

    assert str(refused.value).startswith(("label stock mine: ", "label stock mine, line "))


def test_a_stock_of_ones_own_is_read_from_its_file(tmp_path: Path) -> None:
    """Its name is the file's."""
    (tmp_path / "bench.toml").write_text(SHEET, encoding="utf-8")

    assert find_stock("a4-3x8")._replace(name="bench") == find_stock(str(tmp_path / "bench.toml"))


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("zebra", r"known are a4-2x7, a4-3x8, .*roll"),
        ("a4-3x9", r'did you mean "a4-3x8"\?$'),
        ("../a4-3x8", r'did you mean "a4-3x8"\?$'),
        ("missing.toml", r"missing\.toml cannot be read"),
    ],
)
def test_an_unknown_stock_is_refused(name: str, says: str) -> None:
    """The nearest is named, or all of them, or the file that cannot be read."""
    with pytest.raises(LabelRefused, match=says):
        find_stock(name)


def test_a_file_that_cannot_be_a_stock_is_refused(tmp_path: Path) -> None:
    """No text, a folder, or the name of one that comes with the program, which would be taken for that one."""
    (tmp_path / "bytes.toml").write_bytes(b"\xff\xfe")
    (tmp_path / "folder.toml").mkdir()
    (tmp_path / "a4-3x8.toml").write_text(SHEET, encoding="utf-8")
    for name, says in (
        ("bytes", "it is no UTF-8 text"),
        ("folder", "cannot be read: Is a directory"),
        ("a4-3x8", "is named like a stock that comes with the program; give the file another name"),
    ):
        with pytest.raises(LabelRefused, match=says):
            find_stock(str(tmp_path / f"{name}.toml"))


def test_a_file_of_another_editor_is_read(tmp_path: Path) -> None:
    """Its ending in capitals, and a mark of UTF-8 before the text."""
    (tmp_path / "MINE.TOML").write_text(SHEET, encoding="utf-8-sig")

    assert find_stock("a4-3x8")._replace(name="MINE") == find_stock(str(tmp_path / "MINE.TOML"))


def test_the_stocks_are_known_by_their_dimensions() -> None:
    """Sheets of A4 and US Letter, and rolls; no maker's code among their names."""
    expected = {"a4-3x8": (70, 37), "a4-2x7": (99, 38), "letter-3x10": (66.7, 25.4)}
    expected |= {"roll-62x29": (62, 29), "roll-50x30": (50, 30), "roll-25x25": (25, 25)}
    actual = {name: find_stock(name).label_mm for name in stock_names() if name in expected}

    assert expected == actual


def test_a_shift_moves_every_label() -> None:
    """1.27 mm at 300 dpi are 15 dots; to the left and up as well."""
    sheet = find_stock("a4-3x8")
    plain = [sheet.origin(position) for position in range(24)]
    moved = [sheet.shifted(1.27, -0.635).origin(position) for position in range(24)]

    assert [(left + 15, top - 8 if top else top) for left, top in plain] == [(left, top) for left, top in moved]


def test_a_stock_of_ones_own_begins_from_a_bundled_one(tmp_path: Path) -> None:
    """`label stocks --text` prints the file; with a shift it is another stock."""
    own = stock_text("roll-62x29").replace("quiet_edge_mm = 1", "quiet_edge_mm = 1\nshift_x_mm = 0.5\nshift_y_mm = -1")
    (tmp_path / "mine.toml").write_text(own, encoding="utf-8")

    assert find_stock(str(tmp_path / "mine.toml")).shift_mm == (0.5, -1)
    with pytest.raises(LabelRefused, match="no label stock 'mine'"):
        stock_text("mine")


def test_each_stock_has_a_picture_and_a_test_page(tmp_path: Path) -> None:
    """8 dots a millimetre and a rim of 24; the example on it decodes. A frame for each label on the test page."""
    draw_pictures([find_stock(name) for name in stock_names()], tmp_path)
    for name in stock_names():
        stock = find_stock(name)
        picture, page = Image.open(tmp_path / f"{name}.png"), draw_test_page(stock)
        assert picture.size == tuple(round(size * 8) + 48 for size in stock.page_mm)
        assert {"http://yard.local/r/acdefhjkmnprtvwxy23"} == {each.text for each in zxingcpp.read_barcodes(picture)}
        assert page.size == tuple(stock.dots(size) for size in stock.page_mm)
        assert all(page.getpixel(stock.origin(position)) == 0 for position in range(stock.per_page))


def test_a_test_page_keeps_its_size(tmp_path: Path) -> None:
    """As PDF, 210 by 297 mm in points; nothing else is taken."""
    make_test_page(find_stock("a4-3x8"), tmp_path / "test.pdf")
    with pypdfium2.PdfDocument(tmp_path / "test.pdf") as document:
        actual = document[0].get_size()

    assert actual == pytest.approx((210 / 25.4 * 72, 297 / 25.4 * 72), abs=0.3)
    with pytest.raises(LabelRefused, match=r"no \.pdf, and only that keeps its size"):
        make_test_page(find_stock("a4-3x8"), tmp_path / "test.png")
