"""How long do `torqueaudit --help` and `job show` take, against the least that a program of this kind loads?

The least is a click command that says hello, imports pluggy and sqlite3 and reads the entry points. All three run in
turns, each in a process of its own with the Python that runs this file; the job shown lies in a book made for it.
"""

import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Mapping, Sequence
from pathlib import Path
from random import Random

from torqueaudit.cards.card import Clock, play
from torqueaudit.model.act import Say
from torqueaudit.model.wrench.acts import NewWrench
from torqueaudit.workshop.opening import new_workshop, open_workshop
from torqueaudit.workshop.register.people import add_person
from torqueaudit.workshop.register.procedures import enter_procedure
from torqueaudit.workshop.vehicles.vehicle import add_vehicle
from torqueaudit.workshop.wrenches.wrench import add_wrench

MOST = 1.4
RUNS = 30
SCRIPT = Path(sys.executable).with_name("torqueaudit")
PROCEDURE = Path(__file__).parents[1] / "examples" / "procedures" / "front-wheel.toml"
HELLO = """\
import click, pluggy, sqlite3
from importlib.metadata import entry_points

@click.command()
def hello():
    entry_points(group="torqueaudit")
    click.echo("hello")

hello()
"""
CARD = """
2031-04-02 09:00 job 1 opened front-wheel on V-1 at 12000 km by P-1
2031-04-02 09:10 bike-secured yes by P-1
2031-04-02 09:20 front-disc-bolt 22 N·m with W-1 but 3 did not reach torque by P-1
2031-04-02 09:30 front-axle 66 N·m with W-1 by P-1
2031-04-02 09:35 front-axle mark intact by P-1
2031-04-02 09:40 front-axle checked mark seen by P-2
"""


def make_book(path: Path) -> None:
    """A book with one job, about half done: eleven fasteners, some findings of most rules."""
    clock = Clock("2031-04-02 08:00")
    new_workshop(path, "YARD", {"zone": "Europe/Vienna"}, clock=clock, chance=Random(1))
    with open_workshop(path, clock=clock, chance=Random(2)) as workshop:
        setup = Say("setup")
        add_person(workshop, "Ottoline Sample", ("foreman", "mechanic"), "", setup)
        add_person(workshop, "Barnaby Sample", ("mechanic",), "", Say("P-1"))
        add_vehicle(workshop, "bike-1", "Kestrel 500", 2029, {}, Say("P-1"))
        add_wrench(workshop, NewWrench("setting", "blue", "20 N·m", "200 N·m"), Say("P-1"))
        enter_procedure(workshop, PROCEDURE, Say("P-1"))
        play(workshop, CARD)


def measure(ways: Mapping[str, Sequence[str]]) -> dict[str, list[float]]:
    """Seconds of each way, run in turns so that the machine's mood hits all alike; the first turn is not counted."""
    # Left as it is, a first run could not keep what it compiled, and every run would compile again.
    surroundings = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    times: dict[str, list[float]] = {name: [] for name in ways}
    for _ in range(RUNS + 1):
        for name, words in ways.items():
            start = time.perf_counter()
            subprocess.run(words, env=surroundings, check=True, stdout=subprocess.DEVNULL)
            times[name].append(time.perf_counter() - start)
    return {name: each[1:] for name, each in times.items()}


def main() -> int:
    """Print the ratios; 1 when one lies above the most that is allowed."""
    with tempfile.TemporaryDirectory() as folder:
        hello, book = Path(folder, "hello.py"), Path(folder, "yard.book")
        hello.write_text(HELLO, encoding="utf-8")
        make_book(book)
        times = measure(
            {
                "hello": (sys.executable, str(hello)),
                "--help": (str(SCRIPT), "--help"),
                "job show": (str(SCRIPT), "--book", str(book), "job", "show", "1"),
            }
        )
    median = {name: statistics.median(each) for name, each in times.items()}
    print("start, ms in the median:", ", ".join(f"{name} {seconds * 1e3:.0f}" for name, seconds in median.items()))
    ratios = {name: seconds / median["hello"] for name, seconds in median.items() if name != "hello"}
    for name, ratio in ratios.items():
        print(f"start: {name} / hello {ratio:.2f}, at most {MOST}")
    return int(max(ratios.values()) > MOST)


if __name__ == "__main__":
    sys.exit(main())
