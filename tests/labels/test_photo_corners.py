"""Labels with spoilt corners: the symbol is read all the same, and a copy that cannot be read is told."""

import os
from cmath import exp, pi
from collections.abc import Callable
from functools import cache
from io import BytesIO
from itertools import islice, product

import numpy as np
import pytest
import zxingcpp
from PIL import Image, ImageDraw, ImageFilter

from torqueaudit.model.shown.label import LabelContent
from torqueaudit.photo import NotRead, Seen, read_photo
from torqueaudit.photo.corners import darkened, find_corners
from torqueaudit.photo.pictures import open_photo, plain
from torqueaudit.photo.repair import mended
from torqueaudit_plugins.qr_labels.calc.layout import lay_out
from torqueaudit_plugins.qr_labels.calc.stock import find_stock, stock_names
from torqueaudit_plugins.qr_labels.printing.thermal import draw_label

Content = Callable[..., LabelContent]

ADDRESS = "http://yard.local:8080/r/acdefhjkmnprtvwxy23"
OTHER = ADDRESS.replace("xy23", "xy24")
MODULE, MODULES, QUIET = 10, 37, 4  # pixels; a side of version 5; on each side
CORNERS = {"first": (0, 0), "right": (MODULES - 7, 0), "below": (0, MODULES - 7)}  # modules from the left and the top

PROOF = "TORQUEAUDIT_PROOF" in os.environ
ADDRESSES = ("HTTP://A.AT/R/ACDEFHJKMNPRTVWXY23", "http://a.at/r/acdefhjkmnprtvwxy23", ADDRESS)
# Of each a share is left here whose members have every value once; the whole of it belongs to `make proof`.
SPOTS = [*product((0, 33, 200), CORNERS)] if PROOF else [(0, "right"), (33, "below"), (200, "first")]
GONE = [*product((0, 255), CORNERS)] if PROOF else [(0, "first"), (255, "right"), (255, "below")]
COVERED = [
    (("first",), 0),
    (("right",), 255),
    (("first", "right"), 0),
    (("first", "below"), 255),
    (("right", "below"), 0),
    (("right", "below"), 255),
]


def symbol(address: str = ADDRESS, covered: tuple[str, ...] = (), shade: int = 255) -> Image.Image:
    """A symbol with some of its corners covered, and the white around them."""
    code = zxingcpp.create_barcode(address, zxingcpp.BarcodeFormat.QRCode, ec_level="H")
    picture = Image.fromarray(code.to_image(scale=MODULE, add_quiet_zones=True))
    for name in covered:
        left, top = ((QUIET + at - 1) * MODULE for at in CORNERS[name])
        ImageDraw.Draw(picture).rectangle((left, top, left + 9 * MODULE - 1, top + 9 * MODULE - 1), fill=shade)
    return picture


def spotted(name: str, address: str = ADDRESS) -> Image.Image:
    """A dark spot of three modules across that joins ring and core of one corner: 1.3 mm where a module has 0.42."""
    picture = symbol(address)
    left, top = ((QUIET + at) * MODULE for at in CORNERS[name])
    ImageDraw.Draw(picture).ellipse((left, top + 20, left + 30, top + 50), fill=0)
    return picture


def photo(*pictures: Image.Image, turned: float = 0, apart: int = 650) -> Image.Image:
    """Labels on a noisy bench, side by side in the middle, taken askew, turned, and a little out of focus."""
    bench = Image.new("L", (1600, 1200), 120)
    for number, picture in enumerate(pictures):
        bench.paste(picture, (250 + apart * number, 350))
    askew = (0, 40, 60, 1200, 1600, 1160, 1550, 0)
    bench = bench.transform(bench.size, Image.Transform.QUAD, askew, Image.Resampling.BILINEAR)
    bench = bench.rotate(turned, Image.Resampling.BILINEAR, fillcolor=120).filter(ImageFilter.GaussianBlur(1.2))
    return Image.fromarray((np.array(bench) + noise()).clip(0, 255).astype(np.uint8))


@cache
def noise() -> "np.ndarray[tuple[int, ...], np.dtype[np.float64]]":
    """The same noise on every photo."""
    return np.random.default_rng(12).normal(0, 6, (1200, 1600))


def seen(picture: Image.Image) -> Seen:
    """Read from a JPEG."""
    file = BytesIO()
    picture.save(file, "JPEG", quality=90)
    return read_photo(file.getvalue())


