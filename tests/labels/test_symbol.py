"""The QR symbol against ISO/IEC 18004, and against two decoders that know nothing of each other."""

from random import Random
from typing import Any

import cv2
import numpy as np
import pytest
import qrcode
import zxingcpp
from PIL import Image
from qrcode import constants, util

from torqueaudit.model.register.token import new_token
from torqueaudit_plugins.qr_labels.calc.stock import LabelRefused
from torqueaudit_plugins.qr_labels.calc.symbol import draw_symbol, drawn, symbol_svg

# version → level → characters alphanumeric, byte. Source: ISO/IEC 18004 via reference values.
CAPACITY = {
    2: {"M": (38, 26), "Q": (29, 20), "H": (20, 14)},
    3: {"M": (61, 42), "Q": (47, 32), "H": (35, 24)},
    4: {"M": (90, 62), "Q": (67, 46), "H": (50, 34)},
    5: {"M": (122, 84), "Q": (87, 60), "H": (64, 44)},
}
LEVELS = {"M": constants.ERROR_CORRECT_M, "Q": constants.ERROR_CORRECT_Q, "H": constants.ERROR_CORRECT_H}


@pytest.mark.parametrize(("version", "level"), [(version, level) for version in CAPACITY for level in "MQH"])
def test_the_encoder_knows_the_capacities_of_the_standard(version: int, level: str) -> None:
    """Its table of bits, less 4 bits mode and 9 or 8 bits length; 11 bits hold two alphanumeric characters."""
    bits = util.BIT_LIMIT_TABLE[LEVELS[level]][version] - 4
    pairs, rest = divmod(bits - 9, 11)
    expected = CAPACITY[version][level]
    actual = (2 * pairs + (rest >= 6), (bits - 8) // 8)

    assert expected == actual


@pytest.mark.parametrize("version", CAPACITY)
def test_a_symbol_holds_what_the_standard_says(version: int) -> None:
    """Level H: the last character that fits, and one more; the side is 4 * version + 17 and 8 of quiet zone."""
    alphanumeric, byte = CAPACITY[version]["H"]
    side = 4 * version + 25

    assert side == draw_symbol("A" * alphanumeric).width == draw_symbol("a" * byte).width
    assert side + 4 == draw_symbol("A" * (alphanumeric + 1)).width == draw_symbol("a" * (byte + 1)).width


def test_a_symbol_is_level_h_with_its_quiet_zone() -> None:
    """One pixel per module, black and white, four modules of white around."""
    picture = draw_symbol("http://yard.local:8080/r/acdefhjkmnprtvwxy23")
    pixels = np.array(picture)
    [found] = zxingcpp.read_barcodes(picture.resize((450, 450), Image.Resampling.NEAREST))

    assert picture.mode == "L"
    assert {0, 255} == set(np.unique(pixels).tolist())
    assert (4, 4, picture.width - 4, picture.height - 4) == Image.fromarray(255 - pixels).getbbox()
    assert found.ec_level == "H"


ADDRESSES = (
    "http://yard.local:8080/r/acdefhjkmnprtvwxy2",
    "HTTP://YARD.LOCAL:8080/R/ACDEFHJKMNPRTVWXY2",
    "http://a.example/w/w-",
    "https://records.workshop.example/below/r/acdefhjkmnprtvwxy2",
)


@pytest.mark.parametrize("address", ADDRESSES)
@pytest.mark.parametrize("level", ["M", "Q", "H"])
def test_two_encoders_agree_on_every_module(address: str, level: str) -> None:
    """Those of `qrcode`, which draws, and of zxing-cpp, which chooses the mask."""
    for ending in "234679":
        other = zxingcpp.create_barcode(address + ending, zxingcpp.BarcodeFormat.QRCode, ec_level=level)
        others = np.array(other.to_image(scale=1, add_quiet_zones=True))

        assert np.array_equal(others, np.array(draw_symbol(address + ending, level)))


def test_the_size_does_not_depend_on_the_digits_of_a_token() -> None:
    """zxing-cpp packs runs of digits apart and gets a smaller symbol; then `qrcode` chooses the mask by itself."""
    digits, letters = (f"http://10.0.0.1/R/{token}" for token in ("2922327191673761262", "acdefhjkmnprtvwxyac"))
    smaller = zxingcpp.create_barcode(digits, zxingcpp.BarcodeFormat.QRCode, ec_level="M")
    alone = qrcode.QRCode(error_correction=LEVELS["M"], border=4)
    alone.add_data(digits, optimize=0)
    picture = draw_symbol(digits, "M")

    assert smaller.to_image(scale=1, add_quiet_zones=True).shape < (picture.height, picture.width)
    assert picture.size == draw_symbol(letters, "M").size
    assert [[not pixel for pixel in row] for row in np.array(picture).tolist()] == alone.get_matrix()


@pytest.mark.parametrize("base", ["http://192.168.178.123:8080/r/", "http://yard.local/r/"])
def test_the_decoder_of_another_maker_corrects_nothing(base: str) -> None:
    """Neither where both encoders agree nor where they do not."""
    for number in range(50):
        picture = draw_symbol(base + new_token(Random(number)))
        [found] = zxingcpp.read_barcodes(picture.resize((424, 424), Image.Resampling.NEAREST))
        told: Any = found.extra

        assert told["UEC"] == 1


def test_the_drawing_of_a_symbol_is_the_symbol() -> None:
    """Its path, drawn again, is the same dots; its title is escaped."""
    drawing = symbol_svg("http://a.example/r/a", "symbol of <job> & 12")
    expected = draw_symbol("http://a.example/r/a").resize((148, 148), Image.Resampling.NEAREST).convert("1")

    assert np.array_equal(np.array(expected), np.array(drawn(drawing)))
    assert "<title>symbol of &lt;job&gt; &amp; 12</title>" in drawing


def test_both_decoders_read_what_was_written() -> None:
    """zxing-cpp and OpenCV."""
    address = "https://workshop.example/r/acdefhjkmnprtvwxy23"
    picture = draw_symbol(address).resize((490, 490), Image.Resampling.NEAREST)
    [found] = zxingcpp.read_barcodes(picture)
    opencv, _, _ = cv2.QRCodeDetector().detectAndDecode(np.array(picture))

    assert address == found.text == opencv


@pytest.mark.parametrize("address", ["", "http://w\u00e4rkstatt/r/a", "http://a\n/r/b", "http://" + "a" * 2000])
def test_an_address_that_no_phone_opens_is_refused(address: str) -> None:
    """Empty, not ASCII, with a line break, or too long for any symbol."""
    with pytest.raises(LabelRefused, match="base address"):
        draw_symbol(address)
