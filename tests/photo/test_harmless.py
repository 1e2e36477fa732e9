"""Photos of work made harmless: the picture is kept, and nothing else that was in the file."""

import struct
import zipfile
import zlib
from collections.abc import Callable
from io import BytesIO

import numpy as np
import pytest
from PIL import Image, PngImagePlugin

from torqueaudit.photo.harmless import LONGER_SIDE, MOST_AREAS, SMALL_SIDE, Area, make_harmless, read_areas
from torqueaudit.photo.pictures import MOST_BYTES, NotRead

SECRET = b"Quillerhof 7, yard behind"  # an invented place
GPS, DESCRIPTION, MAKER_NOTE, ORIENTATION = 0x8825, 0x010E, 0x927C, 0x0112

# Where the 0th row and the 0th column of what is stored lie in the upright picture: TIFF 6.0, tag 274 (from memory).
LIES = {
    1: ("top", "left"),
    2: ("top", "right"),
    3: ("bottom", "right"),
    4: ("bottom", "left"),
    5: ("left", "top"),
    6: ("right", "top"),
    7: ("right", "bottom"),
    8: ("left", "bottom"),
}


def picture(width: int = 640, height: int = 400) -> Image.Image:
    """A picture whose four quarters tell which way is up: red, green, blue, and grey at the right below."""
    made = Image.new("RGB", (width, height), (220, 0, 0))
    half, middle = width // 2, height // 2
    made.paste((0, 200, 0), (half, 0, width, middle))
    made.paste((0, 0, 220), (0, middle, half, height))
    made.paste((128, 128, 128), (half, middle, width, height))
    return made


def file(made: Image.Image, kind: str = "JPEG", **told: object) -> bytes:
    """The picture as a file."""
    target = BytesIO()
    made.save(target, kind, **told)
    return target.getvalue()


def opened(data: bytes) -> Image.Image:
    """What was made of it, decoded."""
    return Image.open(BytesIO(data))


def quarters(data: bytes) -> list[tuple[int, ...]]:
    """The colours in the middle of the quarters, each to the nearest 50."""
    made = opened(data)
    across, down = made.width // 4, made.height // 4
    places = [(across, down), (3 * across, down), (across, 3 * down), (3 * across, 3 * down)]
    return [tuple(round(level / 50) * 50 for level in colour(made, place)) for place in places]


def colour(made: Image.Image, place: tuple[int, int]) -> tuple[int, ...]:
    """Red, green and blue of one pixel."""
    found = made.getpixel(place)
    assert isinstance(found, tuple)
    return found


UPRIGHT = [(200, 0, 0), (0, 200, 0), (0, 0, 200), (150, 150, 150)]


def told_of_itself() -> Image.Exif:
    """What a telephone writes beside the picture: place, description, its own notes."""
    exif = Image.Exif()
    exif[DESCRIPTION] = SECRET.decode()
    exif.get_ifd(0x8769)[MAKER_NOTE] = SECRET
    place = exif.get_ifd(GPS)
    place[1], place[2] = "N", (48.0, 51.0, 24.5)
    place[28] = b"ASCII\0\0\0" + SECRET  # the name of the place
    return exif


def telephones() -> bytes:
    """A JPEG with place, comment, XMP, and a thumbnail behind its Exif."""
    xmp = b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><g:name>' + SECRET + b"</g:name></x:xmpmeta>"
    return file(picture(), exif=told_of_itself(), comment=SECRET, xmp=xmp, icc_profile=SECRET * 8)


def drawn() -> bytes:
    """A PNG with texts of all three kinds, a place, and a chunk that nobody knows."""
    texts = PngImagePlugin.PngInfo()
    texts.add_text("Comment", SECRET.decode())
    texts.add_text("Author", SECRET.decode(), zip=True)
    texts.add_itxt("Title", SECRET.decode())
    texts.add(b"prVt", SECRET, after_idat=True)
    return file(picture(), "PNG", pnginfo=texts, exif=told_of_itself())


@pytest.mark.parametrize("made", [telephones, drawn])
def test_nothing_is_left_but_the_picture(made: Callable[[], bytes]) -> None:
    """Place, comment, XMP, profile, texts: the bytes are looked for, and a JPEG reader finds no segment for them."""
    data = made()
    done = make_harmless(data)

    assert SECRET in data
    for kept in done:
        assert SECRET not in kept
        assert b"Exif" not in kept
        assert not opened(kept).getexif()
        assert {"jfif", "jfif_version", "jfif_unit", "jfif_density"} == opened(kept).info.keys()
        assert markers(kept) <= JFIF
        assert UPRIGHT == quarters(kept)


# Of a plain file: start, APP0, tables, frame, scan, end (ISO/IEC 10918-1 table B.1, from memory).
JFIF = frozenset({0xD8, 0xE0, 0xDB, 0xC0, 0xC4, 0xDA, 0xD9})


