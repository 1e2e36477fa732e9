"""A photo read in a process of its own: what comes back, and that its limits hold."""

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
import zxingcpp
from PIL import Image

from torqueaudit.photo import NotRead, read_apart, read_photo
from torqueaudit.photo.child import MOST_MEMORY, MOST_SECONDS

ADDRESS = "http://yard.local:8080/r/acdefhjkmnprtvwxy23"
LINUX = pytest.mark.skipif(sys.platform != "linux", reason="elsewhere the system keeps no limit of memory")

Photo = Callable[[Image.Image, str], Path]


@pytest.fixture
def photo(tmp_path: Path) -> Photo:
    """Keep a picture as a file."""

    def keep(picture: Image.Image, kind: str) -> Path:
        picture.save(tmp_path / "photo", kind)
        return tmp_path / "photo"

    return keep


def label() -> Image.Image:
    """A symbol with a blot on it."""
    code = zxingcpp.create_barcode(ADDRESS, zxingcpp.BarcodeFormat.QRCode, ec_level="H")
    symbol = Image.fromarray(code.to_image(scale=8, add_quiet_zones=True))
    symbol.paste(255, (120, 120, 150, 150))
    return symbol


def corners() -> Image.Image:
    """A picture of nothing but corners of symbols, which takes many times as long as any photo of a label."""
    corner = Image.new("1", (9, 9), 1)
    for edge, colour in ((1, 0), (2, 1), (3, 0)):
        corner.paste(colour, (edge, edge, 9 - edge, 9 - edge))
    wall = Image.new("1", (1530, 1530))
    for at in range(170 * 170):
        wall.paste(corner, (at % 170 * 9, at // 170 * 9))
    return wall


def test_it_is_read_as_in_this_process(photo: Photo) -> None:
    """Every field comes back as it was, and the file is read from where it stands."""
    path = photo(label(), "PNG")
    with path.open("rb") as file:
        apart = read_apart(file)

    assert read_photo(path.read_bytes()) == apart
    assert apart.unused is not None
    assert ADDRESS == apart.address


def test_a_photo_without_a_label_is_told_as_in_this_process(photo: Photo) -> None:
    """With the same sentence."""
    path = photo(Image.new("L", (300, 300), 120), "PNG")
    with pytest.raises(NotRead, match="no label was read in this photo; wipe the label"), path.open("rb") as file:
        read_apart(file)


def test_a_photo_that_takes_too_long_is_given_up(photo: Photo) -> None:
    """By the clock, where other programs leave it no processor."""
    path = photo(label(), "PNG")
    with pytest.raises(NotRead, match="takes too long to read; photograph the label alone"), path.open("rb") as file:
        read_apart(file, seconds=0.01)


def test_reading_that_breaks_off_is_not_said_to_take_too_long(photo: Photo) -> None:
    """Here from a file that may only be written to: no other photo would be read any better."""
    path = photo(label(), "PNG")
    with (
        pytest.raises(NotRead, match="broke off, which is no fault of the photo; type the token"),
        path.open("ab") as file,
    ):
        read_apart(file)


@LINUX
def test_a_photo_that_takes_too_much_of_the_processor_is_ended_by_the_system(photo: Photo) -> None:
    """Here after two seconds, since whoever starts it has no more than that to give."""
    program = (
        "import resource, sys; from torqueaudit.photo import NotRead, read_apart\n"
        "resource.setrlimit(resource.RLIMIT_CPU, (2, 2))\n"
        "try: print(read_apart(open(sys.argv[1], 'rb')))\n"
        "except NotRead as error: print(error)\n"
    )
    command = [sys.executable, "-c", program, str(photo(corners(), "PNG"))]
    done = subprocess.run(command, capture_output=True, text=True, check=False)

    assert "takes too long to read; photograph the label alone" in done.stdout
    assert "Traceback" not in done.stderr


@LINUX
def test_a_picture_that_takes_too_much_memory_is_refused(photo: Photo) -> None:
    """This one is small enough to be opened, and its decoder takes three copies; without limits it is looked at."""
    path = photo(Image.new("RGB", (4000, 4000), (120, 100, 90)), "WEBP")
    with pytest.raises(NotRead, match="takes too much memory to be read; send a smaller one"), path.open("rb") as file:
        read_apart(file, seconds=600)
    with pytest.raises(NotRead, match="no label was read"):
        read_photo(path.read_bytes())


def test_a_picture_with_transparency_of_as_many_pixels_as_may_be_is_looked_at(photo: Photo) -> None:
    """Its decoder and what is made of it fit into the memory and the processor time that there is.

    The clock has no say in this: others may keep the processor busy.
    """
    path = photo(Image.new("RGBA", (4000, 4000), (120, 100, 90, 40)), "PNG")
    with pytest.raises(NotRead, match="no label was read"), path.open("rb") as file:
        read_apart(file, seconds=600)


@LINUX
def test_the_process_gives_way_to_all_others_and_leaves_no_file_when_it_is_ended() -> None:
    """It comes last in line (nice), and a core file may have no byte."""
    program = (
        "import os, resource; from torqueaudit.apart import limit\n"
        f"limit({MOST_MEMORY}, {MOST_SECONDS})\n"
        "print(os.nice(0), *(resource.getrlimit(each)[0] for each in (resource.RLIMIT_CORE, resource.RLIMIT_CPU)))\n"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)

    assert f"19 0 {MOST_SECONDS}\n" == done.stdout
