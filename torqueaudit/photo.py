"""The label in a photo: found, decoded, and how much of its error correction the dirt has left.

A photo comes from anybody's telephone, so its bytes and its pixels are limited before anything is decoded. It is held
only while it is read.
"""

from collections import Counter
from collections.abc import Iterator
from functools import lru_cache
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

    `unused` is the unused error correction of ISO/IEC 15415, from 1 (nothing damaged) to 0 (the last that is read);
    None where only a repaired picture was read, which says nothing of the label. `copy_lost`: a second symbol is there
    and cannot be read.
    """

    address: str
    way: str
    key: str
    unused: float | None
    copy_lost: bool = False

    @property
    def worn(self) -> bool:
        """Whether it is time to print a new label."""
        return self.unused is None or self.unused < WORN or self.copy_lost


def read_photo(data: bytes) -> Seen:
    """Read the label in a photo (JPEG, PNG or WebP), turned any way. Raises NotRead.

    Of several symbols that lead to a record, such as two copies on one label, the least damaged one counts.
    """
    photo, others = _opened(data), set[str]()
    for repaired, picture in _tries(photo):
        seen, strange = _read(picture, repaired=repaired)
        if len({(each.way, each.key) for each in seen}) > 1:
            raise NotRead("this photo shows labels of more than one record; photograph one of them alone")
        if seen:
            return max(seen, key=lambda each: each.unused or 0)
        others |= strange
    if others:
        says = f"the code in this photo says “{min(others):.60}”, which is no record's address"
        raise NotRead(f"{says}; photograph the label")
    raise NotRead(
        "no label was read in this photo; wipe the label, hold the telephone straight above it, or type its token"
    )


def another(address: str) -> str:
    """The beginning of a sentence about a label of another book's."""
    return f"this label carries another address ({address:.80})"


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


def _tries(photo: "Image.Image") -> "Iterator[tuple[bool, Image.Image]]":
    """The photo as it is, and then repaired, which the first of each pair says: only the former shows the damage."""
    yield from ((False, picture) for picture in _plain(photo))
    yield from ((True, picture) for picture in _repaired(photo))


