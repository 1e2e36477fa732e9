"""Labels: speed against the usual recipes, memory, start, and ink, each as a ratio or a rate in one run.

The packages of other recipes are imported where they are used, so that the process whose memory is taken has none.

- 500 labels on A4 sheets, against reportlab with `qrcode` written plainly (a picture made once for a label, or for each
  of its two copies), and against a table of `qrcode` pictures set by weasyprint, untagged as it comes or tagged as ours
  is. Level H apart, the pictures are as `qrcode` makes them unasked: ten dots a module. The check is timed apart.
- 2000 labels: the most memory of the process, in a process of its own.
- One thermal label, the whole command, against a process that imports what it needs at least.
- Ink: black dots of a printed symbol over black modules, rasterised to one bit by pypdfium2 and by ghostscript.
"""

import base64
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from random import Random

from PIL import Image
from startup import measure

from torqueaudit.cards.card import Clock, play
from torqueaudit.model.act import Say
from torqueaudit.model.register.token import grouped, new_token
from torqueaudit.model.shown.label import LabelContent, LabelLine
from torqueaudit.workshop.opening import new_workshop, open_workshop
from torqueaudit.workshop.register.people import add_person
from torqueaudit.workshop.register.procedures import enter_procedure
from torqueaudit.workshop.vehicles.vehicle import add_vehicle
from torqueaudit_plugins.qr_labels.calc.places import parts, place
from torqueaudit_plugins.qr_labels.calc.stock import Stock, find_stock
from torqueaudit_plugins.qr_labels.calc.symbol import QUIET_ZONE, draw_symbol
from torqueaudit_plugins.qr_labels.printing.make import PDF, checked
from torqueaudit_plugins.qr_labels.printing.sheet import write_sheets

LABELS, MANY, TURNS = 500, 2000, 3
# A quarter of the table is met by labels of a number and a token; three lines with their names take longer to set.
MOST = {"reportlab": 0.9, "reportlab, each copy": 0.9, "table": 0.35, "table, tagged": 0.35}
MOST_PLAIN = {"reportlab": 0.9, "table": 0.25}
MOST_CHECK, MOST_MB, MOST_START, INK = 0.2, 200, 1.5, (0.98, 1.03)
SCRIPT = Path(sys.executable).with_name("torqueaudit")
PROCEDURE = Path(__file__).parents[1] / "examples" / "procedures" / "front-wheel.toml"
LEAST = """\
import click, pluggy, sqlite3, PIL.Image, qrcode, zxingcpp
from importlib.metadata import entry_points
entry_points(group="torqueaudit")
"""


def contents(number: int) -> list[LabelContent]:
    """Labels of invented jobs, none like another."""
    made = []
    for each in range(number):
        token = new_token(Random(each))
        lines = (
            LabelLine("Vehicle", f"bike-{each}"),
            LabelLine("Re-check by", "2031-04-16"),
            LabelLine("Opened", "2031-04-02"),
        )
        made.append(
            LabelContent(
                title=f"job {each}",
                address=f"http://yard.local:8080/r/{token}",
                figure=str(each),
                token=grouped(token),
                lines=lines,
            )
        )
    return made


def by_us(labels: list[LabelContent], stock: Stock) -> list[bytes]:
    """All that the command does but the check."""
    return [write_sheets(part, "Labels", stock) for part in parts(place(labels, stock), stock)]


def by_reportlab(labels: list[LabelContent], stock: Stock, pictures: int = 1) -> bytes:
    """The plain recipe: a `qrcode` picture, made once for a label or for each of its copies, and strings."""
    from reportlab.lib.pagesizes import A4
    from reportlab.lib.units import mm
    from reportlab.lib.utils import ImageReader
    from reportlab.pdfgen.canvas import Canvas

    target = BytesIO()
    canvas = Canvas(target, pagesize=A4)
    for number, label in enumerate(labels):
        place_on_page = number % stock.per_page
        if number and not place_on_page:
            canvas.showPage()
        row, column = divmod(place_on_page, stock.columns)
        left = column * stock.label_mm[0] * mm
        top = A4[1] - (stock.start_mm[1] + row * stock.label_mm[1]) * mm
        made = [ImageReader(_picture(label.address)) for _ in range(pictures)]
        for side, picture in ((4, made[0]), (42, made[-1])):
            canvas.drawImage(picture, left + side * mm, top - 26 * mm, 22 * mm, 22 * mm)
        canvas.setFont("Helvetica-Bold", 24)
        canvas.drawString(left + 27 * mm, top - 12 * mm, label.figure)
        canvas.setFont("Helvetica", 7)
        canvas.drawString(left + 4 * mm, top - 30 * mm, label.token)
        for line, (name, words, *_) in enumerate(label.lines):
            canvas.drawString(left + 27 * mm, top - (16 + 3 * line) * mm, f"{name} {words}")
    canvas.save()
    return target.getvalue()


