"""Files of labels: read back by two decoders, equal for equal input, and never half made."""

import ctypes
import logging
import re
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import cv2
import numpy as np
import pypdfium2
import pytest
import zxingcpp
from PIL import Image

from torqueaudit.model.shown.label import LabelContent
from torqueaudit_plugins.qr_labels.calc.layout import lay_out
from torqueaudit_plugins.qr_labels.calc.places import place
from torqueaudit_plugins.qr_labels.calc.stock import LabelRefused, Stock, find_stock, stock_names
from torqueaudit_plugins.qr_labels.calc.symbol import draw_symbol
from torqueaudit_plugins.qr_labels.printing.check import Expected, check_labels, pages_of_pdf
from torqueaudit_plugins.qr_labels.printing.make import checked, make_labels
from torqueaudit_plugins.qr_labels.printing.output import hand_out
from torqueaudit_plugins.qr_labels.printing.sheet import write_sheets
from torqueaudit_plugins.qr_labels.printing.thermal import draw_label as draw_laid

if TYPE_CHECKING:
    from torqueaudit_plugins.qr_labels.calc.frame import Block, Words

Content = Callable[..., LabelContent]

LONG_NAME = "Übungsgerät „Größe Süd“, Straßenkettenrad & <b>Öse</b>, Nr. 7"


def draw_label(content: LabelContent, stock: Stock) -> Image.Image:
    """One label of a roll."""
    return draw_laid(content, lay_out(content, stock))


def cut(page: Image.Image, stock: Stock, position: int) -> Image.Image:
    """One label of a page, in grey."""
    left, top = stock.origin(position)
    width, height = (stock.dots(size) for size in stock.label_mm)
    return page.crop((left, top, left + width, top + height)).convert("L")


def read_back(pages: list[Image.Image], labels: list[Expected]) -> None:
    """Check them all."""
    assert [len(labels)] == list(check_labels(pages, labels))[-1:]


def by_opencv(picture: Image.Image) -> set[str]:
    """Every symbol that OpenCV reads."""
    _, texts, _, _ = cv2.QRCodeDetector().detectAndDecodeMulti(np.array(picture))
    return set(texts)


def by_zxing(picture: Image.Image, level: str = "H") -> set[str]:
    """Every symbol that zxing-cpp reads, all at one level."""
    found = zxingcpp.read_barcodes(picture)
    assert {level} == {symbol.ec_level for symbol in found}
    return {symbol.text for symbol in found}


def streams(pdf: bytes) -> list[bytes]:
    """What the compressed parts of a PDF hold."""
    parts = re.findall(rb"/FlateDecode.*?stream\r?\n(.*?)\r?\nendstream", pdf, re.DOTALL)
    return [zlib.decompressobj().decompress(part) for part in parts]


def some(content: Content) -> list[LabelContent]:
    """Four labels: plain, long, demo without a date, a great number."""
    assert len(LONG_NAME) >= 60
    return [content(), content("13", LONG_NAME), content("14", recheck="", demo=True), content("1234567")]


@pytest.mark.parametrize("name", stock_names())
@pytest.mark.parametrize("suffix", [".pdf", ".png"])
def test_every_label_is_read_by_two_decoders(content: Content, tmp_path: Path, name: str, suffix: str) -> None:
    """Sheets and rolls, PDF and PNG, dot for dot as a printer without grey makes them."""
    stock, out = find_stock(name), tmp_path / f"labels{suffix}"
    contents = some(content) if suffix == ".pdf" or stock.is_sheet else some(content)[1:2]
    make_labels(contents, stock, out)
    pages = list(pages_of_pdf(out.read_bytes(), stock.dpi)) if suffix == ".pdf" else [Image.open(out)]

    for number, expected in enumerate(contents):
        page, position = divmod(number, stock.per_page)
        label = cut(pages[page], stock, position)
        level = lay_out(expected, stock).level
        assert {expected.address} == by_zxing(label, level) == by_opencv(label)