@pytest.mark.parametrize("turned", [0, 10, 45, 77, 100])
def test_each_finder_pattern_is_found_alone(turned: float) -> None:
    """Their middles lie 3.5 modules from two edges, to a fifth of a module, however the symbol is turned."""
    picture = symbol().rotate(turned, Image.Resampling.BICUBIC, expand=True, fillcolor=255)
    middle, way = (picture.width / 2) * (1 + 1j), exp(-1j * pi * turned / 180)
    off = (MODULES / 2 - 3.5) * MODULE
    expected = [middle + off * place * way for place in (-1 - 1j, 1 - 1j, -1 + 1j)]
    actual = find_corners(darkened(picture, 12), 3)

    assert all(min(abs(corner.at - place) for corner in actual) < MODULE / 5 for place in expected)


@pytest.mark.proof
@pytest.mark.parametrize(("turned", "name"), SPOTS)
def test_a_spot_on_a_corner_does_not_kill_a_label(turned: float, name: str) -> None:
    """Of 1.3 mm on any of the three; the decoder alone reads nothing, and a new label is asked for."""
    spoilt = photo(spotted(name), turned=turned)
    read = seen(spoilt)

    assert zxingcpp.read_barcodes(spoilt) == []
    assert read == Seen(ADDRESS, "r", "acdefhjkmnprtvwxy23", None)
    assert read.worn


@pytest.mark.parametrize(("shade", "left", "top"), [(0, 30, 65), (255, 30, 58)])
def test_dirt_on_two_corners_does_not_kill_a_label(shade: int, left: int, top: int) -> None:
    """A spot on one; on the middle of another's edge a blot or a scratch, beside which it is as it ought to be."""
    spoilt = spotted("right")
    x, y = ((QUIET + at) * MODULE for at in CORNERS["below"])
    ImageDraw.Draw(spoilt).ellipse((x + left, y + top, x + left + 12, y + top + 14), fill=shade)

    assert zxingcpp.read_barcodes(photo(spoilt)) == []
    assert seen(photo(spoilt)).address == ADDRESS


@pytest.mark.proof
@pytest.mark.parametrize(("shade", "name"), GONE)
def test_a_corner_that_is_gone_is_drawn_anew(shade: int, name: str) -> None:
    """Under oil or paint, with the white around it."""
    assert seen(photo(symbol(covered=(name,), shade=shade), turned=20)).address == ADDRESS


def test_without_two_corners_nothing_is_read() -> None:
    """One foretells no place; the token under the symbol is for that."""
    with pytest.raises(NotRead, match="or type its token"):
        seen(photo(symbol(covered=("first", "below"))))


def test_labels_of_two_records_with_spoilt_corners_are_not_guessed_between() -> None:
    """Neither is read at once, and the better guess would open a record by chance."""
    with pytest.raises(NotRead, match="labels of more than one record; photograph one of them alone"):
        seen(photo(spotted("first"), spotted("right", OTHER)))


def test_a_spoilt_label_of_another_record_is_no_copy() -> None:
    """One is read at once; beside it lies one that only a redrawn corner shows to be another's."""
    with pytest.raises(NotRead, match="labels of more than one record"):
        seen(photo(symbol(), spotted("right", OTHER)))


@pytest.mark.proof
@pytest.mark.parametrize(("covered", "shade"), COVERED if PROOF else COVERED[1:5:2])
def test_a_copy_with_covered_corners_is_told(covered: tuple[str, ...], shade: int) -> None:
    """One corner is left, or two; on either hand of the good copy, however the photo is turned."""
    spoilt = symbol(covered=covered, shade=shade)
    right, left = seen(photo(symbol(), spoilt, turned=25)), seen(photo(spoilt, symbol(), turned=205))

    assert [(True, True), (True, True)] == [(each.copy_lost, each.worn) for each in (right, left)]
    assert right.unused is not None
    assert right.unused > 0.8


def noisy(chance: int, side: int, blur: float, noise: float) -> bytes:
    """Two copies, small and far away in a poor photo."""
    copy = symbol().resize((side, side), Image.Resampling.BOX)
    bench = Image.new("L", (2400, 1800), 120)
    for left in (300, 300 + int(side * 1.6)):
        bench.paste(copy, (left, 300))
    blurred = np.array(bench.filter(ImageFilter.GaussianBlur(blur)))
    grain = np.random.default_rng(chance).normal(0, noise, blurred.shape)
    file = BytesIO()
    Image.fromarray((blurred + grain).clip(0, 255).astype(np.uint8)).save(file, "PNG")
    return file.getvalue()


