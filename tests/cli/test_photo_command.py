"""`photo add`, `photo list` and `photo erase`, as they are typed."""

import json
import re
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image

from torqueaudit.book.places import photos_of

Run = Callable[..., subprocess.CompletedProcess[str]]


@pytest.fixture
def opened(run: Run) -> Run:
    """A job."""
    run("job", "open", "--vehicle", "V-1", "--procedure", "final-drive", "--odometer", "12000 km")
    return run


@pytest.fixture
def photo(tmp_path: Path) -> str:
    """A photo as it came, its light half above."""
    made = Image.new("RGB", (400, 300), (210, 200, 190))
    made.paste((90, 80, 70), (0, 150, 400, 300))
    made.save(tmp_path / "mark.jpg", comment=b"Quillerhof 7")
    return str(tmp_path / "mark.jpg")


def listed(run: Run) -> list[dict[str, object]]:
    """The photos of job 1, as data."""
    found: list[dict[str, object]] = json.loads(run("photo", "list", "1", "--json").stdout)
    return found


def test_a_photo_is_added_listed_and_erased(opened: Run, photo: str, book_file: Path) -> None:
    """Each answer says what to type for the next."""
    added = opened("photo", "add", "1", "rear-axle-nut", "bike-secured", photo, "--why", "before the work")
    digest = re.findall(r"photo ([0-9a-f]{8}) of rear axle nut; motorcycle secured kept", added.stdout)[0]
    shown = opened("photo", "list", "1")
    file = photos_of(book_file) / f"{listed(opened)[0]['digest']}.jpg"

    assert shown.stdout.startswith(f"{digest}  ")
    assert "by P-2, rear axle nut; motorcycle secured: before the work" in shown.stdout
    assert str(file) in shown.stdout
    assert b"Quillerhof" not in file.read_bytes()
    gone = opened("photo", "erase", "1", digest, "--why", "a plate was to be read", "--by", "P-1")
    assert f"photo {digest} erased by P-1: a plate was to be read" in gone.stdout
    assert not file.exists()
    assert "erased on" in opened("photo", "list", "1").stdout
    assert f"photo {digest} of rear axle nut; motorcycle secured (before the work)" in opened("job", "show", "1").stdout
    assert "sound up to" in opened("ledger", "verify").stdout


def test_an_area_is_blacked_out(opened: Run, photo: str) -> None:
    """In shares of the picture; the rest stays."""
    opened("photo", "add", "1", "rear-axle-nut", photo, "--black", "0,0,1,0.5")
    (told,) = listed(opened)
    kept = Image.open(str(told["file"]))

    assert ((0, 0, 0), (90, 80, 70)) == (kept.getpixel((200, 50)), kept.getpixel((200, 250)))
    assert {"of", "digest", "entry", "by", "when", "why", "stands", "erased", "file"} == told.keys()


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("rear-axle-nut",), "Missing argument"),
        (("front-axle-nut", "mark.jpg"), "front-axle-nut: job 1 has no such work"),
        (("rear-axle-nut", "nothing.jpg"), "nothing.jpg"),
        (("rear-axle-nut", "yard.book"), "this file is no photo that can be kept; send a JPEG or PNG that is whole"),
        (("rear-axle-nut", "mark.jpg", "--black", "1,1,0,0"), "is no area of a photo"),
    ],
)
def test_what_is_refused_keeps_nothing(
    opened: Run, photo: str, book_file: Path, words: tuple[str, ...], says: str
) -> None:
    """One sentence, and another exit code than 0."""
    folder = Path(photo).parent
    told = [str(folder / word) if "." in word and "," not in word else word for word in words]
    done = opened("photo", "add", "1", *told)

    assert 0 != done.returncode
    assert says in done.stderr
    assert "Traceback" not in done.stderr
    assert not photos_of(book_file).exists()


def test_a_job_without_photos_says_so(opened: Run) -> None:
    """And one that there is not is refused."""
    assert "job 1: no photo was taken.\n" == opened("photo", "list", "1").stdout
    assert "job 9: no such job" in opened("photo", "list", "9").stderr