def markers(data: bytes) -> set[int]:
    """The marker of every segment of a JPEG, read by hand; those of the coded picture are not looked at."""
    found, at = {data[1]}, 2
    while data[at] == 0xFF and data[at + 1] != 0xDA:
        found.add(data[at + 1])
        at += 2 + struct.unpack(">H", data[at + 2 : at + 4])[0]
    return found | {data[at + 1], data[-1]}


@pytest.mark.parametrize("told", LIES)
@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_it_stands_upright(told: int, kind: str) -> None:
    """All eight orientations, stored as the standard describes them and turned back."""
    stored = np.asarray(picture())
    row, column = LIES[told]
    if row in {"left", "right"}:
        stored = stored.swapaxes(0, 1)
    stored = stored[::-1] if row in {"bottom", "right"} else stored
    stored = stored[:, ::-1] if column in {"right", "bottom"} else stored
    exif = Image.Exif()
    exif[ORIENTATION] = told
    done = make_harmless(file(Image.fromarray(stored), kind, exif=exif))

    assert (640, 400) == opened(done.photo).size
    assert UPRIGHT == quarters(done.photo) == quarters(done.small)


@pytest.mark.parametrize("told", [0, 9, 65535])
def test_an_orientation_that_there_is_not_turns_nothing(told: int) -> None:
    """As it is stored."""
    exif = Image.Exif()
    exif[ORIENTATION] = told
    assert UPRIGHT == quarters(make_harmless(file(picture(), exif=exif)).photo)


def test_what_a_file_says_of_itself_in_a_broken_way_spoils_nothing() -> None:
    """An Exif segment of rubbish is passed over."""
    data = file(picture(), exif=b"Exif\0\0MM\0*\xff\xff\xff\xff rubbish")
    assert UPRIGHT == quarters(make_harmless(data).photo)


@pytest.mark.parametrize(
    ("size", "kept", "small"),
    [
        ((4000, 3000), (2560, 1920), (320, 240)),
        ((3000, 4000), (1920, 2560), (240, 320)),
        ((16000, 500), (2560, 80), (320, 10)),
        ((200, 100), (200, 100), (200, 100)),
        ((1, 1), (1, 1), (1, 1)),
    ],
)
def test_it_is_as_large_as_it_has_to_be(size: tuple[int, int], kept: tuple[int, int], small: tuple[int, int]) -> None:
    """A photo of a telephone is made smaller, and a small one stays as it is."""
    done = make_harmless(file(Image.new("RGB", size, "grey")))

    assert (kept, small) == (opened(done.photo).size, opened(done.small).size)
    assert LONGER_SIDE >= max(kept)
    assert SMALL_SIDE >= max(small)


def test_the_same_file_gives_the_same_bytes() -> None:
    """So that it is kept once, and sending it again is the same act."""
    data = telephones()
    assert make_harmless(data) == make_harmless(data)


LEVELS: dict[str, int | tuple[int, ...]] = {
    "1": 1,
    "L": 128,
    "LA": (128, 255),
    "P": 7,
    "RGB": (128, 128, 128),
    "RGBA": (128, 128, 128, 255),
    "I;16": 32896,
}


@pytest.mark.parametrize("mode", LEVELS)
def test_every_kind_of_png_becomes_a_photo(mode: str) -> None:
    """A middle grey stays one, also of 16 bits."""
    level: object = {
        "1": 1,
        "P": 7,
        "LA": (128, 255),
        "RGB": (128,) * 3,
        "RGBA": (128,) * 3 + (255,),
        "I;16": 32896,
    }.get(mode, 128)
    made = Image.new(mode, (60, 40), level)  # type: ignore[arg-type]
    if mode == "P":
        made.putpalette([*[0] * 21, 128, 128, 128])
    seen = opened(make_harmless(file(made, "PNG")).photo).getpixel((30, 20))

    assert ((255,) * 3 if mode == "1" else (128,) * 3) == seen


@pytest.mark.parametrize("mode", ["L", "CMYK"])
def test_every_kind_of_jpeg_becomes_a_photo(mode: str) -> None:
    """Grey, and as a printer's program writes it."""
    made = Image.new("RGB", (60, 40), (128, 128, 128)).convert(mode)
    seen = colour(opened(make_harmless(file(made)).photo), (30, 20))

    assert all(abs(level - 128) <= 2 for level in seen)


def test_what_is_transparent_becomes_white() -> None:
    """And what lies under it is not shown."""
    made = Image.new("RGBA", (60, 40), (200, 0, 0, 0))
    assert (255, 255, 255) == opened(make_harmless(file(made, "PNG")).photo).getpixel((30, 20))


