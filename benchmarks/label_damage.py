"""How much dirt does a label bear? Undamaged, with dirt and with scratches, read by zxing-cpp, OpenCV and `scan`.

The damage is described in damage.py beside this file; label number N is damaged with the seed N. Each symbol is cut
out of its label with ten modules of white around. OpenCV is tried as its plain and as its other detector. `scan` is
the program's own reading of a photo, with its retries. For stocks with two copies a label counts when any decoder
reads any copy. A copy counts as told when `scan` reads the other one on the whole label and says that one is lost.
Of a whole label dirt and scratches lie anywhere, and zxing-cpp alone stands for an owner's telephone.
"""

import sys
from collections.abc import Callable
from io import BytesIO
from random import Random
from typing import NamedTuple

import cv2
import numpy as np
import zxingcpp
from damage import (
    Dots,
    Symbol,
    corners_gone,
    dirt_anywhere,
    dirt_in_data,
    dirt_on_label,
    scratches,
    scratches_on_label,
    spot_on_corner,
)
from PIL import Image

from torqueaudit.model.register.token import grouped, new_token
from torqueaudit.model.shown.label import LabelContent
from torqueaudit.photo import NotRead, Seen, read_photo
from torqueaudit_plugins.qr_labels.calc.frame import Block
from torqueaudit_plugins.qr_labels.calc.layout import lay_out
from torqueaudit_plugins.qr_labels.calc.stock import Stock, find_stock
from torqueaudit_plugins.qr_labels.calc.symbol import QUIET_ZONE, draw_symbol
from torqueaudit_plugins.qr_labels.printing.thermal import draw_label

LABELS = 100
AROUND = 10  # modules of white around a symbol that is cut out
ONE, TWO = ("roll-50x30", "roll-57x32"), ("roll-62x29", "a4-3x8", "a4-2x7", "letter-3x10")
Damage = Callable[[Dots, Symbol, float, np.random.Generator], Dots]
LabelDamage = Callable[[Dots, int, float, np.random.Generator], Dots]


class Printed(NamedTuple):
    """One label as dots, what it says, and where its symbols are."""

    dots: Dots
    address: str
    symbols: tuple[Symbol, ...]


class Case(NamedTuple):
    """What is done to a symbol, and the least rate of each way of reading in percent."""

    name: str
    damage: Damage | None
    share: float
    least: dict[str, int]


CASES = (
    Case("undamaged", None, 0, {"zxing-cpp": 100, "OpenCV": 100}),
    Case("dirt over 4.6 % of the data area", dirt_in_data, 0.046, {"zxing-cpp": 90, "OpenCV": 90}),
    Case("dirt over 6.6 % of the data area", dirt_in_data, 0.066, {"zxing-cpp": 85, "OpenCV": 85}),
    Case("scratches over 4.9 %", scratches, 0.049, {"scan": 90}),
    Case("a spot on a corner", lambda dots, symbol, _, chance: spot_on_corner(dots, symbol, chance), 0, {"scan": 95}),
)


# Of a whole label: the damage, the share in percent, and the least rate of `scan`: 20 of 24.
WHOLE = (("dirt", dirt_on_label, 4.6), ("scratches", scratches_on_label, 4.9))
LEAST_WHOLE = 83


def label_of(number: int, stock: Stock) -> Printed:
    """A label as a printer without grey leaves it."""
    token = new_token(Random(number))
    address = f"http://yard.local:8080/r/{token}"
    content = LabelContent(title=f"job {number}", address=address, figure=str(number), token=grouped(token), lines=())
    layout = lay_out(content, stock)
    modules = draw_symbol(address, layout.level).width
    symbols = tuple(_symbol(block, modules, stock) for block in layout.blocks if block.role == "symbol")
    return Printed(np.array(draw_label(content, layout).convert("L")), address, symbols)


def _symbol(block: Block, modules: int, stock: Stock) -> Symbol:
    module = block.width // modules
    quiet = QUIET_ZONE * module
    return Symbol(
        left=block.left + quiet, top=block.top + quiet, module=module, modules=modules - 2 * QUIET_ZONE, dpi=stock.dpi
    )


def cut(dots: Dots, symbol: Symbol) -> Dots:
    """One symbol, with white around it."""
    square = dots[symbol.top : symbol.top + symbol.side, symbol.left : symbol.left + symbol.side]
    return np.pad(square, AROUND * symbol.module, constant_values=255)


def by_zxing(picture: Dots, address: str) -> bool:
    """At once, with the decoder's defaults."""
    return address in [each.text for each in zxingcpp.read_barcodes(picture, formats=KINDS)]


def by_opencv(picture: Dots, address: str) -> bool:
    """With either of its detectors."""
    return any(address == detector.detectAndDecode(picture)[0] for detector in (OPENCV, OPENCV_OTHER))


def by_scan(picture: Dots, address: str) -> bool:
    """As a photo, with retries."""
    seen = seen_in(picture)
    return seen is not None and seen.address == address


