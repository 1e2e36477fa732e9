"""The program that reads one photo and ends, so that a picture made to harm spends its own time and memory alone.

    python -m torqueaudit.photo.child < PHOTO
    python -m torqueaudit.photo.child text < PHOTO
    python -m torqueaudit.photo.child harmless AREA... < PHOTO
    python -m torqueaudit.photo.child shown < PICTURE

The first prints one JSON object: what the label says (the fields of `Seen`), or why there is nothing (`not_read`). The
second prints what any one code says (`text`). The others print such a line with the sizes of two pictures (`photo`,
`small`), and their bytes behind it. It gives way to every other program, and the system ends it when it takes more
processor time than a photo needs.
"""

import json
import sys
from collections.abc import Mapping, Sequence
from contextlib import suppress

from torqueaudit.apart import limit
from torqueaudit.photo.decode import TEXT, read_photo, read_text
from torqueaudit.photo.harmless import LONGER_SIDE, SHOWN, SHOWN_SIDE, make_harmless, read_areas
from torqueaudit.photo.pictures import MOST_BYTES, TOO_LARGE, NotRead

MOST_SECONDS = 10  # of processor; what shows no label at all takes two
MOST_MEMORY = 160 * 1024 * 1024  # addresses, of which Python and the decoders take a tenth
MOST_IN_COLOUR = 192 * 1024 * 1024  # the same, for a photo that is not looked at in grey


def main() -> None:
    """Read a photo from standard input."""
    asked = sys.argv[1:]
    limit(MOST_MEMORY if asked in ([], [TEXT]) else MOST_IN_COLOUR, MOST_SECONDS)
    try:
        answer = _answer(sys.stdin.buffer.read(MOST_BYTES + 1), asked)
    except NotRead as error:
        answer = _line({"not_read": str(error)})
    except MemoryError:
        answer = _line({"not_read": TOO_LARGE})
    with suppress(BrokenPipeError):
        sys.stdout.buffer.write(answer)
        sys.stdout.buffer.flush()


def _answer(data: bytes, asked: Sequence[str]) -> bytes:
    if asked == [TEXT]:
        return _line({TEXT: read_text(data)})
    if not asked:
        return _line(read_photo(data)._asdict())
    word, *areas = asked
    done = make_harmless(data, read_areas(areas), SHOWN_SIDE if word == SHOWN else LONGER_SIDE)
    return _line({"photo": len(done.photo), "small": len(done.small)}) + done.photo + done.small


def _line(told: Mapping[str, object]) -> bytes:
    return json.dumps(told).encode() + b"\n"


if __name__ == "__main__":
    main()