def by_table(labels: list[LabelContent], stock: Stock, **tagged: str) -> bytes:
    """The usual recipe: a table with `qrcode` pictures as data addresses."""
    import weasyprint

    cells = []
    for label in labels:
        picture = base64.b64encode(_picture(label.address).getvalue()).decode()
        image = f'<img alt="{label.title}" src="data:image/png;base64,{picture}"><div>{label.token}</div>'
        lines = "".join(f"<div>{name}</div><div><b>{words}</b></div>" for name, words, *_ in label.lines)
        cells.append(f"<td>{image}<td><b>{label.figure}</b>{lines}<td>{image}")
    rows = "".join(f"<tr>{''.join(cells[at : at + stock.columns])}" for at in range(0, len(cells), stock.columns))
    style = "@page{size:A4;margin:.5mm 0 0}table{border-collapse:collapse}img{width:22mm}"
    style += "td{width:23mm;height:37mm;padding:0;font-size:7pt}"
    page = f'<html lang="en"><title>Labels</title><style>{style}</style><table>{rows}</table>'
    pdf: bytes = weasyprint.HTML(string=page).write_pdf(**tagged)
    return pdf


def _picture(address: str) -> BytesIO:
    import qrcode

    code = qrcode.QRCode(error_correction=qrcode.constants.ERROR_CORRECT_H)
    code.add_data(address)
    code.make()
    target = BytesIO()
    code.make_image().get_image().save(target, "PNG")
    target.seek(0)
    return target


def _seconds(work: Callable[[], object]) -> float:
    """Of the processor, as other work on the machine is not ours."""
    draw_symbol.cache_clear()
    start = time.process_time()
    work()
    return time.process_time() - start


def speed() -> bool:
    """500 labels, each way in turns: whole ones, then such as have a number and a token alone."""
    stock, labels = find_stock("a4-3x8"), contents(LABELS)
    plain = [label._replace(lines=()) for label in labels]
    by_us(labels[: stock.per_page], stock)  # what is imported is not counted
    took = _took(
        "labels",
        {
            "ours": lambda: by_us(labels, stock),
            "ours with check": lambda: checked(place(labels, stock), stock, PDF),
            "reportlab": lambda: by_reportlab(labels, stock),
            "reportlab, each copy": lambda: by_reportlab(labels, stock, pictures=2),
            "table": lambda: by_table(labels, stock),
            "table, tagged": lambda: by_table(labels, stock, pdf_variant="pdf/ua-1"),
        },
    )
    check = (took["ours with check"] - took["ours"]) / took["ours"]
    print(f"labels: check / ours {check:.2f}, at most {MOST_CHECK}")
    took_plain = _took(
        "labels of a number and a token",
        {
            "ours": lambda: by_us(plain, stock),
            "reportlab": lambda: by_reportlab(plain, stock),
            "table": lambda: by_table(plain, stock),
        },
    )
    return _within(took, MOST, "") & _within(took_plain, MOST_PLAIN, "plain, ") & (check <= MOST_CHECK)


def _took(what: str, ways: dict[str, Callable[[], object]]) -> dict[str, float]:
    turns = [{way: _seconds(work) for way, work in ways.items()} for _ in range(TURNS)]
    took = {way: min(turn[way] for turn in turns) for way in ways}
    print(f"labels: {LABELS} {what}, s:", ", ".join(f"{way} {seconds:.2f}" for way, seconds in took.items()))
    return took


def _within(took: dict[str, float], most: dict[str, float], which: str) -> bool:
    ratios = {way: took["ours"] / took[way] for way in most}
    for way, ratio in ratios.items():
        print(f"labels: {which}ours / {way} {ratio:.2f}, at most {most[way]}")
    return all(ratio <= most[way] for way, ratio in ratios.items())


def memory() -> bool:
    """2000 labels in a process of its own."""
    done = subprocess.run((sys.executable, __file__, "many"), check=True, capture_output=True, text=True)
    used = int(done.stdout)
    print(f"labels: {MANY} labels used {used} MB, less than {MOST_MB}")
    return used < MOST_MB


def many() -> None:
    """What the process of `memory` runs."""
    stock = find_stock("a4-3x8")
    checked(place(contents(MANY), stock), stock, PDF)
    print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024)