def test_an_area_is_black_in_both() -> None:
    """Nothing of what lay under it is in either file, and what lies beside it is as it was."""
    done = make_harmless(file(picture()), [Area(0, 0, 0.5, 0.5)])
    for kept in done:
        assert [(0, 0, 0), *UPRIGHT[1:]] == quarters(kept)


def test_an_area_is_told_of_the_upright_picture() -> None:
    """Whoever blacks out a plate sees the picture as it stands, and not as the camera was held."""
    exif = Image.Exif()
    exif[ORIENTATION] = 3
    done = make_harmless(file(picture().rotate(180), exif=exif), [Area(0, 0, 0.5, 0.5)])

    assert [(0, 0, 0), *UPRIGHT[1:]] == quarters(done.photo)


def test_areas_are_read_as_they_are_written() -> None:
    """Left, top, right, bottom."""
    assert (Area(0.1, 0.2, 0.5, 0.4), Area(0, 0, 1, 1)) == read_areas(["0.1,0.2,0.5,0.4", "0,0,1,1"])


@pytest.mark.parametrize(
    "text", ["", "0,0,1", "0,0,1,1,1", "0.5,0,0.5,1", "0,0,1,1.1", "-1,0,1,1", "nan,0,1,1", "a,b,c,d"]
)
def test_what_is_no_area_is_one_sentence(text: str) -> None:
    """Also one without extent, and one beyond the picture."""
    with pytest.raises(NotRead, match="is no area of a photo; write left, top, right and bottom as shares"):
        read_areas([text])


def test_more_areas_than_there_are_fields_are_refused() -> None:
    """Each costs time."""
    with pytest.raises(NotRead, match="49 areas are more than the 48"):
        read_areas(["0,0,1,1"] * (MOST_AREAS + 1))


def bomb(width: int, height: int) -> bytes:
    """A PNG of some hundred bytes that claims so many pixels, by hand (ISO/IEC 15948)."""

    def chunk(name: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    head = struct.pack(">IIBBBBB", width, height, 8, 6, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(bytes(9000))) + chunk(b"IEND", b"")
    )


def scans() -> bytes:
    """A progressive JPEG whose scans are there many times over, each as dear as a whole picture."""
    data = file(picture(), progressive=True)
    first = data.index(b"\xff\xda")
    return data[:first] + data[first:-2] * 200 + data[-2:]


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "is no photo that can be kept; send a JPEG or PNG that is whole"),
        (b"<html><script>alert(1)</script>", "is no photo that can be kept"),
        (file(picture(), "GIF"), "is no photo that can be kept"),
        (file(picture(), "WEBP"), "is no photo that can be kept"),
        (file(picture(), "TIFF"), "is no photo that can be kept"),
        (b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 9 9\n", "is no photo that can be kept"),
        (file(picture())[:2000], "is no photo that can be kept"),
        (file(picture(), "PNG")[:-600], "is no photo that can be kept"),
        (b"\xff\xd8\xff\xe0" + bytes(500), "is no photo that can be kept"),
        (scans(), "is no photo that can be kept"),
        (bomb(16000, 16000), "has more than 64 million pixels"),
        (bomb(30000, 500), "is longer than 16384 pixels"),
        (bomb(4001, 4000), "has more than 16 million pixels"),
        (bomb(4000, 4000), "is no photo that can be kept"),
        (file(picture()) + bytes(MOST_BYTES), "has more than 24 MB"),
    ],
    ids=[
        *("empty", "page", "gif", "webp", "tiff", "postscript", "cut jpeg", "cut png", "noughts", "scans"),
        *("bomb", "line", "much", "promise", "bytes"),
    ],
)
def test_what_is_no_photo_is_one_sentence(data: bytes, says: str) -> None:
    """By its content, whatever it is called."""
    with pytest.raises(NotRead, match=says):
        make_harmless(data)


def archive() -> bytes:
    """A ZIP file with a page in it."""
    target = BytesIO()
    with zipfile.ZipFile(target, "w") as made:
        made.writestr("page.html", SECRET)
    return target.getvalue()


@pytest.mark.parametrize("behind", [b"<html><script>" + SECRET + b"</script>", archive()], ids=["page", "archive"])
@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_what_lies_behind_a_picture_is_gone(behind: bytes, kind: str) -> None:
    """A file that is a picture and something else is a picture alone afterwards."""
    done = make_harmless(file(picture(), kind) + behind)

    for kept in done:
        assert SECRET not in kept
        assert not zipfile.is_zipfile(BytesIO(kept))
        assert kept.endswith(b"\xff\xd9")
        assert UPRIGHT == quarters(kept)


def test_a_picture_as_narrow_as_a_line_becomes_a_photo() -> None:
    """Its shorter side is less than one pixel where the longer one is as long as it may be."""
    assert LONGER_SIDE >= max(opened(make_harmless(file(picture(4, 16000))).photo).size)
