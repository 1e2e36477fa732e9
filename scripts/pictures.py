"""Make the pictures of the README from the demo: `make pictures`. A label, the record on a phone, the night.

`python scripts/pictures.py FOLDER` writes them into another folder than docs/pictures.

The record is shown as of the day that the demo leads up to, by the headless Chromium that the tests of the pages use.
"""

import shutil
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime, time
from pathlib import Path
from tempfile import TemporaryDirectory

import pypdfium2
from PIL import Image, ImageOps

from torqueaudit.web.app import create_app
from torqueaudit.web.server import address_of, listening
from torqueaudit.workshop.door.lists import jobs
from torqueaudit.workshop.opening import open_workshop

ON = date(2026, 11, 27)  # the same pictures whenever they are made
PICTURES = Path(__file__).parents[1] / "docs" / "pictures"
BIN = Path(sys.executable).parent
BROWSER = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "chromium-headless-shell"))), "")
JOB = "7"  # the one whose mark was found disturbed
WIDE, HIGH, SCALE = 390, 844, 2  # a phone's screen
COLOURS = 48  # a page of text and lines has few
EDGE = 2  # pixels, as paper is white and so is the page around it


def main() -> None:
    """Play the demo into a folder that is thrown away, and take the three pictures."""
    if not BROWSER:
        sys.exit("no chromium is installed, and the record is shown by one")
    target = Path(sys.argv[1]) if sys.argv[1:] else PICTURES
    target.mkdir(exist_ok=True)
    with TemporaryDirectory() as folder:
        here = Path(folder)
        demo = [str(BIN / "torqueaudit"), "demo", str(here / "demo"), "--on", ON.isoformat()]
        subprocess.run(demo, check=True, capture_output=True)
        (report,) = (here / "demo" / "reports").glob("*.pdf")
        book = here / "demo" / "yard.book"
        keep(target / "label.png", label(book, here / "label.pdf"))
        keep(target / "record.png", record(book, datetime.combine(ON, time(18), UTC), here))
        keep(target / "night.png", page(report, 1.6))


def keep(file: Path, picture: Image.Image) -> None:
    """Write a picture with an edge around it, and with few colours, so that it stays small."""
    edged = ImageOps.expand(picture.convert("RGB"), border=EDGE, fill="#888888")
    edged.quantize(COLOURS, dither=Image.Dither.NONE).save(file, optimize=True)


def label(book: Path, file: Path) -> Image.Image:
    """One label of a sheet, with a little of the paper around it."""
    command = [str(BIN / "torqueaudit"), "--book", str(book), "label", JOB, "--stock", "a4-3x8", "--out", str(file)]
    subprocess.run(command, check=True, capture_output=True)
    sheet = page(file, 4)
    return sheet.crop((0, 0, sheet.width // 3, sheet.height // 8))


def page(file: Path, scale: float) -> Image.Image:
    """The first page of a PDF."""
    document = pypdfium2.PdfDocument(file)
    try:
        picture: Image.Image = document[0].render(scale=scale).to_pil().copy()
    finally:
        document.close()
    return picture


def record(book: Path, day: datetime, here: Path) -> Image.Image:
    """The record of the job on a phone, as of a day."""
    with open_workshop(book, clock=lambda: day) as workshop:
        token = next(row.token for row in jobs(workshop) if row.job == int(JOB))
    file = here / "record.png"
    with served(book, day) as address:
        size = [f"--window-size={WIDE},{HIGH}", f"--force-device-scale-factor={SCALE}", "--hide-scrollbars"]
        alone = ["--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", f"--user-data-dir={here / 'profile'}"]
        command = [BROWSER, *alone, *size, f"--screenshot={file}", f"{address}r/{token}/record"]
        subprocess.run(command, check=True, capture_output=True, timeout=120)
    with Image.open(file) as taken:
        return taken.convert("RGB")


@contextmanager
def served(book: Path, day: datetime) -> Iterator[str]:
    """The pages of a book on a free port of this machine, as of a day."""
    with create_app(book, clock=lambda: day) as app, listening(app, "127.0.0.1", 0) as server:
        threading.Thread(target=server.run, daemon=True).start()
        yield address_of(server)


if __name__ == "__main__":
    main()
