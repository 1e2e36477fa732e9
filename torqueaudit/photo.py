"""The label in a photo: found, decoded, and how much of its error correction the dirt has left.

A photo comes from anybody's telephone, so its bytes and its pixels are limited before anything is decoded. It is held
only while it is read.
"""

from collections.abc import Iterator
from io import BytesIO
from typing import TYPE_CHECKING, Any, NamedTuple

from torqueaudit.model.label import record_key

if TYPE_CHECKING:
    from PIL import Image

MOST_BYTES = 24 * 1024 * 1024  # a telephone's photo of 12 million pixels has 3 to 8
MOST_PIXELS = 64_000_000
WORN = 0.37  # unused error correction below which the next scratch may be one too many (reference measurements)

_LARGE, _MIDDLE, _FAIR, _SMALL, _TINY = 2400, 1600, 1200, 800, 500  # pixels of the longer side
_STEPS = 7  # of closing; strokes of up to twice as many pixels vanish
_TURNS = (30, 60)  # degrees; decoders find a symbol at any angle, and noise hides it least along the rows


class NotRead(ValueError):
    """Why a photo opens no record: one sentence that says what to do."""


class Seen(NamedTuple):
    """What a label's symbol says: the address, the way and the key of its record, and what the damage has left.

    `unused` is the unused error correction of ISO/IEC 15415, from 1 (nothing damaged) to 0 (the last that is read).
    """

    address: str
    way: str
    key: str
    unused: float

    @property
    def worn(self) -> bool:
        """Whether it is time to print a new label."""
        return self.unused < WORN


def read_photo(data: bytes) -> Seen:
    """Read the label in a photo (JPEG, PNG or WebP), turned any way. Raises NotRead.

    Of several symbols that lead to a record, such as two copies on one label, the least damaged one counts.
    """
    photo, others = _opened(data), set[str]()
    for picture in _tries(photo):
        seen, strange = _read(picture)
        if len({(each.way, each.key) for each in seen}) > 1:
            raise NotRead("this photo shows labels of more than one record; photograph one of them alone")
        if seen:
            return max(seen, key=lambda each: each.unused)
        others |= strange
    if others:
        says = f"the code in this photo says “{min(others):.60}”, which is no record's address"
        raise NotRead(f"{says}; photograph the label")
    raise NotRead(
        "no label was read in this photo; wipe the label, hold the telephone straight above it, or type its token"
    )


def _opened(data: bytes) -> "Image.Image":
    """The photo in grey. Raises NotRead before anything large is made of it."""
    from PIL import Image, UnidentifiedImageError

    if len(data) > MOST_BYTES:
        raise NotRead(f"this photo has more than {MOST_BYTES // 2**20} MB; send a smaller one")
    try:
        with Image.open(BytesIO(data), formats=("JPEG", "PNG", "WEBP")) as photo:
            if photo.width * photo.height > MOST_PIXELS:
                size = f"{photo.width} × {photo.height} pixels"
                raise NotRead(f"this photo has {size}, which is too many; send a smaller one")
            photo.draft("L", (_LARGE, _LARGE))  # a JPEG is decoded at half the size, or less, in a quarter of the time
            return photo.convert("L")
    except (UnidentifiedImageError, OSError, SyntaxError, ValueError, Image.DecompressionBombError) as error:
        if isinstance(error, NotRead):
            raise
        raise NotRead("this file is no photo that can be read; send a JPEG, PNG or WebP") from error


def _tries(photo: "Image.Image") -> Iterator["Image.Image"]:
    """The photo, and then what helps against blur, glare, scratches, dirt and noise, the likeliest first."""
    from PIL import Image, ImageFilter, ImageOps

    middle = _within(photo, _MIDDLE)
    yield middle
    yield _within(photo, _LARGE)
    yield ImageOps.autocontrast(middle, cutoff=2)
    for size in (3, 5):
        yield middle.filter(ImageFilter.MedianFilter(size))
    for radius in (1, 2, 3):
        yield middle.filter(ImageFilter.GaussianBlur(radius))
    yield _evened(middle)
    yield from _closed(_fair(photo))
    small = _within(photo, _SMALL)
    yield small
    yield ImageOps.autocontrast(small, cutoff=2)
    yield middle.resize((middle.width * 3 // 2, middle.height * 3 // 2), Image.Resampling.BICUBIC)
    for turn in _TURNS:
        yield small.rotate(turn, Image.Resampling.BICUBIC, expand=True, fillcolor=255)


def _fair(photo: "Image.Image") -> "Image.Image":
    """Of a size at which a module has enough pixels to be closed step by step, and there are not too many."""
    from PIL import Image

    if max(photo.size) > _TINY:
        return _within(photo, _FAIR)
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


def _within(photo: "Image.Image", most: int) -> "Image.Image":
    """No larger than `most` pixels on its longer side."""
    from PIL import Image

    share = most / max(photo.size)
    if share >= 1:
        return photo
    size = (max(1, round(photo.width * share)), max(1, round(photo.height * share)))
    return photo.resize(size, Image.Resampling.BOX)


def _evened(picture: "Image.Image") -> "Image.Image":
    """Each pixel against its neighbourhood, which takes out shadows and glare."""
    from PIL import ImageChops, ImageFilter, ImageOps

    around = picture.filter(ImageFilter.BoxBlur(max(4, max(picture.size) // 40)))
    return ImageOps.autocontrast(ImageChops.subtract(picture, around, 1, 128), cutoff=1)


def _read(picture: "Image.Image") -> tuple[list[Seen], set[str]]:
    """The symbols that lead to a record, and what the others say."""
    import zxingcpp

    kinds = zxingcpp.BarcodeFormats([zxingcpp.BarcodeFormat.QRCode])
    found = [each for each in zxingcpp.read_barcodes(picture, formats=kinds) if each.valid]
    read = [Seen(each.text, *record_key(each.text), _unused(each.extra)) for each in found]
    return [each for each in read if each.key], {each.address for each in read if not each.key}


def _unused(extra: Any) -> float:
    """What the decoder says of a symbol beside its text."""
    return float(extra.get("UEC", 0))
