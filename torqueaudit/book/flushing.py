"""Files and folders that are written or copied so that they stay.

What is said to be written has been flushed, the file and then the folder that holds its name: a power cut takes neither
back.
"""

import os
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import IO, Any

FOR_ALL = 0o644


def write_whole(target: Path, data: bytes, rights: int = FOR_ALL) -> None:
    """Write a file that is found whole or not at all, and stays. Raises OSError, and leaves what was there."""
    _write({target: data}, rights)


def write_all(files: Mapping[Path, bytes], rights: int = FOR_ALL) -> None:
    """Write several such files: all of them are on the disk before the first one gets its name.

    Raises OSError with the file that was to be written.
    """
    _write(files, rights)


def _write(files: Mapping[Path, bytes], rights: int) -> None:
    parts: dict[Path, Path] = {}
    target = Path()
    try:
        for target, data in files.items():
            parts[target] = _written_beside(target, data, rights)
        for target in files:
            rename(parts[target], target)
            del parts[target]
    except OSError as error:
        raise OSError(error.errno, error.strerror or str(error), str(target)) from error
    finally:
        for part in parts.values():
            part.unlink(missing_ok=True)


def _written_beside(target: Path, data: bytes, rights: int) -> Path:
    import tempfile  # brings much with it, and few commands write a file

    handle, name = tempfile.mkstemp(prefix=f".{target.name}.", suffix=".part", dir=target.parent)  # for its owner alone
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            flush(file)
        part.chmod(rights)
    except BaseException:
        part.unlink(missing_ok=True)
        raise
    return part


def make_folder(folder: Path) -> None:
    """Make a folder, and those above it, that stay; nothing where it is there. Raises OSError."""
    missing = [each for each in (folder, *folder.parents) if not each.exists()]
    folder.mkdir(parents=True, exist_ok=True)
    for each in missing:
        flush_folder(each.parent)


def copy_file(source: Path, target: Path) -> None:
    """Copy a file with its rights and flush it; its name is flushed with its folder. Raises OSError."""
    import shutil  # brings readers of archives with it, and few commands copy a file

    with source.open("rb") as read, target.open("xb") as written:
        shutil.copyfileobj(read, written)
        flush(written)
    shutil.copymode(source, target)


def copy_folder(source: Path, target: Path) -> None:
    """Copy a folder with all that is in it, half-written files left out, and flush all of it. Raises OSError."""
    target.mkdir()
    for each in sorted(source.iterdir()):
        if each.is_dir():
            copy_folder(each, target / each.name)
        elif each.suffix != ".part":
            copy_file(each, target / each.name)
    flush_folder(target)


def copy_folders(sources: Iterable[Path], targets: Iterable[Path]) -> None:
    """Copy each folder that is there to the place that stands for it. Raises OSError."""
    for source, target in zip(sources, targets, strict=True):
        if source.is_dir():
            copy_folder(source, target)


def rename(part: Path, target: Path) -> None:
    """Give a flushed file or folder its name for good, over a file that has it already. Raises OSError."""
    part.replace(target)
    flush_folder(target.parent)


def flush(file: IO[Any]) -> None:
    """Bring what was written into an open file to the disk."""
    file.flush()
    os.fsync(file.fileno())


def flush_folder(folder: Path) -> None:
    """Bring the names in a folder to the disk, where folders can be flushed (not on Windows)."""
    if os.name == "nt":
        return
    opened = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(opened)
    finally:
        os.close(opened)