def _plain(photo: "Image.Image") -> Iterator["Image.Image"]:
    """The photo in several sizes and turned."""
    from PIL import Image

    middle, small = _within(photo, _MIDDLE), _within(photo, _SMALL)
    yield middle
    yield _within(photo, _LARGE)
    yield small
    yield middle.resize((middle.width * 3 // 2, middle.height * 3 // 2), Image.Resampling.BICUBIC)
    for turn in _TURNS:
        yield small.rotate(turn, Image.Resampling.BICUBIC, expand=True, fillcolor=255)


def _repaired(photo: "Image.Image") -> Iterator["Image.Image"]:
    """What helps against blur, glare, scratches, dirt and noise, the likeliest first."""
    from PIL import ImageFilter, ImageOps

    middle = _within(photo, _MIDDLE)
    yield ImageOps.autocontrast(middle, cutoff=2)
    for size in (3, 5):
        yield middle.filter(ImageFilter.MedianFilter(size))
    for radius in (1, 2, 3):
        yield middle.filter(ImageFilter.GaussianBlur(radius))
    yield _evened(middle)
    yield from _closed(_fair(photo))
    yield ImageOps.autocontrast(_within(photo, _SMALL), cutoff=2)


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


def _read(picture: "Image.Image", *, repaired: bool) -> tuple[list[Seen], set[str]]:
    """The symbols that lead to a record, and what the others say."""
    import zxingcpp

    kinds = zxingcpp.BarcodeFormats([zxingcpp.BarcodeFormat.QRCode])
    found = [each for each in zxingcpp.read_barcodes(picture, formats=kinds) if each.valid]
    read = []
    for each in found:
        way, key = record_key(each.text)
        if repaired or not key:
            read.append(Seen(each.text, way, key, None))
            continue
        every = zxingcpp.read_barcodes(picture, formats=kinds, return_errors=True) if len(found) == 1 else []
        lost = any(_is_copy(each, other) for other in every if not other.valid)
        read.append(Seen(each.text, way, key, _unused(each), lost))
    return [each for each in read if each.key], {each.address for each in read if not each.key}


def _is_copy(read: Any, lost: Any) -> bool:
    """Whether a symbol that was found and not read is as large as the one that was, and beside it."""
    (x, y, side), (other_x, other_y, other_side) = _where(read), _where(lost)
    return abs(other_side - side) < side / 5 and max(abs(other_x - x), abs(other_y - y)) > side * 0.9


def _where(symbol: Any) -> tuple[float, float, float]:
    """The middle of a symbol and its side, in pixels."""
    place = symbol.position
    first, second, third = place.top_left, place.top_right, place.bottom_right
    side = ((second.x - first.x) ** 2 + (second.y - first.y) ** 2) ** 0.5
    return (first.x + third.x) / 2, (first.y + third.y) / 2, side


def _unused(symbol: Any) -> float | None:
    """The unused error correction of the block that has the least; None where the symbol is no label's.

    The decoder's own figure is not used: it writes 9 % as 0.9 and 5 % as 0.5, so that a label seems good just before it
    fails. Here the modules as they were seen are compared with those of the symbol drawn anew.
    """
    from qrcode.base import rs_blocks
    from qrcode.main import QRCode

    told = symbol.extra
    version, level = int(told["Version"]), {"L": 1, "M": 0, "Q": 3, "H": 2}[told["ECLevel"]]
    code = QRCode(version, level, mask_pattern=int(told["DataMask"]))
    seen = symbol.to_image(scale=1, add_quiet_zones=False)
    side = 4 * version + 17
    blocks = rs_blocks(version, level)
    if memoryview(seen).shape != (side, side):
        return None
    code.add_data(symbol.text, optimize=0)
    code.make(fit=False)
    dark = memoryview(seen)
    numbers = _codewords(version)
    wrong = {
        numbers[row][column]
        for row in range(side)
        for column in range(side)
        if (dark[row, column] == 0) != bool(code.modules[row][column])
    }
    owners = _owners([(block.total_count, block.data_count) for block in blocks])
    errors = Counter(owners[number - 1] for number in wrong if 0 < number <= len(owners))
    least = min(1 - 2 * errors[place] / (block.total_count - block.data_count) for place, block in enumerate(blocks))
    return least if least >= 0 else None


@lru_cache(maxsize=8)
def _codewords(version: int) -> list[list[int]]:
    """For each module the number of its codeword from 1; 0 for patterns and what no codeword fills.

    Codewords that hold one bit of their own number each are placed, once for every bit.
    """
    from qrcode.base import rs_blocks
    from qrcode.main import QRCode

    total = sum(block.total_count for block in rs_blocks(version, 0))

    def placed(bit: int | None) -> list[list[bool]]:
        code = QRCode(version, 0)
        code.data_cache = [255 if bit is not None and number >> bit & 1 else 0 for number in range(1, total + 1)]
        code.makeImpl(False, 0)  # noqa: FBT003 (the library's parameter)
        return [list(map(bool, row)) for row in code.modules]

    blank, side = placed(None), 4 * version + 17
    numbers = [[0] * side for _ in range(side)]
    for bit in range(total.bit_length()):
        for row, (one, none) in enumerate(zip(placed(bit), blank, strict=True)):
            for column in range(side):
                numbers[row][column] |= (one[column] != none[column]) << bit
    return numbers


def _owners(blocks: list[tuple[int, int]]) -> list[int]:
    """The block of each codeword in the order of the symbol (ISO/IEC 18004: data interleaved, then correction)."""
    data = [(at, place) for place, (_, count) in enumerate(blocks) for at in range(count)]
    correction = [(at, place) for place, (total, count) in enumerate(blocks) for at in range(total - count)]
    return [place for _, place in sorted(data) + sorted(correction)]