@pytest.mark.parametrize(("chance", "side", "blur", "noise"), [(14, 234, 1.956, 37.6), (108, 271, 2.6413, 15.404)])
def test_a_copy_that_is_read_at_another_size_is_not_lost(chance: int, side: int, blur: float, noise: float) -> None:
    """The first size shows one; the next one both, and that counts."""
    data = noisy(chance, side, blur, noise)
    counts = [len(zxingcpp.read_barcodes(picture)) for picture in islice(plain(open_photo(data)), 2)]
    read = read_photo(data)

    assert [1, 2] == counts
    assert (2, False) == (read.symbols, read.copy_lost)


@pytest.mark.parametrize("right", [1100, 1200, 1300])
def test_a_copy_that_reaches_out_of_the_photo_is_not_told(right: int) -> None:
    """It may be whole, and was not photographed; its outer or its upper corners are there."""
    both = photo(symbol(), symbol())

    assert not seen(both.crop((0, 0, right, both.height))).copy_lost


def test_a_copy_is_missed_although_another_code_lies_beside() -> None:
    """What leads to no record is no second copy."""
    small = symbol("https://elsewhere.example/menu").resize((200, 200))
    both = photo(symbol(), symbol(covered=("first",)))
    both.paste(small, (60, 40))

    assert seen(both).copy_lost


@pytest.mark.proof
@pytest.mark.parametrize("address", ADDRESSES if PROOF else ADDRESSES[:1])
@pytest.mark.parametrize("stock", [name for name in stock_names() if find_stock(name).copies > 1])
def test_a_dead_copy_is_told_on_every_stock_with_two(stock: str, address: str, content: Content) -> None:
    """Short addresses make small symbols, which stand farther apart in their own measure."""
    made, laid = content()._replace(address=address), find_stock(stock)
    layout = lay_out(made, laid)
    label = draw_label(made, layout).convert("L")
    first, last = layout.symbols
    module = 9 if address.isupper() else 8  # covered: more than a corner and its white
    ImageDraw.Draw(label).rectangle((last.left, last.top, last.left + 12 * module, last.top + 12 * module), fill=255)
    scale = min(1300 / label.width, 900 / label.height)
    picture = Image.new("L", (1600, 1200), 120)
    picture.paste(label.resize((round(label.width * scale), round(label.height * scale))), (150, 150))

    assert first.top == last.top
    assert seen(picture).copy_lost


def test_a_single_symbol_lacks_no_copy() -> None:
    """Nor with a smaller code of something else beside it, or with three rings in a row."""
    corner = symbol().crop((3 * MODULE, 3 * MODULE, 12 * MODULE, 12 * MODULE))
    rings = Image.new("L", (symbol().width, symbol().height), 255)
    for number in range(3):
        rings.paste(corner, (40 + number * 120, 170))
    strange = symbol("https://elsewhere.example/menu", covered=("right",)).resize((220, 220))

    for beside in ((), (strange,), (rings,)):
        assert not seen(photo(symbol(), *beside, turned=12)).copy_lost


@pytest.mark.parametrize("stock", stock_names())
def test_a_whole_label_is_good(stock: str, content: Content) -> None:
    """With one copy or two, and everything that is printed between them."""
    made, laid = content(), find_stock(stock)
    label = draw_label(made, lay_out(made, laid)).convert("L")
    scale = min(1100 / label.width, 750 / label.height)
    read = seen(photo(label.resize((round(label.width * scale), round(label.height * scale))), turned=8))

    assert (False, False) == (read.copy_lost, read.worn)


def test_a_picture_full_of_corners_costs_no_more_than_some_guesses() -> None:
    """Hundreds of finder patterns: anybody can send that."""
    corner = symbol().crop((3 * MODULE, 3 * MODULE, 12 * MODULE, 12 * MODULE))
    picture = Image.new("L", (1600, 1200), 255)
    for left in range(0, 1600, 45):
        for top in range(0, 1200, 45):
            picture.paste(corner.resize((45, 45)), (left, top))

    assert len(find_corners(darkened(picture, 60), 12)) == 12
    assert len(list(mended(picture))) == 32
