"""A book written out so that everything can be read and checked without this program."""

import csv
import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from importlib.resources import files
from pathlib import Path
from typing import Any, TextIO

from torqueaudit.book.book import Book
from torqueaudit.book.copies.form import ENTRIES, FOLDERS, HASHES, MANIFEST, PERSONAL, WORDS, Manifest, listed
from torqueaudit.book.copies.part_folder import in_making
from torqueaudit.book.disk import check_free, told_of_disk
from torqueaudit.book.engine import Engine
from torqueaudit.book.errors import BookError
from torqueaudit.book.flushing import copy_folders, flush, flush_folder, make_folder, rename
from torqueaudit.book.lists.upkeep import LISTS
from torqueaudit.book.personal import every_row
from torqueaudit.book.places import folders_of
from torqueaudit.book.soundness import chain_of
from torqueaudit.book.words import rows_after
from torqueaudit.ledger.chain import Head


def export(book: Book, folder: Path, cell: Callable[[str], str], *, personal: bool) -> Manifest:
    """Write a book into a new folder, which gets its name once it is whole and on the disk.

    `cell` makes a text one that no spreadsheet runs. Raises BookError: for a folder that is there, a ledger whose
    chain is not whole, and a disk that does not take it.
    """
    check_free(folder)
    outcome = "nothing was exported, and the book is as it was"
    with told_of_disk(folder, outcome):
        make_folder(folder.absolute().parent)
    with told_of_disk(folder, outcome), in_making(folder) as part:
        with book.engine.in_words(), book.engine.snapshot():
            head = _sound_head(book.engine)
            _write_tables(book.engine, part, cell, personal=personal)
        copy_folders(folders_of(book.path), (part / name for name in FOLDERS))
        with _text(part / "README.txt") as file:
            file.write(files("torqueaudit.book.copies").joinpath("export.txt").read_text("utf-8"))
        manifest = Manifest(head, listed(part))
        with _text(part / MANIFEST) as file:
            file.write(manifest.text)
        flush_folder(part)
        rename(part, folder)
    return manifest


def _sound_head(engine: Engine) -> Head:
    head, found = chain_of(engine)
    if found:
        raise BookError(f"The ledger is damaged, so it was not exported: {found[0]}")
    return head


def _write_tables(engine: Engine, part: Path, cell: Callable[[str], str], *, personal: bool) -> None:
    with (part / ENTRIES).open("wb") as entries, _text(part / HASHES) as hashes:
        for text, hash_ in engine.stored():
            entries.write(text + b"\n")
            hashes.write(f"{hash_}\n")
        flush(entries)
    _write_lines(part / WORDS, (row._asdict() for row in rows_after(engine, 0)))
    if personal:
        _write_lines(part / PERSONAL, (row._asdict() for row in every_row(engine)))
    (part / "lists").mkdir()
    for name in LISTS:
        columns = engine.columns(name)
        with _text(part / "lists" / f"{name}.csv") as file:
            writer = csv.writer(file)
            writer.writerow(columns)
            quoted = ", ".join(f'"{column}"' for column in columns)
            for row in engine.rows(f"select {quoted} from {name} order by rowid"):
                writer.writerow([cell(each) if isinstance(each, str) else each for each in row])
    flush_folder(part / "lists")


def _write_lines(place: Path, rows: Iterable[Mapping[str, Any]]) -> None:
    with _text(place) as file:
        file.writelines(json.dumps(row, ensure_ascii=False) + "\n" for row in rows)


@contextmanager
def _text(place: Path) -> Iterator[TextIO]:
    """A new text file, which is on the disk behind the block."""
    with place.open("x", encoding="utf-8", newline="\n") as file:
        yield file
        flush(file)