def start() -> bool:
    """One thermal label, the whole command."""
    with tempfile.TemporaryDirectory() as folder:
        book, least, out = Path(folder, "yard.book"), Path(folder, "least.py"), Path(folder, "one.png")
        least.write_text(LEAST, encoding="utf-8")
        make_book(book)
        words = (str(SCRIPT), "--book", str(book), "label", "1", "--stock", "roll-62x29", "--out", str(out), "--force")
        times = measure({"least": (sys.executable, str(least)), "label": words})
    median = {name: statistics.median(each) for name, each in times.items()}
    ratio = median["label"] / median["least"]
    print("labels: start, ms:", ", ".join(f"{name} {seconds * 1e3:.0f}" for name, seconds in median.items()))
    print(f"labels: one thermal label / least {ratio:.2f}, at most {MOST_START}")
    return bool(ratio <= MOST_START)


def make_book(path: Path) -> None:
    """A book with one job."""
    clock = Clock("2031-04-02 08:00")
    new_workshop(
        path, "YARD", {"zone": "Europe/Vienna", "base_address": "http://yard.local:8080"}, clock=clock, chance=Random(1)
    )
    with open_workshop(path, clock=clock, chance=Random(2)) as workshop:
        add_person(workshop, "Ottoline Sample", ("foreman", "mechanic"), "", Say("setup"))
        add_vehicle(workshop, "bike-1", "Kestrel 500", 2029, {}, Say("P-1"))
        enter_procedure(workshop, PROCEDURE, Say("P-1"))
        play(workshop, "2031-04-02 09:00 job 1 opened front-wheel on V-1 at 12000 km by P-1")


def ink() -> bool:
    """Black dots over black modules, in each rasteriser at each resolution."""
    stock, [label] = find_stock("a4-3x8"), contents(1)
    [placed] = place([label], stock)
    pdf = write_sheets([placed], "Labels", stock)
    block = next(block for block in placed.layout.blocks if block.role == "symbol")
    modules = draw_symbol(label.address, placed.layout.level)
    good = True
    for dpi in (203, 300, 600):
        for name, page in (("pypdfium2", _by_pdfium(pdf, dpi)), ("ghostscript", _by_ghostscript(pdf, dpi))):
            if page is None:
                print(f"labels: ink: {name} is not installed")
                continue
            share = dpi / stock.dpi
            edge = QUIET_ZONE * block.width / modules.width / 2  # a cut through the middle of the quiet zone
            left, top = placed.left + block.left + edge, placed.top + block.top + edge
            box = [
                round(each * share) for each in (left, top, left + block.width - 2 * edge, top + block.width - 2 * edge)
            ]
            black = page.crop(tuple(box)).convert("L").histogram()[0]  # type: ignore[arg-type]  # four of them
            ratio = black / (modules.histogram()[0] * (block.width / modules.width * share) ** 2)
            print(f"labels: ink at {dpi} dpi, {name}: {ratio:.3f} of nominal, {INK[0]} to {INK[1]}")
            good = good and INK[0] <= ratio <= INK[1]
    return good


def _by_pdfium(pdf: bytes, dpi: int) -> Image.Image:
    import pypdfium2

    with pypdfium2.PdfDocument(pdf) as document:
        grey = document[0].render(scale=dpi / 72, grayscale=True, no_smoothimage=True).to_pil()
        return grey.point([0] * 128 + [255] * 128).convert("1")  # type: ignore[no-any-return]  # pypdfium2 has no types


def _by_ghostscript(pdf: bytes, dpi: int) -> Image.Image | None:
    program = shutil.which("gs")
    if program is None:
        return None
    with tempfile.TemporaryDirectory() as folder:
        page, out = Path(folder, "page.pdf"), Path(folder, "page.png")
        page.write_bytes(pdf)
        words = (
            program,
            "-q",
            "-dSAFER",
            "-dBATCH",
            "-dNOPAUSE",
            "-sDEVICE=pngmono",
            f"-r{dpi}",
            f"-o{out}",
            str(page),
        )
        subprocess.run(words, check=True)
        with Image.open(out) as picture:
            return picture.convert("1")


# Memory first: the system counts what a process had before it became another program.
PARTS = {"memory": memory, "ink": ink, "start": start, "speed": speed}


def main() -> int:
    """Print the ratios; 1 when one is missed."""
    if sys.argv[1:] == ["many"]:
        many()
        return 0
    chosen = [PARTS[name] for name in sys.argv[1:]] or PARTS.values()
    results = [part() for part in chosen]
    return int(not all(results))


if __name__ == "__main__":
    sys.exit(main())
