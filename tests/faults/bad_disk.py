"""A disk goes bad: `ledger verify` tells of whatever changes what the book says.

    python bad_disk.py FOLDER TRIES SEED

In the folder lie yard.book and all that it keeps. One file of it is damaged in each try, and verified against the head
of before. What is found sound must still say the same. Prints the figures as JSON.
"""

import json
import shutil
import sys
from collections import Counter
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from random import Random

from disk import in_memory
from says import PROGRAM, TABLES, Said, all_of, verified
from torqueaudit.book.book import Book
from torqueaudit.book.sqlite.connection import sqlite3
from torqueaudit.workshop.opening import now

OFTEN = 15  # times as often as any other file the book itself is damaged, and its write-ahead log
AIMED = 0.5  # of the tries begin in what the book says, and not in what is free
PAGE = 4096  # bytes of the file that SQLite reads at once
IGNORED = ("-shm", "-turns", ".pdf.part")  # made anew by whoever opens the book


def bits(content: bytearray, start: int, chance: Random) -> None:
    """One to eight bits of one place are turned over."""
    for place in range(start, min(len(content), start + chance.randint(1, 8))):
        content[place] ^= 1 << chance.randrange(8)


def zeros(content: bytearray, start: int, chance: Random) -> None:
    """A sector or a piece of one reads as zeros."""
    length = chance.choice((1, 16, 512))
    content[start : start + length] = bytes(len(content[start : start + length]))


def noise(content: bytearray, start: int, chance: Random) -> None:
    """A piece reads as anything."""
    length = chance.choice((2, 64, 512, PAGE))
    content[start : start + length] = chance.randbytes(len(content[start : start + length]))


def lost_page(content: bytearray, start: int, _: Random) -> None:
    """A whole page reads as zeros."""
    first = start // PAGE * PAGE
    content[first : first + PAGE] = bytes(len(content[first : first + PAGE]))


def swapped_pages(content: bytearray, start: int, chance: Random) -> None:
    """Two pages lie in each other's place."""
    one, two = start // PAGE * PAGE, chance.randrange(len(content)) // PAGE * PAGE
    first, second = content[one : one + PAGE], content[two : two + PAGE]
    if len(first) == len(second):
        content[one : one + PAGE], content[two : two + PAGE] = second, first


def copied_page(content: bytearray, start: int, chance: Random) -> None:
    """A page was written in the place of another one."""
    one, two = start // PAGE * PAGE, chance.randrange(len(content)) // PAGE * PAGE
    length = min(len(content[one : one + PAGE]), len(content[two : two + PAGE]))
    content[two : two + length] = content[one : one + length]


def tail(content: bytearray, start: int, _: Random) -> None:
    """The file ends too early."""
    del content[start:]


def moved(content: bytearray, start: int, chance: Random) -> None:
    """Bytes are left out or came in, and all behind them is moved."""
    content[start : start + chance.choice((0, 1))] = chance.randbytes(chance.choice((0, 1, 3)))


KINDS: tuple[Callable[[bytearray, int, Random], None], ...] = (
    bits,
    zeros,
    noise,
    lost_page,
    swapped_pages,
    copied_page,
    tail,
    moved,
)


def main(folder: Path, tries: int, seed: int) -> dict[str, object]:
    """Damage and look; the figures."""
    chance = Random(seed)
    files = [each for each in sorted(folder.rglob("*")) if each.is_file() and not each.name.endswith(IGNORED)]
    weights = [OFTEN if "book" in each.name.removesuffix("-wal")[-4:] else 1 for each in files]
    with in_memory() as memory:
        place = memory / "place"
        shutil.copytree(folder, place)
        said = all_of(place / "yard.book")
        with Book.open(place / "yard.book", now, chance) as book:
            head = str(book.head())
        assert verified(place / "yard.book", head).sound  # else any damage would count as told
        texts = _texts(place / "yard.book")
        counted, wrong = Counter[str](), list[str]()
        for _ in range(tries):
            shutil.rmtree(place)
            shutil.copytree(folder, place)
            file, kind = chance.choices(files, weights)[0], chance.choice(KINDS)
            content = bytearray(file.read_bytes())
            kind(content, _start(content, texts, chance), chance)
            (place / file.relative_to(folder)).write_bytes(content)
            answer = _answer(place / "yard.book", head, said)
            counted[answer.partition(":")[0]] += 1
            if not answer.startswith(("told", "nothing changed")):
                wrong.append(f"{kind.__name__} in {file.name}: {answer}")
    return {"tries": tries, **counted, "wrong": len(wrong), "first": wrong[:5]}


def _texts(book: Path) -> list[list[bytes]]:
    """What stands in the book, table by table, each as it lies in the file."""
    with closing(sqlite3.connect(book)) as reader:
        tables = [list(reader.execute(f"select * from {table}")) for table in TABLES]
    texts = [[value.encode() for row in rows for value in row if value and isinstance(value, str)] for rows in tables]
    return [each for each in texts if each]


def _start(content: bytearray, texts: list[list[bytes]], chance: Random) -> int:
    """Where it is damaged: anywhere, or every second time somewhere in a text that stands in the book."""
    text = chance.choice(chance.choice(texts))
    found = content.find(text) if chance.random() < AIMED else -1
    return chance.randrange(len(content)) if found < 0 else found + chance.randrange(max(1, len(text)))


def _answer(book: Path, head: str, said: Said) -> str:
    """What becomes of the damage: told, harmless, unnoticed, or a fault of the program."""
    verdict = verified(book, head)
    if PROGRAM in verdict.says or not verdict.says:
        return f"fault of the program: {verdict.says}"
    if not verdict.sound:
        return "told"
    now_said = all_of(book)
    differing = [name for name, rows in now_said.items() if rows != said[name]]
    return f"unnoticed: {', '.join(differing)}" if differing else "nothing changed"


if __name__ == "__main__":
    print(json.dumps(main(Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]))))  # noqa: T201
