"""How long does a list of vehicles take to move in, beside the same vehicles entered by hand, one act after the other?

Both write the same facts with the same durability into books that begin empty. By hand each act asks the book anew
whose plate it is, so it takes longer the more there are; a list asks once. Looked at and entered are counted together.

    python benchmarks/move_in.py [ROWS]
"""

import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from random import Random
from typing import NamedTuple

from torqueaudit.book.book import Book
from torqueaudit.model.act import Say
from torqueaudit.model.move_in.mapping import read_move_mapping
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.move_in.move_in import enter_list, look_at_list
from torqueaudit.workshop.move_in.rows import Comes
from torqueaudit.workshop.opening import open_workshop
from torqueaudit.workshop.vehicles.vehicle import add_vehicle

FLOOR = 0.7  # by hand / by list: a list may cost a half more, for it looks at each row twice
ROWS = 1000
BY = Say("setup")
HEAD = "Model,Colour,Year,Plate,Frame,Owner,Phone"
MAPPING = """format = 1
of = "vehicles"
tag = { columns = ["Model", "Colour"] }
model = { column = "Model" }
year = { column = "Year" }
plate = { column = "Plate" }
frame_number = { column = "Frame" }
contact = { columns = ["Owner", "Phone"] }
"""


class Row(NamedTuple):
    """An invented motorcycle."""

    model: str
    colour: str
    year: int
    plate: str
    frame: str
    owner: str
    phone: str


def invented(many: int) -> list[Row]:
    """No two are alike."""
    chance = Random(1)
    return [
        Row(
            model=f"Kestrel {chance.choice((250, 500, 700))}",
            colour=chance.choice(("blue", "red", "white")),
            year=chance.randint(2000, 2030),
            plate=f"YD {n} K",
            frame=f"DEMO{n:08}",
            owner=f"Ottokar Sample{n}",
            phone=f"+43 660 {n:07}",
        )
        for n in range(many)
    ]


@contextmanager
def fresh() -> Iterator[Workshop]:
    """A workshop with nothing in its book."""
    with tempfile.TemporaryDirectory() as folder:
        book = Path(folder) / "yard.book"
        Book.new(book, "YARD", lambda: datetime.now(UTC), Random(2)).close()
        with open_workshop(book) as workshop:
            yield workshop


def by_list(workshop: Workshop, rows: list[Row]) -> tuple[float, float]:
    """Seconds to look at all of them, and to enter them."""
    data = "\n".join((HEAD, *(",".join(map(str, row)) for row in rows))).encode()
    mapping = read_move_mapping(MAPPING, workshop.plugins.units)
    begun = time.perf_counter()
    look = look_at_list(workshop, "list.csv", data, mapping, BY)
    looked = time.perf_counter()
    done = enter_list(workshop, look, BY)
    entered = time.perf_counter()
    if len(done.those(Comes.ENTERED)) != len(rows):
        sys.exit("not all of them went in")
    return looked - begun, entered - looked


def by_hand(workshop: Workshop, rows: list[Row]) -> float:
    """Seconds to enter them one after the other."""
    begun = time.perf_counter()
    for row in rows:
        personal = {"plate": row.plate, "frame_number": row.frame, "contact": f"{row.owner}, {row.phone}"}
        add_vehicle(workshop, f"{row.model}, {row.colour}", row.model, row.year, personal, BY)
    return time.perf_counter() - begun


def main() -> None:
    """Print the seconds of both, and the ratio against its floor."""
    many = int(sys.argv[1]) if len(sys.argv) > 1 else ROWS
    rows = invented(many)
    with fresh() as workshop:
        looked, entered = by_list(workshop, rows)
    with fresh() as workshop:
        hand = by_hand(workshop, rows)
    ratio = hand / (looked + entered)
    print(f"{many} rows: looked at in {looked:.1f} s, entered in {entered:.1f} s; by hand in {hand:.1f} s")
    print(f"by hand / by list: {ratio:.2f} (floor {FLOOR})")
    sys.exit(0 if ratio >= FLOOR else 1)


if __name__ == "__main__":
    main()
