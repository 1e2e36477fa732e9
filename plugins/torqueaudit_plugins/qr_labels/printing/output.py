"""Where checked labels go: to files, whole or not at all."""

from collections.abc import Sequence
from pathlib import Path

from torqueaudit.plugin.commands import write_all
from torqueaudit_plugins.qr_labels.calc.stock import LabelRefused


def numbered(out: Path, number: int) -> list[Path]:
    """The files of a run: the one that was named, or NAME-1, NAME-2 and so on."""
    return [out] if number == 1 else [out.with_stem(f"{out.stem}-{each}") for each in range(1, number + 1)]


def hand_out(files: Sequence[bytes], names: Sequence[Path], *, force: bool) -> None:
    """Write whole files under other names and then rename them, so that a half-written label is never found."""
    refuse_existing(names, force=force)
    try:
        write_all(dict(zip(names, files, strict=True)))
    except OSError as error:
        raise LabelRefused(f"{error.filename} cannot be written: {error.strerror}; choose another folder.") from error


def refuse_existing(names: Sequence[Path], *, force: bool) -> None:
    """Raise LabelRefused when a file must not be replaced or can be no file."""
    for out in names:
        if out.is_dir():
            raise LabelRefused(f"{out} is a directory; name a file in it.")
        if out.exists() and not force:
            raise LabelRefused(f"{out} exists already; choose another name, or --force to replace it.")
