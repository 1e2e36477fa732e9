"""Labels in photos: 12 million pixels, turned any way, blurred, scratched, and files that are no photos."""

import os
import struct
import zlib
from functools import cache
from io import BytesIO
from itertools import pairwise

import numpy as np
import pytest
import zxingcpp
from PIL import Image, ImageDraw, ImageFilter

from torqueaudit.photo import MOST_BYTES, NotRead, read_photo

ADDRESS = "http://yard.local:8080/r/acdefhjkmnprtvwxy23"
TURNED = (0, 17, 45, 90, 133, 180, 251, 300) if "TORQUEAUDIT_PROOF" in os.environ else (0, 17, 133)


def symbol(scale: int, address: str = ADDRESS) -> Image.Image:
    """A symbol of so many pixels a module."""
    code = zxingcpp.create_barcode(address, zxingcpp.BarcodeFormat.QRCode, ec_level="H")
    return Image.fromarray(code.to_image(scale=scale, add_quiet_zones=True))


@cache
def noisy_bench(size: tuple[int, int]) -> Image.Image:
    """A grey bench, which is made once of each size; whoever lays something on it takes a copy."""
    noise = np.random.default_rng(12).normal(125, 12, (size[1], size[0])).clip(0, 255).astype(np.uint8)
    return Image.fromarray(noise)


def photo(*pictures: Image.Image, size: tuple[int, int] = (4000, 3000), turned: float = 0) -> Image.Image:
    """Labels on a noisy grey bench, side by side, the whole turned."""
    bench = noisy_bench(size).copy()
    for number, picture in enumerate(pictures):
        bench.paste(picture, (700 + 1200 * number, 900))
    return bench.rotate(turned, Image.Resampling.BILINEAR, fillcolor=125) if turned else bench


def file(picture: Image.Image, kind: str = "JPEG") -> bytes:
    """The picture as a file."""
    target = BytesIO()
    picture.save(target, kind)
    return target.getvalue()


@pytest.mark.proof
@pytest.mark.parametrize("turned", TURNED)
def test_a_photo_of_twelve_million_pixels_is_read_turned_any_way(turned: float) -> None:
    """A label of an eighth of the width, out of focus by three pixels."""
    blurred = photo(symbol(11), turned=turned).filter(ImageFilter.GaussianBlur(3))
    seen = read_photo(file(blurred))

    assert (ADDRESS, "r", "acdefhjkmnprtvwxy23") == (seen.address, seen.way, seen.key)
    assert seen.unused is not None
    assert seen.unused > 0.8
    assert not seen.worn


@pytest.mark.parametrize("kind", ["PNG", "WEBP"])
def test_other_files_of_photos_are_read(kind: str) -> None:
    """As telephones and programs send them."""
    assert read_photo(file(photo(symbol(8), size=(1600, 1400)), kind)).address == ADDRESS