@pytest.mark.parametrize("name", stock_names())
def test_equal_labels_are_equal_files(content: Content, tmp_path: Path, name: str) -> None:
    """Same input, same bytes."""
    for out in (tmp_path / "first.pdf", tmp_path / "second.pdf"):
        make_labels(some(content), find_stock(name), out)

    assert (tmp_path / "first.pdf").read_bytes() == (tmp_path / "second.pdf").read_bytes()


def test_the_edge_of_every_label_stays_white(content: Content) -> None:
    """Where printers and cutters are not exact there is no dot."""
    for name in stock_names():
        stock = find_stock(name)
        if stock.is_sheet:
            [page] = pages_of_pdf(write_sheets(place(some(content), stock), "test", stock), stock.dpi)
            labels = [cut(page, stock, position) for position in range(4)]
        else:
            labels = [draw_label(each, stock).convert("L") for each in some(content)]
        edge = stock.dots(stock.quiet_edge_mm)
        for label in labels:
            left, top, right, bottom = Image.fromarray(255 - np.array(label)).getbbox() or (0, 0, 0, 0)
            assert min(left, top, label.width - right, label.height - bottom) >= edge


def boxes(content: LabelContent, stock: Stock) -> list[tuple[int, int, int, int]]:
    """Left, top, right and bottom of all that is laid out on a label, with half a dot of the renderer's rounding."""
    layout = lay_out(content, stock)
    items: list[Block | Words] = [*layout.blocks, *(words for words in layout.words if words.text)]
    return [(each.left - 1, each.top - 1, each.left + each.width + 1, each.top + each.height + 1) for each in items]


@pytest.mark.parametrize("name", [name for name in stock_names() if find_stock(name).is_sheet])
def test_a_sheet_prints_everything_in_its_box(content: Content, name: str) -> None:
    """Each block and row has ink in its box, and there is none anywhere else on the page."""
    stock = find_stock(name)
    labels = [
        *some(content),
        content("15", "ÅÉÜ gjpqy", recheck=""),
        content("Marks, job 1")._replace(shape="list"),
        content("Re-check")._replace(shape="card"),
    ]
    [page] = pages_of_pdf(write_sheets(place(labels, stock), "test", stock), stock.dpi)
    dots = np.array(page.convert("L"))
    for position, label in enumerate(labels):
        left, top = stock.origin(position)
        within = [
            (slice(top + upper, top + lower), slice(left + first, left + last))
            for first, upper, last, lower in boxes(label, stock)
        ]
        assert all((dots[box] == 0).any() for box in within)
        for box in within:
            dots[box] = 255
    assert (dots == 255).all()


def test_a_sheet_is_tagged_and_uses_the_bundled_font_alone(content: Content) -> None:
    """PDF/UA-1 with a title, alternative texts, and no font but the bundled one, in three faces, called Label."""
    stock = find_stock("a4-3x8")
    pdf = write_sheets(place(some(content), stock), "Labels for job 12", stock)
    document = pypdfium2.PdfDocument(pdf)
    fonts = {part.get_font().get_base_name() for part in document[0].get_objects(filter=[1])}
    text = document[0].get_textpage().get_text_bounded()
    title, tagged = document.get_metadata_value("Title"), pypdfium2.raw.FPDFCatalog_IsTagged(document)
    document.close()

    assert title == "Labels for job 12"
    assert {"Label", "Label-Bold", "Label-Light-Semi-Condensed"} == {name.partition("+")[2] for name in fonts}
    assert all(words in text for words in ("bike-3", "DEMO", "1234567", "2031-04-16"))
    assert tagged
    assert any(b'pdfuaid:part="1"' in part for part in streams(pdf))


def made(content: LabelContent, stock: Stock) -> bytes:
    """One label as PDF."""
    [pdf] = checked(place([content], stock), stock, ".pdf").files
    return pdf


