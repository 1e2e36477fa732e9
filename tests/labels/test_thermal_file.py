"""The PNG of a thermal label is what a reader of another maker takes it for."""

from io import BytesIO
from random import Random

import pytest
from PIL import Image

from torqueaudit_plugins.qr_labels.calc.stock import find_stock
from torqueaudit_plugins.qr_labels.printing.thermal import write_png


@pytest.mark.parametrize("size", [(1, 1), (7, 3), (8, 8), (733, 342)])
def test_the_dots_are_read_as_they_were_written(size: tuple[int, int]) -> None:
    """Source: Pillow's own reader of PNG, which shares no code with the writer."""
    row = (size[0] + 7) // 8
    picture = Image.frombytes("1", size, Random(size[0]).randbytes(row * size[1]))
    data = write_png(picture, find_stock("roll-62x29"))
    with Image.open(BytesIO(data)) as read:
        assert ("1", size) == (read.mode, read.size)
        assert picture.tobytes() == read.tobytes()
