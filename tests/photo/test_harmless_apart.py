"""A photo of work made harmless in a process of its own: what comes back, and that its limits hold."""

import sys
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image

from torqueaudit.photo import Area, NotRead, make_harmless_apart
from torqueaudit.photo.harmless import make_harmless


def kept(folder: Path, picture: Image.Image, kind: str) -> Path:
    """A picture in a file."""
    place = folder / "photo"
    picture.save(place, kind)
    return place


def test_it_is_made_as_in_this_process(tmp_path: Path) -> None:
    """Byte for byte, with the areas that were told."""
    place = kept(tmp_path, Image.new("RGB", (400, 300), (10, 90, 200)), "JPEG")
    areas = [Area(0, 0, 0.1 + 0.2, 0.5), Area(0.9, 0.9, 1, 1)]
    with place.open("rb") as file:
        apart = make_harmless_apart(file, areas)

    assert make_harmless(place.read_bytes(), areas) == apart


def test_what_is_no_photo_is_told_with_the_same_sentence(tmp_path: Path) -> None:
    """And nothing comes back."""
    place = tmp_path / "photo"
    place.write_text("<html>")
    with pytest.raises(NotRead, match="is no photo that can be kept; send a JPEG or PNG"), place.open("rb") as file:
        make_harmless_apart(file)


def test_a_photo_that_takes_too_long_is_given_up(tmp_path: Path) -> None:
    """By the clock, where other programs leave it no processor."""
    place = kept(tmp_path, Image.new("RGB", (40, 30)), "PNG")
    with pytest.raises(NotRead, match="takes too long to read; take it anew"), place.open("rb") as file:
        make_harmless_apart(file, seconds=0.01)


@pytest.mark.skipif(sys.platform != "linux", reason="elsewhere the system keeps no limit of memory")
def test_a_picture_that_takes_too_much_memory_is_refused(tmp_path: Path) -> None:
    """As many pixels as may be, in the mode that takes four copies of them; without limits it is made harmless."""
    place = kept(tmp_path, Image.new("LA", (4000, 4000), (200, 30)), "PNG")
    with pytest.raises(NotRead, match="takes too much memory to be read"), place.open("rb") as file:
        make_harmless_apart(file, seconds=600)

    assert (2560, 2560) == Image.open(BytesIO(make_harmless(place.read_bytes()).photo)).size


def test_a_large_photo_of_a_telephone_fits_into_the_limits(tmp_path: Path) -> None:
    """50 million pixels, of which a quarter is decoded."""
    place = kept(tmp_path, Image.effect_noise((8160, 6120), 20).convert("RGB"), "JPEG")
    with place.open("rb") as file:
        done = make_harmless_apart(file, seconds=600)

    assert place.stat().st_size > 8_000_000
    assert (2560, 1920) == Image.open(BytesIO(done.photo)).size