def spoken(pdf: bytes) -> list[str]:
    """The alternative texts of the first page's pictures, as its structure gives them to a screen reader."""
    raw = pypdfium2.raw
    with pypdfium2.PdfDocument(pdf) as document:
        page = document[0]
        tree = raw.FPDF_StructTree_GetForPage(page)
        waiting = [
            raw.FPDF_StructTree_GetChildAtIndex(tree, at) for at in range(raw.FPDF_StructTree_CountChildren(tree))
        ]
        found = []
        while waiting:
            element = waiting.pop(0)
            if element:
                size = raw.FPDF_StructElement_GetAltText(element, None, 0)
                held = ctypes.create_string_buffer(max(size, 2))
                raw.FPDF_StructElement_GetAltText(element, held, size)
                found.append(held.raw[: size - 2].decode("utf-16-le") if size else "")
                count = raw.FPDF_StructElement_CountChildren(element)
                waiting += [raw.FPDF_StructElement_GetChildAtIndex(element, at) for at in range(max(count, 0))]
        raw.FPDF_StructTree_Close(tree)
    return [words for words in found if words]


def test_a_screen_reader_finds_job_and_token(content: Content) -> None:
    """On a sheet once for a label, though its symbol stands there twice; on a roll the whole label is told."""
    label = content()
    sheet, roll = (made(label, find_stock(name)) for name in ("a4-3x8", "roll-62x29"))
    [told] = spoken(roll)

    assert [f"QR symbol of job 12: {label.address}"] == spoken(sheet)
    assert told.startswith(f"Label of job 12. Token {label.token}. Vehicle bike-3. ")


def test_text_on_a_sheet_can_be_found(content: Content) -> None:
    """Each line whole, in the order it is read aloud: the figure first."""
    sheet = made(content(vehicle="Übergröße"), find_stock("a4-2x7"))
    with pypdfium2.PdfDocument(sheet) as document:
        text = document[0].get_textpage().get_text_bounded().split()

    assert text[0] == "12"
    assert "Übergröße" in text


def test_a_used_sheet_goes_on_where_it_ended(content: Content, tmp_path: Path) -> None:
    """From position 23 of 24: two on this sheet, one on the next."""
    stock, out = find_stock("a4-3x8"), tmp_path / "labels.pdf"
    contents = some(content)[:3]
    make_labels(contents, stock, out, start=23)
    pages = list(pages_of_pdf(out.read_bytes(), stock.dpi))
    actual = [by_zxing(cut(pages[page], stock, position)) for page, position in ((0, 22), (0, 23), (1, 0))]

    assert [{each.address} for each in contents] == actual
    assert pages[0].convert("L").crop((0, 0, *stock.origin(22))).getextrema() == (255, 255)


def run_of(content: Content, number: int) -> list[LabelContent]:
    """Labels of many jobs."""
    return [content(str(each)) for each in range(number)]


def test_a_long_run_is_numbered_files(content: Content, tmp_path: Path) -> None:
    """Twelve sheets of 14 at once: 170 labels are two files, the second begins with a sheet; the first may be used."""
    stock, contents = find_stock("a4-2x7"), run_of(content, 170)
    written = make_labels(contents, stock, tmp_path / "many.pdf", start=2)
    [last] = pages_of_pdf(written.names[1].read_bytes(), stock.dpi)

    assert ["many-1.pdf", "many-2.pdf"] == [name.name for name in written.names]
    assert set(written.names) == set(tmp_path.iterdir())
    for position, expected in enumerate(contents[167:]):
        assert {expected.address} == by_zxing(cut(last, stock, position))


def test_a_long_run_is_handed_out_whole_or_not_at_all(content: Content, tmp_path: Path) -> None:
    """The second of two files is there already."""
    (tmp_path / "many-2.pdf").write_bytes(b"mine")
    with pytest.raises(LabelRefused, match=r"many-2\.pdf exists already"):
        make_labels(run_of(content, 170), find_stock("a4-2x7"), tmp_path / "many.pdf")
    with pytest.raises(LabelRefused, match="cannot be written"):
        hand_out([b"one", b"two"], [tmp_path / "one.pdf", tmp_path / "missing" / "two.pdf"], force=False)

    assert [tmp_path / "many-2.pdf"] == list(tmp_path.iterdir())