def test_a_label_in_the_dark_is_read() -> None:
    """A tenth of the contrast, and a shadow across."""
    dark = photo(symbol(10), size=(2000, 1600)).point([40 + grey // 10 for grey in range(256)])
    dark.paste(Image.eval(dark.crop((0, 0, 900, 1600)), lambda grey: grey - 20), (0, 0))

    assert read_photo(file(dark)).address == ADDRESS


def test_a_scratched_label_is_read_with_retries() -> None:
    """Strokes through all three finder patterns, which no decoder finds at once."""
    scratched = symbol(16)
    draw, side = ImageDraw.Draw(scratched), scratched.width
    for at in (7.5, side / 16 - 7.5):
        draw.line((0, at * 16, side, at * 16), fill=255, width=9)
        draw.line((at * 16, 0, at * 16, side), fill=255, width=9)

    assert zxingcpp.read_barcodes(scratched) == []
    seen = read_photo(file(scratched))
    assert (ADDRESS, None, True) == (seen.address, seen.unused, seen.worn)


@pytest.mark.parametrize("shade", [0, 255])
def test_more_damage_never_gives_a_better_figure(shade: int) -> None:
    """A square that grows by a quarter of a module, on a label of four dots a module, until nothing is read."""
    left = [1.0]
    for side in range(4, 80):
        label = symbol(4)
        ImageDraw.Draw(label).rectangle((60, 60, 59 + side, 59 + side), fill=shade)
        try:
            seen = read_photo(file(label, "PNG"))
        except NotRead:
            break
        left.append(0.0 if seen.unused is None else seen.unused)

    assert all(later <= earlier + 0.1 for earlier, later in pairwise(left))  # half covered modules may fall either way
    assert left[-1] < 0.1
    assert len(left) > 40


@pytest.mark.parametrize("wrong", [1, 2])
def test_the_unused_error_correction_is_counted_by_codewords(wrong: int) -> None:
    """One module turned in each of the first codewords of a block: the last column of modules goes up, two wide.

    Version 5, level H: 4 blocks, 22 correction codewords each. Source: ISO/IEC 18004 (value from memory).
    """
    pixels = np.array(symbol(1))
    assert pixels.shape == (45, 45)
    for number in range(wrong):
        pixels[40 - 16 * number, 40] ^= 255  # a codeword has four rows, and each fourth is the first block's
    seen = read_photo(file(Image.fromarray(pixels).resize((450, 450), Image.Resampling.NEAREST), "PNG"))

    assert seen.unused == pytest.approx(1 - 2 * wrong / 22)


def test_a_second_symbol_that_cannot_be_read_is_told() -> None:
    """Its three corners are seen, its middle is gone; one symbol alone lacks nothing."""
    spoilt = symbol(10)
    ImageDraw.Draw(spoilt).rectangle((120, 120, 330, 330), fill=255)
    both, alone = read_photo(file(photo(spoilt, symbol(10)))), read_photo(file(photo(symbol(10))))

    assert (True, True) == (both.copy_lost, both.worn)
    assert (False, False) == (alone.copy_lost, alone.worn)


def test_the_less_worn_of_two_copies_counts() -> None:
    """One with a blot, one without."""
    worn = symbol(10)
    ImageDraw.Draw(worn).rectangle((150, 160, 290, 330), fill=0)
    both, alone = read_photo(file(photo(worn, symbol(10)))), read_photo(file(photo(worn)))

    assert both.unused is not None
    assert alone.unused is not None
    assert both.unused > alone.unused
    assert (both.worn, alone.worn) == (False, True)


def test_a_code_that_is_no_record_is_passed_over_and_told() -> None:
    """Beside a label it is passed over; alone it is said."""
    strange = symbol(10, "https://elsewhere.example/menu")

    assert read_photo(file(photo(strange, symbol(10)))).address == ADDRESS
    with pytest.raises(NotRead, match=r"says “https://elsewhere\.example/menu”, which is no record's address"):
        read_photo(file(photo(strange, size=(1300, 1400))))


def test_labels_of_two_records_are_not_guessed_between() -> None:
    """A record opened by chance would be the wrong one every other time."""
    other = symbol(10, ADDRESS.replace("xy23", "xy24"))

    with pytest.raises(NotRead, match="labels of more than one record; photograph one of them alone"):
        read_photo(file(photo(symbol(10), other)))


def test_what_is_transparent_in_a_picture_is_paper() -> None:
    """Black on nothing, as a drawing program saves it."""
    label = symbol(8)
    clear = Image.merge("LA", (Image.new("L", label.size, 0), label.point(lambda grey: 255 - grey)))

    assert read_photo(file(clear, "PNG")).unused == 1


@pytest.mark.parametrize(
    "text", ["http://[x", "https://a]b", "http://a℀b/", "http://yard.local:8080", "bar/acdefhjkmnprtvwxy23"]
)
def test_a_code_of_something_else_opens_nothing(text: str) -> None:
    """Nor does one that begins like an address and is none."""
    code = zxingcpp.create_barcode(text, zxingcpp.BarcodeFormat.QRCode, ec_level="M")

    with pytest.raises(NotRead, match="which is no record's address"):
        read_photo(file(Image.fromarray(code.to_image(scale=8, add_quiet_zones=True)), "PNG"))


@pytest.mark.parametrize("kind", [zxingcpp.BarcodeFormat.MicroQRCode, zxingcpp.BarcodeFormat.RMQRCode])
def test_a_small_or_flat_code_is_no_label(kind: zxingcpp.BarcodeFormat) -> None:
    """Labels carry the square symbol alone (ISO/IEC 18004, QR code model 2)."""
    code = zxingcpp.create_barcode("A/R/2", kind, ec_level="M")

    with pytest.raises(NotRead, match="no label was read"):
        read_photo(file(Image.fromarray(code.to_image(scale=12, add_quiet_zones=True)), "PNG"))


def test_a_code_packed_by_other_software_is_read_and_its_wear_is_unknown() -> None:
    """Digits packed apart let more into a symbol than our own drawing of it holds."""
    code = zxingcpp.create_barcode("http://10.0.0.1/R/2922327191673761262", zxingcpp.BarcodeFormat.QRCode, ec_level="M")
    seen = read_photo(file(Image.fromarray(code.to_image(scale=8, add_quiet_zones=True)), "PNG"))

    assert ("2922327191673761262", None) == (seen.key, seen.unused)


def bomb() -> bytes:
    """A PNG of 40 000 by 40 000 pixels in a few bytes."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", 40_000, 40_000, 8, 0, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"\0" * 1000)) + chunk(b"IEND", b"")
    )


def progressive(width: int, height: int) -> bytes:
    """A JPEG in several scans, each of which is of the whole picture."""
    target = BytesIO()
    Image.new("L", (width, height)).save(target, "JPEG", progressive=True)
    return target.getvalue()


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "is no photo"),
        (b"%PDF-1.7 not a photo", "is no photo"),
        (b'<svg xmlns="http://www.w3.org/2000/svg"/>', "is no photo"),
        (file(symbol(8))[:900], "is no photo|no label was read"),  # the second where the PDF renderer is loaded too
        (file(Image.new("L", (900, 900), 128)), "no label was read in this photo; wipe the label"),
        (bomb(), "more than 64 million pixels"),
        (file(Image.new("L", (9000, 8000))), "more than 64 million pixels"),
        (file(Image.new("L", (4001, 4000)), "PNG"), "more than 16 million pixels"),
        (progressive(4001, 4000), "more than 16 million pixels"),
        (file(Image.new("1", (1, 16_385)), "PNG"), "longer than 16384 pixels"),
        (file(Image.new("L", (900, 900)), "JPEG") + b"\xff\xda" * 200, "is no photo"),
        (b"\xff" * (MOST_BYTES + 1), "more than 24 MB"),
    ],
)
def test_what_is_no_photo_of_a_label_is_told(data: bytes, says: str) -> None:
    """One sentence, and nothing large was made of it."""
    with pytest.raises(NotRead, match=says):
        read_photo(data)
