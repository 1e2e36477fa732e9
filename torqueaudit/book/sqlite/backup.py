"""A copy of the book that is whole, whoever writes meanwhile."""

import shutil
from collections.abc import Iterable, Mapping
from pathlib import Path

from torqueaudit.book.disk import check_space
from torqueaudit.book.errors import BookError
from torqueaudit.book.sqlite.connection import Connection, connect
from torqueaudit.book.sqlite.file import check_place


def copy(connection: Connection, folders: Mapping[Path, Path], target: Path, reserve: int) -> None:
    """Copy the file first and the folders after it, so that every photo and paper the copied ledger knows is there.

    The file gets its name only once it is whole. Raises BookError when something stands at the target already.
    """
    check_place(target)
    check_space(target.parent, reserve + _size(connection, folders))
    for copied in folders.values():
        if copied.exists():
            raise BookError(f"{copied} is there already; nothing was written over it. Give another name.")
    part = target.with_name(target.name + ".part")
    try:
        part.touch(exist_ok=False)
    except FileExistsError:
        raise BookError(f"{part} is left from a backup that broke off; remove it, unless one is running.") from None
    try:
        _copy_file(connection, part)
        for folder, copied in folders.items():
            if folder.is_dir():
                shutil.copytree(folder, copied, ignore=shutil.ignore_patterns("*.part"))
        part.replace(target)
    except BaseException:
        part.unlink(missing_ok=True)
        for copied in folders.values():
            shutil.rmtree(copied, ignore_errors=True)
        raise


def _copy_file(connection: Connection, part: Path) -> None:
    """All pages in one step: copied stepwise, every write of another process would start it over."""
    copied = connect(part, wait=0)
    try:
        connection.backup(copied, pages=-1)
        copied.execute("pragma journal_mode = delete")
    finally:
        copied.close()


def _size(connection: Connection, folders: Iterable[Path]) -> int:
    pages = connection.execute("pragma page_count").fetchone()[0] * connection.execute("pragma page_size").fetchone()[0]
    files = (file for folder in folders for file in folder.rglob("*") if file.is_file())
    return int(pages) + sum(file.stat().st_size for file in files)
