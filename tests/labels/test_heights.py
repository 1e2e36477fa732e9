"""How high the letters of a label are, measured in what is printed: dots of a roll, and a sheet's PDF drawn finely."""

from collections.abc import Iterator
from random import Random
from typing import NamedTuple

import numpy as np
import pypdfium2
import pytest
from PIL import Image

from torqueaudit.model.register.token import grouped, new_token
from torqueaudit.model.shown.label import HEAD_LINE, MAIN_LINE, SPARE_LINE, LabelContent, LabelLine
from torqueaudit_plugins.qr_labels.calc.frame import Words
from torqueaudit_plugins.qr_labels.calc.layout import lay_out
from torqueaudit_plugins.qr_labels.calc.places import place
from torqueaudit_plugins.qr_labels.calc.stock import Stock, find_stock, stock_names
from torqueaudit_plugins.qr_labels.printing.sheet import write_sheets
from torqueaudit_plugins.qr_labels.printing.thermal import draw_label

# What is read at arm's length: labels of 50 x 30 mm or more.
LARGE = [n for n in stock_names() if find_stock(n).label_mm[0] >= 50 and find_stock(n).label_mm[1] >= 30]
MAIN, SENTENCE, CAPTION = 3.0, 2.5, 1.8  # millimetres of capitals; the workshop's own demand, no source
FINE = 1200  # dots an inch of a sheet that is measured
BASE = "http://yard.local:8080"
SHORT, LONG, LONGEST = "BIKE 3", "KESTREL 500, RED", "HAUSGERÄT DER GRÖSSE SÜD, KETTENRAD UND ÖSE, NR. 7, ZWEITER"
DAY, FAR, TELEPHONE = "2031-04-16", "104800 km", "1099 555 01 02 03"


class Printed(NamedTuple):
    """Words of a label and the height in millimetres at which their first letter was printed."""

    words: Words
    capitals: float


def job(vehicle: str, *others: LabelLine, demo: bool = False) -> LabelContent:
    """A job label as it leaves with the motorcycle."""
    token = new_token(Random(7))
    lines = (
        LabelLine("Vehicle", vehicle, rank=HEAD_LINE),
        LabelLine("Re-check by or at", DAY, also=FAR, rank=MAIN_LINE),
        *others,
    )
    return LabelContent(
        title="job 20418", address=f"{BASE}/r/{token}", figure="20418", token=grouped(token), lines=lines, demo=demo
    )


def wrench() -> LabelContent:
    """A wrench's label."""
    lines = (LabelLine("Calibration ends", DAY, rank=MAIN_LINE), LabelLine("Wrench", "blue", "W-12"))
    return LabelContent(title="wrench W-12", address=f"{BASE}/w/w-12", figure="W-12", token="", lines=lines)


def owners(site: str, vehicle: str, *, demo: bool = False) -> LabelContent:
    """An owner's tag as it leaves with the owner."""
    lines = (
        LabelLine("Telephone", TELEPHONE, rank=MAIN_LINE),
        LabelLine("Come back", f"by {DAY} or at {FAR}."),
        LabelLine("", "Whichever comes first."),
        LabelLine("", f"{vehicle}, job 20418.", rank=SPARE_LINE),
        LabelLine("We look at", "10 paint marks, torque of the rear axle nut, chain slack.", rank=SPARE_LINE),
    )
    return LabelContent(
        title="job 20418",
        address=f"{BASE}/r/{new_token(Random(7))}",
        figure=site,
        token="",
        lines=lines,
        demo=demo,
        shape="card",
        under=("Scan: may I ride?", "When to return?"),
    )


def printed(content: LabelContent, stock: Stock) -> list[Printed]:
    """What is printed of every row of text, measured in its box."""
    [label] = place([content], stock)
    if stock.is_sheet:
        with pypdfium2.PdfDocument(write_sheets([label], "test", stock)) as pdf:
            page = pdf[0].render(scale=FINE / 72, grayscale=True).to_pil()
        finer, left, top = FINE / stock.dpi, label.left, label.top
    else:
        page, finer, left, top = draw_label(content, label.layout).convert("L"), 1.0, 0, 0
    return [
        Printed(words, height(cut(page, words, left, top, finer)) * 25.4 / (stock.dpi * finer))
        for words in label.layout.words
        if words.role != "demo"
    ]


def cut(page: Image.Image, words: Words, left: int, top: int, finer: float) -> np.ndarray:
    """Where ink is in the box of some words."""
    right, bottom = words.left + words.width, words.top + words.height
    box = (left + words.left, top + words.top, left + right, top + bottom)
    return np.asarray(page.crop(tuple(round(each * finer) for each in box))) < 128  # type: ignore[arg-type]


