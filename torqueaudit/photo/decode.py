"""Reading a photo: one picture of it after the other, until a label is read that leads to a record."""

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any, NamedTuple

from torqueaudit.model.shown.label import JOB, PERSON, WRENCH, record_key
from torqueaudit.photo.copies import copy_lost
from torqueaudit.photo.error_correction import unused_correction
from torqueaudit.photo.pictures import NotRead, open_photo, plain, repaired
from torqueaudit.photo.repair import mended

if TYPE_CHECKING:
    from PIL import Image

# Why the label of another workshop opens nothing here, where it has a number and no token.
NUMBERED = {
    WRENCH: "a wrench of this number in another workshop is another wrench",
    PERSON: "whoever has this number in another workshop is somebody else",
}
TEXT = "text"  # asks the other process for what a code says
WORN = 0.37  # unused error correction below which the next scratch may be one too many (reference measurements)


class Seen(NamedTuple):
    """What a label's symbol says: the address, the way and the key of its record, and what the damage has left.

    `unused` is the unused error correction of ISO/IEC 15415, from 1 (nothing damaged) to 0 (the last that is read);
    None where only a repaired picture was read, which says nothing of the label, or a symbol that is none of ours.
    `copy_lost`: a second symbol is there and cannot be read. `symbols`: so many were read plainly in one picture.
    """

    address: str
    way: str
    key: str
    unused: float | None
    copy_lost: bool = False
    symbols: int = 1

    @property
    def worn(self) -> bool:
        """Whether it is time to print a new label."""
        return self.unused is None or self.unused < WORN or self.copy_lost


class Try(NamedTuple):
    """Pictures made from one photo, to be read together; only those that are not repaired show the damage."""

    pictures: "Iterable[Image.Image]"
    repaired: bool


def read_photo(data: bytes) -> Seen:
    """Read the label in a photo (JPEG, PNG or WebP), turned any way. Raises NotRead.

    Of several symbols that lead to a record, such as two copies on one label, the least damaged one counts.
    """
    tries, others = _tries(open_photo(data)), set[str]()
    for each in tries:
        seen, strange = _read(each)
        if seen:
            best = _best(seen)
            return _looked_again(best, tries) if best.copy_lost else best
        others |= strange
    if others:
        # Anybody's code may hold signs that steer a terminal.
        text = "".join(sign if sign.isprintable() else "·" for sign in min(others)[:60])
        says = f"the code in this photo says “{text}”, which is no record's address"
        raise NotRead(f"{says}; photograph the label")
    raise NotRead(
        "no label was read in this photo; wipe the label, hold the telephone straight above it, or type its token"
    )


def read_text(data: bytes) -> str:
    """What the one code in a photo says, whatever that is, such as a part's lot. Raises NotRead."""
    for each in _tries(open_photo(data)):
        seen, strange = _read(each)
        texts = strange | {symbol.address for symbol in seen}
        if len(texts) > 1:
            raise NotRead("this photo shows several codes; photograph one of them alone")
        if texts:
            return texts.pop()
    raise NotRead("no square code was read in this photo; hold the telephone straight above it, or type what it says")


def another(address: str, way: str = JOB) -> str:
    """A sentence about a label of another book's; of a job its beginning, as no token is given twice."""
    carries = f"this label carries another address ({address:.80})"
    return f"{carries}; {NUMBERED[way]}" if way in NUMBERED else carries


def _tries(photo: "Image.Image") -> Iterator[Try]:
    """The photo as it is, then with a corner redrawn, then repaired."""
    yield from (Try([picture], repaired=False) for picture in plain(photo))
    yield Try(mended(photo), repaired=True)
    yield from (Try([picture], repaired=True) for picture in repaired(photo))


def _best(seen: list[Seen]) -> Seen:
    """The least damaged one. Raises NotRead where they lead to several records."""
    if len({(each.way, each.key) for each in seen}) > 1:
        raise NotRead("this photo shows labels of more than one record; photograph one of them alone")
    plain_ones = sum(each.unused is not None for each in seen)
    return max(seen, key=lambda each: each.unused or 0)._replace(symbols=max(1, plain_ones))


def _looked_again(seen: Seen, tries: Iterator[Try]) -> Seen:
    """With its copy lost, unless another size of the photo shows both. Raises NotRead where it is another's label."""
    for each in tries:
        again, _ = _read(each)
        best = _best([*again, seen._replace(copy_lost=False)])
        if each.repaired:
            break
        if len(again) > 1:
            return best._replace(symbols=len(again))
    return seen


def _read(tried: Try) -> tuple[list[Seen], set[str]]:
    """The symbols that lead to a record, and what the others say."""
    import zxingcpp

    kinds = zxingcpp.BarcodeFormats([zxingcpp.BarcodeFormat.QRCodeModel2])  # without its small and flat relatives
    read = []
    for picture in tried.pictures:
        found = [each for each in zxingcpp.read_barcodes(picture, formats=kinds) if each.valid]
        alone = sum(bool(record_key(each.text)[1]) for each in found) == 1
        read += [_seen(picture, each, alone=alone, repaired=tried.repaired) for each in found]
    return [each for each in read if each.key], {each.address for each in read if not each.key}


def _seen(picture: "Image.Image", symbol: Any, *, alone: bool, repaired: bool) -> Seen:
    way, key = record_key(symbol.text) if symbol.text.isprintable() else ("", "")
    if repaired or not key:
        return Seen(symbol.text, way, key, None)
    return Seen(
        address=symbol.text,
        way=way,
        key=key,
        unused=unused_correction(symbol),
        copy_lost=alone and copy_lost(picture, symbol),
    )