def seen_in(picture: Dots) -> Seen | None:
    """What `scan` says of it; None where it reads nothing."""
    file = BytesIO()
    Image.fromarray(picture).save(file, "PNG")
    try:
        return read_photo(file.getvalue())
    except NotRead:
        return None


KINDS = zxingcpp.BarcodeFormats([zxingcpp.BarcodeFormat.QRCode])
OPENCV, OPENCV_OTHER = cv2.QRCodeDetector(), cv2.QRCodeDetectorAruco()
WAYS = {"zxing-cpp": by_zxing, "OpenCV": by_opencv, "scan": by_scan}


def rates(case: Case, stock: Stock, labels: int) -> dict[str, float]:
    """The share of symbols that each way reads, in percent."""
    read = dict.fromkeys(WAYS, 0)
    for number in range(labels):
        label = label_of(number, stock)
        symbol, chance = label.symbols[0], np.random.default_rng(number)
        dots = case.damage(label.dots, symbol, case.share, chance) if case.damage else label.dots
        picture = cut(dots, symbol)
        for way, reads in WAYS.items():
            read[way] += reads(picture, label.address)
    return {way: 100 * count / labels for way, count in read.items()}


def any_copy(stock: Stock, share: float, labels: int) -> tuple[float, float]:
    """Dirt anywhere on every copy: the share of labels whose first copy, and any copy, is read by any way."""
    first = either = 0
    for number in range(labels):
        label, chance = label_of(number, stock), np.random.default_rng(number)
        dots = label.dots
        for symbol in label.symbols:
            dots = dirt_anywhere(dots, symbol, share, chance)
        read = [any(reads(cut(dots, each), label.address) for reads in WAYS.values()) for each in label.symbols]
        first += read[0]
        either += any(read)
    return 100 * first / labels, 100 * either / labels


def of_whole(stock: Stock, damage: LabelDamage, share: float, labels: int) -> dict[str, float]:
    """The share of whole labels that zxing-cpp alone and `scan` read, in percent."""
    read = dict.fromkeys(("zxing-cpp", "scan"), 0)
    for number in range(labels):
        label = label_of(number, stock)
        dots = damage(label.dots, stock.dpi, share, np.random.default_rng(number))
        picture = np.pad(dots, AROUND, constant_values=255)
        for way in read:
            read[way] += WAYS[way](picture, label.address)
    return {way: 100 * count / labels for way, count in read.items()}


def told(stock: Stock, gone: int, labels: int) -> float:
    """The share of labels of which a photo says that a copy is lost, where one has lost so many corners."""
    lost = 0
    for number in range(labels):
        label, chance = label_of(number, stock), np.random.default_rng(number)
        dots = corners_gone(label.dots, label.symbols[number % len(label.symbols)], gone, chance)
        seen = seen_in(np.pad(dots, AROUND, constant_values=255))
        lost += seen is not None and seen.copy_lost
    return 100 * lost / labels


def single(name: str, labels: int) -> bool:
    """Print how often one symbol is read; whether that is often enough."""
    good = True
    for case in CASES:
        found = rates(case, find_stock(name), labels)
        least = ", ".join(f"{way} {rate} %" for way, rate in case.least.items())
        print(f"damage: {name}: {case.name}: {_words(found)}; at least {least}")
        good &= all(found[way] >= rate for way, rate in case.least.items())
    return good


def whole(name: str, labels: int) -> bool:
    """Print how often a whole label is read; whether `scan` reads it often enough."""
    good = True
    for called, damage, share in WHOLE:
        found = of_whole(find_stock(name), damage, share / 100, labels)
        print(f"damage: {name}: whole label, {called} over {share} %: {_words(found)}; scan at least {LEAST_WHOLE} %")
        good &= found["scan"] >= LEAST_WHOLE
    return good


def copies(name: str, labels: int) -> bool:
    """Print what two copies are worth; whether that is enough."""
    stock = find_stock(name)
    one, either = any_copy(stock, 0.046, labels)
    print(f"damage: {name}: dirt anywhere over 4.6 %: one copy {one:.0f} %, two {either:.0f} %; at least 85 % of two")
    none, *spoilt = (told(stock, gone, labels) for gone in range(3))
    print(
        f"damage: {name}: corners gone from one copy: none, told {none:.0f} %; one, {spoilt[0]:.0f} %; "
        f"two, {spoilt[1]:.0f} %; at least 95 % of one or two, and none of whole ones"
    )
    return either >= 85 and not none and min(spoilt) >= 95  # noqa: PLR2004  # as printed


def _words(found: dict[str, float]) -> str:
    return ", ".join(f"{way} {rate:.0f} %" for way, rate in found.items())


def main() -> int:
    """Print the rates, of all stocks or of one; 1 when one lies below the least that is allowed."""
    labels = int(sys.argv[1]) if len(sys.argv) > 1 else LABELS
    chosen = sys.argv[2:] or [*ONE, *TWO]
    results = [part(name, labels) for name in chosen for part in (whole, single)]
    results += [copies(name, labels) for name in chosen if name in TWO]
    return int(not all(results))


if __name__ == "__main__":
    sys.exit(main())