def height(ink: np.ndarray) -> int:
    """The height of the first letter, which is a capital or a figure in everything that is measured here."""
    columns = np.flatnonzero(np.diff(np.concatenate(([False], ink.any(axis=0), [False])).astype(int)))
    rows = np.flatnonzero(ink[:, columns[0] : columns[1]].any(axis=1))
    return int(rows.max() - rows.min() + 1)


def of(rows: list[Printed], start: str) -> Iterator[float]:
    """The heights of the rows that begin so."""
    yield from (each.capitals for each in rows if each.words.text.startswith(start))


@pytest.mark.parametrize("name", LARGE)
@pytest.mark.parametrize("demo", [False, True])
@pytest.mark.parametrize("vehicle", [SHORT, LONG, LONGEST])
def test_vehicle_day_and_distance_are_read_at_arms_length(name: str, vehicle: str, demo: bool) -> None:  # noqa: FBT001 (a parameter of the test)
    """3 mm, however long the tag and far the odometer; small names 1.8 mm, and the token no larger than the day."""
    content, stock = job(vehicle, demo=demo), find_stock(name)
    rows = printed(content, stock)
    main = [next(of(rows, start)) for start in (vehicle[:6], DAY, FAR)]
    names = [each.capitals for each in rows if each.words.role == "name"]
    sizes = {words.text: words.size for words in lay_out(content, stock).words}
    tokens = [words.size for words in lay_out(content, stock).words if words.role == "token"]

    assert min(main) >= MAIN
    assert min(names) >= CAPTION
    assert max(tokens) <= sizes[DAY]


@pytest.mark.parametrize("name", LARGE)
def test_the_end_of_a_calibration_is_read_at_arms_length(name: str) -> None:
    """As the day of a re-check is."""
    [day] = of(printed(wrench(), find_stock(name)), DAY)

    assert day >= MAIN


@pytest.mark.parametrize("name", LARGE)
def test_what_has_no_room_is_left_out_and_said_rather_than_set_smaller(name: str) -> None:
    """Lines beside the main ones, which stay as high as they are; nothing of them is missing."""
    others = [LabelLine(f"Kept in the store on shelf {number}", "until the owner comes") for number in range(6)]
    content, stock = job(LONG, *others), find_stock(name)
    rows = printed(content, stock)
    heights = [next(of(rows, start)) for start in (LONG, DAY, FAR)]

    assert min(heights) >= MAIN
    assert f"job 20418: left out on stock {name}: " in lay_out(content, stock).says[0]


@pytest.mark.parametrize("name", LARGE)
def test_large_letters_leave_the_symbol_as_large_as_it_was(name: str) -> None:
    """As many copies, and modules of as many dots, as a label without any line has."""
    stock, content = find_stock(name), job(LONGEST, demo=True)
    full, bare = (lay_out(each, stock) for each in (content, content._replace(lines=())))

    assert [block.width for block in full.symbols] == [block.width for block in bare.symbols]
    assert full.level == bare.level


@pytest.mark.parametrize("name", LARGE)
@pytest.mark.parametrize("demo", [False, True])
@pytest.mark.parametrize("site", ["YARD", "HOUSE OF CHAINS, WHEELS AND BRAKES BY THE RIVER"])
def test_an_owners_tag_is_read_at_arms_length(name: str, site: str, demo: bool) -> None:  # noqa: FBT001 (a parameter of the test)
    """The workshop and sentences 2.5 mm, the whole telephone 3 mm, what the code opens 1.8 mm; the rest is said."""
    content, stock = owners(site, LONG, demo=demo), find_stock(name)
    rows, layout = printed(content, stock), lay_out(content, stock)
    called = [row for row in rows if row.words.text in TELEPHONE]
    sentences = [row.capitals for row in rows if row.words.text.startswith(("Come", "Whichever", "KESTREL", "We"))]
    [workshop] = of([row for row in rows if row.words.role == "figure"], site[:4])
    opens = list(of(rows, "Scan"))

    assert TELEPHONE == " ".join(row.words.text for row in called)
    assert min(row.capitals for row in called) >= MAIN
    assert min(sentences) >= SENTENCE
    assert workshop >= SENTENCE
    assert min(opens) >= CAPTION
    assert layout.symbols[0].width >= lay_out(job(SHORT), stock).symbols[0].width
    whole = " ".join(row.words.text for row in rows)
    for line in content.lines[1:]:
        begun = line.words[:5] in whole
        said = ("the end is cut", f"{line.name} is cut") if begun else (line.name or line.words.rstrip("."),)
        is_whole = f"{line.name} {line.words}".strip() in whole
        assert is_whole or (not begun if line.rank == SPARE_LINE else any(each in layout.says[-1] for each in said))
