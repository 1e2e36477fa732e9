"""Labels in photos: 12 million pixels, turned any way, blurred, scratched, and files that are no photos."""

import struct
import zlib
from io import BytesIO

import numpy as np
import pytest
import zxingcpp
from PIL import Image, ImageDraw, ImageFilter

from torqueaudit.photo import MOST_BYTES, NotRead, read_photo

ADDRESS = "http://yard.local:8080/r/acdefhjkmnprtvwxy23"


def symbol(scale: int, address: str = ADDRESS) -> Image.Image:
    """A symbol of so many pixels a module."""
    code = zxingcpp.create_barcode(address, zxingcpp.BarcodeFormat.QRCode, ec_level="H")
    return Image.fromarray(code.to_image(scale=scale, add_quiet_zones=True))


def photo(*pictures: Image.Image, size: tuple[int, int] = (4000, 3000), turned: float = 0) -> Image.Image:
    """Labels on a noisy grey bench, side by side, the whole turned."""
    noise = np.random.default_rng(12).normal(125, 12, (size[1], size[0])).clip(0, 255).astype(np.uint8)
    bench = Image.fromarray(noise)
    for number, picture in enumerate(pictures):
        bench.paste(picture, (700 + 1200 * number, 900))
    return bench.rotate(turned, Image.Resampling.BILINEAR, fillcolor=125) if turned else bench


def file(picture: Image.Image, kind: str = "JPEG") -> bytes:
    """The picture as a file."""
    target = BytesIO()
    picture.save(target, kind)
    return target.getvalue()


@pytest.mark.parametrize("turned", [0, 17, 45, 90, 133, 180, 251, 300])
def test_a_photo_of_twelve_million_pixels_is_read_turned_any_way(turned: float) -> None:
    """A label of an eighth of the width, out of focus by three pixels."""
    blurred = photo(symbol(11), turned=turned).filter(ImageFilter.GaussianBlur(3))
    seen = read_photo(file(blurred))

    assert (ADDRESS, "r", "acdefhjkmnprtvwxy23") == (seen.address, seen.way, seen.key)
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
    assert read_photo(file(scratched)).address == ADDRESS


def test_the_less_worn_of_two_copies_counts() -> None:
    """One with a blot, one without."""
    worn = symbol(10)
    ImageDraw.Draw(worn).rectangle((150, 160, 290, 330), fill=0)
    both, alone = read_photo(file(photo(worn, symbol(10)))), read_photo(file(photo(worn)))

    assert both.unused > alone.unused
    assert (both.worn, alone.worn) == (False, True)


def test_a_code_that_is_no_record_is_passed_over_and_told() -> None:
    """Beside a label it is passed over; alone it is said."""
    strange = symbol(10, "https://elsewhere.example/menu")

    assert read_photo(file(photo(strange, symbol(10)))).address == ADDRESS
    with pytest.raises(NotRead, match=r"says “https://elsewhere\.example/menu”, which is no record's address"):
        read_photo(file(photo(strange, size=(2000, 1600))))


def test_labels_of_two_records_are_not_guessed_between() -> None:
    """A record opened by chance would be the wrong one every other time."""
    other = symbol(10, ADDRESS.replace("xy23", "xy24"))

    with pytest.raises(NotRead, match="labels of more than one record; photograph one of them alone"):
        read_photo(file(photo(symbol(10), other)))


def bomb() -> bytes:
    """A PNG of 40 000 by 40 000 pixels in a few bytes."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", 40_000, 40_000, 8, 0, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"\0" * 1000)) + chunk(b"IEND", b"")
    )


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "is no photo"),
        (b"%PDF-1.7 not a photo", "is no photo"),
        (b'<svg xmlns="http://www.w3.org/2000/svg"/>', "is no photo"),
        (file(symbol(8))[:900], "is no photo|no label was read"),
        (file(Image.new("L", (900, 900), 128)), "no label was read in this photo; wipe the label"),
        (bomb(), "40000 × 40000 pixels, which is too many|is no photo"),
        (b"\xff" * (MOST_BYTES + 1), "more than 24 MB"),
    ],
)
def test_what_is_no_photo_of_a_label_is_told(data: bytes, says: str) -> None:
    """One sentence, and nothing large was made of it."""
    with pytest.raises(NotRead, match=says):
        read_photo(data)
