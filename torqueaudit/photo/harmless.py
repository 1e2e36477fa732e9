"""A photo of work or a picture of a procedure made harmless: upright, not too large, with nothing but the pixels in it.

Place, comments, thumbnails and whatever else a telephone writes into a file are left behind, because the pixels alone
are put into a new picture. Areas that show a plate or a face are black before anything is written.
"""

from collections.abc import Iterable
from io import BytesIO
from math import ceil
from typing import TYPE_CHECKING, NamedTuple
from warnings import catch_warnings

from torqueaudit.photo.pictures import MOST_BYTES, MOST_PIXELS, NotRead, require_pixels, require_scans, too_many, within

if TYPE_CHECKING:
    from PIL import Image

HARMLESS, SHOWN = "harmless", "shown"  # the words that ask another process for a photo of work, or for a picture
LONGER_SIDE, SMALL_SIDE = 2560, 320  # pixels of the photo that is kept, and of the small one
SHOWN_SIDE = 1280  # the same, of a picture that a page shows each time its work comes
MOST_AREAS = 48  # that one photo may have blacked out

_FORMATS = ("JPEG", "PNG")
_QUALITY, _SMALL_QUALITY = 85, 75
_NO_PHOTO = "this file is no photo that can be kept; send a JPEG or PNG that is whole"
_ORIENTATION = 0x0112  # of the tags of Exif (CIPA DC-008); values 1 to 8
_16_BITS = 256  # how many levels of such a picture are one of the kept one


class Area(NamedTuple):
    """A rectangle in shares of the width and of the height of the upright picture, from its left and its top."""

    left: float
    top: float
    right: float
    bottom: float


class Harmless(NamedTuple):
    """A photo as it is kept, and a small one of it: the bytes of two JPEG files."""

    photo: bytes
    small: bytes


def shape_of(picture: Harmless) -> tuple[int, int]:
    """The width and the height of a photo that was made harmless, in pixels of the small one."""
    from PIL import Image

    with Image.open(BytesIO(picture.small), formats=("JPEG",)) as small:
        return small.size


def can_be_drawn(kept: bytes) -> bool:
    """Whether a photo that was kept is a JPEG that a page can show."""
    from PIL import Image

    try:
        with Image.open(BytesIO(kept), formats=("JPEG",)) as picture:
            picture.load()
    except (OSError, ValueError):
        return False
    return True


def read_areas(texts: Iterable[str]) -> tuple[Area, ...]:
    """Areas as they are written, "0.1,0.2,0.5,0.4": left, top, right and bottom. Raises NotRead with a sentence."""
    areas = tuple(map(_area, texts))
    if len(areas) > MOST_AREAS:
        raise NotRead(f"{len(areas)} areas are more than the {MOST_AREAS} that one photo may have blacked out")
    return areas


def _area(text: str) -> Area:
    try:
        left, top, right, bottom = map(float, text.split(","))
    except ValueError:
        left = top = right = bottom = -1.0
    if not (0 <= left < right <= 1 and 0 <= top < bottom <= 1):
        says = "write left, top, right and bottom as shares from 0 to 1, such as 0.1,0.2,0.5,0.4"
        raise NotRead(f"“{text[:40]}” is no area of a photo; {says}")
    return Area(left, top, right, bottom)


def make_harmless(data: bytes, black: Iterable[Area] = (), side: int = LONGER_SIDE) -> Harmless:
    """The picture in a file, without anything else that is in it. Raises NotRead before anything large is made of it.

    Its longer side has no more than `side` pixels. The same file with the same areas gives the same bytes.
    """
    picture = _opened(data, side)
    for area in black:
        _blacken(picture, area)
    return Harmless(_written(picture, _QUALITY), _written(within(picture, SMALL_SIDE), _SMALL_QUALITY))


def _opened(data: bytes, side: int) -> "Image.Image":
    """The pixels, upright and in colour, in a picture that was made anew."""
    from PIL import Image, ImageFile, UnidentifiedImageError

    if len(data) > MOST_BYTES:
        raise NotRead(f"this photo has more than {MOST_BYTES // 2**20} MB; send a smaller one")
    require_scans(data, _NO_PHOTO)
    try:
        with catch_warnings(action="ignore"), Image.open(BytesIO(data), formats=_FORMATS) as photo:
            ImageFile.LOAD_TRUNCATED_IMAGES = False  # the library that sets pages allows it for the whole process
            require_pixels(photo)
            share = side / max(photo.size)
            width, height = (max(1, int(each * share)) for each in photo.size)
            photo.draft("RGB", (width, height))  # at half the size, or less
            return _anew(photo, side)
    except Image.DecompressionBombError as error:
        raise NotRead(too_many(MOST_PIXELS)) from error
    except (UnidentifiedImageError, OSError, SyntaxError, ValueError) as error:
        raise error if isinstance(error, NotRead) else NotRead(_NO_PHOTO) from error


def _anew(photo: "Image.Image", side: int) -> "Image.Image":
    from PIL import Image

    turn = _turn(photo)
    coloured = within(_in_colour(photo), side)
    upright = coloured if turn is None else coloured.transpose(turn)
    white = Image.new("RGB", upright.size, "white")  # what is transparent becomes white
    white.paste(upright, mask=upright.getchannel("A") if upright.mode == "RGBA" else None)
    return white


def _turn(photo: "Image.Image") -> "Image.Transpose | None":
    """How the picture is turned or sideways to stand upright; not at all where its orientation cannot be read."""
    from PIL import Image

    turns = Image.Transpose
    sideways = (turns.TRANSPOSE, turns.ROTATE_270, turns.TRANSVERSE, turns.ROTATE_90)
    ways = (None, turns.FLIP_LEFT_RIGHT, turns.ROTATE_180, turns.FLIP_TOP_BOTTOM, *sideways)
    try:
        told = photo.getexif().get(_ORIENTATION)
    except Exception:  # noqa: BLE001  # whatever is wrong with what the file says of itself
        return None
    return ways[told - 1] if isinstance(told, int) and 1 <= told <= len(ways) else None


def _in_colour(photo: "Image.Image") -> "Image.Image":
    """As red, green and blue, with what is transparent where the file tells it."""
    if photo.mode.startswith("I"):  # grey of 16 bits
        return photo.convert("I").point(lambda level: level * (1 / _16_BITS)).convert("L").convert("RGB")
    mode = "RGBA" if photo.has_transparency_data else "RGB"
    return photo if photo.mode == mode else photo.convert(mode)


def _blacken(picture: "Image.Image", area: Area) -> None:
    """Paint over an area, and over every pixel that it touches."""
    width, height = picture.size
    right, bottom = ceil(area.right * width), ceil(area.bottom * height)
    picture.paste("black", (int(area.left * width), int(area.top * height), right, bottom))


def _written(picture: "Image.Image", quality: int) -> bytes:
    target = BytesIO()
    picture.save(target, "JPEG", quality=quality)
    return target.getvalue()
