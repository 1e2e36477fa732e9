"""The QR symbol against ISO/IEC 18004, and against two decoders that know nothing of each other."""

import cv2
import numpy as np
import pytest
import zxingcpp
from PIL import Image
from qrcode import constants, util

from torqueaudit_plugins.qr_labels.stock import LabelRefused
from torqueaudit_plugins.qr_labels.symbol import draw_symbol

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