def test_a_symbol_with_one_wrong_module_is_refused(content: Content) -> None:
    """It decodes, but only because the decoder corrects it: such a label would begin its life worn."""
    stock, label = find_stock("roll-62x29"), content()
    picture = draw_label(label, stock)
    layout = lay_out(label, stock)
    block = layout.symbols[0]
    module = block.width // draw_symbol(label.address, layout.level).width
    left, top = block.left + 20 * module, block.top + 20 * module
    dark = picture.getpixel((left, top)) == 0
    picture.paste(255 if dark else 0, (left, top, left + module, top + module))

    assert {label.address} == by_zxing(picture.convert("L"), layout.level)
    with pytest.raises(LabelRefused, match=r"job 12 does not decode to .* without an error"):
        read_back(
            [picture], [Expected(title="job 12", page=0, box=(0, 0, *picture.size), address=label.address, copies=2)]
        )


def test_a_label_that_is_not_read_is_refused_by_name(content: Content) -> None:
    """A blot over one of the two symbols of job 13."""
    stock = find_stock("roll-62x29")
    contents = some(content)[:2]
    pages = [draw_label(each, stock) for each in contents]
    pages[1].paste(0, (60, 60, 200, 200))
    labels = [
        Expected(title=each.title, page=page, box=(0, 0, 732, 342), address=each.address, copies=2)
        for page, each in enumerate(contents)
    ]

    read_back(pages[:1], labels[:1])
    with pytest.raises(LabelRefused, match=r"label of job 13 does not decode .* \(1 of 2 symbols read\)"):
        read_back(pages, labels)


def test_two_labels_that_changed_places_are_refused(content: Content) -> None:
    """A symbol that decodes, but to another job."""
    stock = find_stock("roll-62x29")
    first, second = some(content)[:2]
    with pytest.raises(LabelRefused, match="label of job 12 does not decode"):
        read_back(
            [draw_label(second, stock)],
            [Expected(title="job 12", page=0, box=(0, 0, 732, 342), address=first.address, copies=1)],
        )


def test_rendering_logs_nothing(content: Content, caplog: pytest.LogCaptureFixture) -> None:
    """Neither a warning nor an error."""
    stock = find_stock("a4-3x8")
    with caplog.at_level(logging.WARNING):
        write_sheets(place([content()], stock), "test", stock)

    assert caplog.records == []


@pytest.mark.parametrize(
    ("out", "stock", "start", "says"),
    [
        ("labels.svg", "a4-3x8", 1, "neither .pdf nor .png"),
        ("labels.png", "roll-62x29", 1, "a .png holds one page and these labels need 4"),
        ("labels.pdf", "a4-3x8", 25, "there is no position 25"),
        ("labels.pdf", "roll-62x29", 2, "there is no position 2"),
        ("missing/labels.pdf", "roll-62x29", 1, "cannot be written"),
        (".pdf", "roll-62x29", 1, "neither .pdf nor .png"),
        ("folder.pdf", "roll-62x29", 1, "is a directory"),
        ("there.pdf", "roll-62x29", 1, "exists already"),
    ],
)
def test_what_cannot_be_written_is_told(
    content: Content, tmp_path: Path, out: str, stock: str, start: int, says: str
) -> None:
    """One sentence, and nothing in the folder has changed."""
    (tmp_path / "folder.pdf").mkdir()
    (tmp_path / "there.pdf").write_bytes(b"mine")
    before = sorted(tmp_path.iterdir())
    with pytest.raises(LabelRefused, match=says):
        make_labels(some(content), find_stock(stock), tmp_path / out, start=start)

    assert before == sorted(tmp_path.iterdir())
    assert (tmp_path / "there.pdf").read_bytes() == b"mine"


def test_an_existing_file_is_replaced_by_force(content: Content, tmp_path: Path) -> None:
    """Whole, and with no file left beside it."""
    out = tmp_path / "labels.pdf"
    out.write_bytes(b"old")
    make_labels([content()], find_stock("roll-62x29"), out, force=True)

    assert out.read_bytes().startswith(b"%PDF")
    assert [out] == list(tmp_path.iterdir())
