"""A photo opened in grey, and the pictures made of it: other sizes, turned, and repaired."""

from collections.abc import Iterator
from io import BytesIO
from typing import TYPE_CHECKING
from warnings import catch_warnings

if TYPE_CHECKING:
    from PIL import Image

MOST_BYTES = 24 * 1024 * 1024  # a telephone's photo of 12 million pixels has 3 to 8
MOST_PIXELS = 64_000_000  # of a JPEG that may be decoded at a part of its size
MOST_WHOLE = 16_000_000  # of any other picture, which is decoded whole
MOST_SIDE = 16_384  # pixels; a line of millions takes more memory than a square of as many
MIDDLE, SMALL = 1600, 800  # pixels of the longer side

_LARGE, _FAIR, _TINY = 2400, 1200, 500  # the same
_JPEG, _SCAN = b"\xff\xd8", b"\xff\xda"
_OF_JPEG = frozenset({"JPEG", "MPO"})  # the second holds several, as telephones write for depth; the first is read
_MOST_SCANS = 100  # of a progressive JPEG; a telephone writes ten, and each costs as much as a whole picture
_STEPS = 7  # of closing; strokes of up to twice as many pixels vanish
_TURNS = (30, 60)  # degrees; decoders find a symbol at any angle, and noise hides it least along the rows


class NotRead(ValueError):
    """Why a photo opens no record: one sentence that says what to do."""


_NO_PHOTO = "this file is no photo that can be read; send a JPEG, PNG or WebP"
TOO_LARGE = "this photo takes too much memory to be read; send a smaller one"


def open_photo(data: bytes) -> "Image.Image":
    """The photo in grey. Raises NotRead before anything large is made of it."""
    from PIL import Image, UnidentifiedImageError

    if len(data) > MOST_BYTES:
        raise NotRead(f"this photo has more than {MOST_BYTES // 2**20} MB; send a smaller one")
    require_scans(data, _NO_PHOTO)
    try:
        with catch_warnings(action="ignore"), Image.open(BytesIO(data), formats=("JPEG", "PNG", "WEBP")) as photo:
            require_pixels(photo)
            photo.draft("L", (_LARGE, _LARGE))  # a JPEG is decoded at half the size, or less, in a quarter of the time
            return _in_grey(photo)
    except Image.DecompressionBombError as error:
        raise NotRead(too_many(MOST_PIXELS)) from error
    except (UnidentifiedImageError, OSError, SyntaxError, ValueError) as error:
        raise error if isinstance(error, NotRead) else NotRead(_NO_PHOTO) from error


def require_scans(data: bytes, says: str) -> None:
    """Raise NotRead with a sentence where a JPEG comes in more scans than a telephone writes."""
    if data.startswith(_JPEG) and data.count(_SCAN) > _MOST_SCANS:
        raise NotRead(says)


def require_pixels(photo: "Image.Image") -> None:
    """Raise NotRead where its pixels would take too much memory; as yet only its head was read."""
    if max(photo.size) > MOST_SIDE:
        raise NotRead(f"this photo is longer than {MOST_SIDE} pixels; send a smaller one")
    # A JPEG in several scans is put together whole before it can be made any smaller.
    in_parts = photo.format in _OF_JPEG and "progressive" not in photo.info
    most = MOST_PIXELS if in_parts else MOST_WHOLE
    if photo.width * photo.height > most:
        raise NotRead(too_many(most))


def too_many(most: int) -> str:
    """What is said of a photo with more pixels than that."""
    return f"this photo has more than {most // 10**6} million pixels; send a smaller one"


def _in_grey(photo: "Image.Image") -> "Image.Image":
    """What is transparent becomes white, as on the page it was drawn for."""
    from PIL import Image

    if not photo.has_transparency_data:
        return photo.convert("L")
    coloured = photo if photo.mode in {"RGBA", "LA"} else photo.convert("RGBA")
    white = Image.new("L", photo.size, 255)
    white.paste(coloured.convert("L"), mask=coloured.getchannel("A"))
    return white


def plain(photo: "Image.Image") -> Iterator["Image.Image"]:
    """The photo in several sizes and turned."""
    from PIL import Image

    middle, small = within(photo, MIDDLE), within(photo, SMALL)
    yield middle
    yield within(photo, _LARGE)
    yield small
    yield middle.resize((middle.width * 3 // 2, middle.height * 3 // 2), Image.Resampling.BICUBIC)
    for turn in _TURNS:
        yield small.rotate(turn, Image.Resampling.BICUBIC, expand=True, fillcolor=255)


def repaired(photo: "Image.Image") -> Iterator["Image.Image"]:
    """What helps against blur, glare, scratches, dirt and noise, the likeliest first."""
    from PIL import ImageFilter, ImageOps

    middle = within(photo, MIDDLE)
    yield ImageOps.autocontrast(middle, cutoff=2)
    for size in (3, 5):
        yield middle.filter(ImageFilter.MedianFilter(size))
    for radius in (1, 2, 3):
        yield middle.filter(ImageFilter.GaussianBlur(radius))
    yield _evened(middle)
    yield from _closed(_fair(photo))
    yield ImageOps.autocontrast(within(photo, SMALL), cutoff=2)


def _fair(photo: "Image.Image") -> "Image.Image":
    """The photo in a size in which a module has enough pixels to be closed step by step, and no more than needed."""
    from PIL import Image

    if max(photo.size) > _TINY:
        return within(photo, _FAIR)
    return photo.resize((photo.width * 3, photo.height * 3), Image.Resampling.BICUBIC)


def _closed(picture: "Image.Image") -> Iterator["Image.Image"]:
    """Light strokes closed, wider ones at each step: a scratch is narrower than a module and goes first."""
    from PIL import ImageFilter

    for step in range(1, _STEPS + 1):
        picture = picture.filter(ImageFilter.MinFilter(3))
        closed = picture
        for _ in range(step):
            closed = closed.filter(ImageFilter.MaxFilter(3))
        yield closed


def within(photo: "Image.Image", most: int) -> "Image.Image":
    """No larger than `most` pixels on its longer side."""
    from PIL import Image

    share = most / max(photo.size)
    if share >= 1:
        return photo
    size = (max(1, round(photo.width * share)), max(1, round(photo.height * share)))
    return photo.resize(size, Image.Resampling.BOX)


def _evened(picture: "Image.Image") -> "Image.Image":
    """Each pixel against its neighbourhood, which takes out shadows and glare."""
    from PIL import ImageOps

    return ImageOps.autocontrast(against_surroundings(picture, 40), cutoff=1)


def against_surroundings(picture: "Image.Image", share: int) -> "Image.Image":
    """How much lighter each pixel is than what lies around it: 128 where it is the same.

    Around it is what is no farther away than the longer side divided by `share`, or than eight pixels.
    """
    from PIL import ImageChops, ImageFilter

    around = picture.filter(ImageFilter.BoxBlur(max(8, max(picture.size) // share)))
    return ImageChops.subtract(picture, around, 1, 128)
