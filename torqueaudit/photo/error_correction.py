"""How much of a symbol's error correction the damage has left (ISO/IEC 15415, unused error correction).

Counted here and not taken from the decoder: decision 0043.
"""

from collections import Counter
from collections.abc import Sequence
from functools import lru_cache
from typing import Any

_MEDIUM = 0  # error correction level M, as `qrcode` counts; the places of the codewords are those of any level


def unused_correction(symbol: Any) -> float | None:
    """The unused error correction of the block that has the least; None where the symbol is no label's.

    The decoder's own figure is not used: it writes 9 % as 0.9 and 5 % as 0.5, so that a label seems good just before it
    fails. Here the modules as they were seen are compared with those of the symbol drawn anew.
    """
    from qrcode.base import rs_blocks

    version, level = int(symbol.extra["Version"]), {"L": 1, "M": 0, "Q": 3, "H": 2}[symbol.extra["ECLevel"]]
    seen, drawn = memoryview(symbol.to_image(scale=1, add_quiet_zones=False)), _drawn_anew(symbol, version, level)
    side = 4 * version + 17
    if drawn is None or seen.shape != (side, side):
        return None
    numbers, blocks = _codewords(version), rs_blocks(version, level)
    wrong = {
        numbers[row][column]
        for row in range(side)
        for column in range(side)
        if (seen[row, column] == 0) != bool(drawn[row][column])
    }
    owners = _owners([(block.total_count, block.data_count) for block in blocks])
    errors = Counter(owners[number - 1] for number in wrong if 0 < number <= len(owners))
    least = min(1 - 2 * errors[place] / (block.total_count - block.data_count) for place, block in enumerate(blocks))
    return least if least >= 0 else None


def _drawn_anew(symbol: Any, version: int, level: int) -> Sequence[Sequence[bool | None]] | None:
    """The modules as our labels have them; None where other software packed more into the symbol than that holds."""
    from qrcode.exceptions import DataOverflowError
    from qrcode.main import QRCode

    code = QRCode(version, level, mask_pattern=int(symbol.extra["DataMask"]))
    code.add_data(symbol.text, optimize=0)
    try:
        code.make(fit=False)
    except DataOverflowError:
        return None
    return list(code.modules)


@lru_cache(maxsize=8)
def _codewords(version: int) -> list[list[int]]:
    """For each module the number of its codeword from 1; 0 for patterns and what no codeword fills.

    Codewords that hold one bit of their own number each are placed, once for every bit.
    """
    from qrcode.base import rs_blocks
    from qrcode.main import QRCode

    total = sum(block.total_count for block in rs_blocks(version, _MEDIUM))

    def placed(bit: int | None) -> list[list[bool]]:
        code = QRCode(version, _MEDIUM)
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
