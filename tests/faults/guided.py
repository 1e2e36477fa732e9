"""Inputs of one reader after the other, looked for by what of the program they reach: `guided.py SECONDS [NAME…]`.

Atheris watches it; where that does not run (Windows, a Python without its wheel) it is said, and nothing is tried.
"""

import json
import os
import re
import subprocess
import sys
import tempfile
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from readers import Reader, readers, untold
from torqueaudit.workshop.opening import new_workshop

UNGUIDED = {"cards", "commands"}  # they write, so that the same words reach another place each time


def look(reader: Reader, seconds: int) -> None:
    """Look for inputs of one reader; ends the process, with an error where one raises what is no refusal."""
    import atheris

    def once(data: bytes) -> None:
        given = data if isinstance(reader.corpus[0], bytes) else data.decode("utf-8", "surrogateescape")
        if error := untold(reader.read, given):
            raise AssertionError(f"{given!r}: {error}")

    atheris.instrument_all()
    with tempfile.TemporaryDirectory() as folder:
        for number, sample in enumerate(reader.corpus):
            (Path(folder) / str(number)).write_bytes(sample if isinstance(sample, bytes) else sample.encode())
        atheris.Setup([sys.argv[0], f"-max_total_time={seconds}", "-max_len=4096", folder], once)
        atheris.Fuzz()


def looked(name: str, book: Path, seconds: str) -> dict[str, Any]:
    """What a process of its own found of one reader."""
    command = [sys.executable, __file__, "--one", name, str(book), seconds]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    runs = re.search(r"Done ([0-9]+) runs", done.stderr)
    if done.returncode or runs is None:
        return {"reader": name, "tries": 0, "untold": (done.stdout + done.stderr)[-2000:]}
    return {"reader": name, "tries": int(runs[1]), "untold": ""}


def main(words: list[str]) -> int:
    """Look at every reader and print the figures; 1 where anything came out that is no refusal."""
    if words[0] == "--one":
        name, book, seconds = words[1:]
        look(readers(Path(book))[name], int(seconds))
        return 0
    if find_spec("atheris") is None:
        sys.stdout.write("nothing was looked for: atheris does not run here\n")
        return 0
    with tempfile.TemporaryDirectory() as folder:
        os.chdir(folder)  # the fuzzer leaves here what it finds
        place = Path(folder) / "yard.book"
        new_workshop(place, "YARD", {"zone": "UTC"})
        names = words[1:] or [name for name in readers(place) if name not in UNGUIDED]
        found = [looked(name, place, words[0]) for name in names]
    wrong = [each for each in found if each["untold"]]
    figures = {"readers": len(found), "tries": sum(each["tries"] for each in found), "untold": wrong}
    sys.stdout.write(f"{json.dumps(figures)}\n")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
