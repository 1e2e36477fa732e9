"""Where checked labels go: to files, whole or not at all, or to the system's print spooler."""

from collections.abc import Sequence
from pathlib import Path

from torqueaudit.plugin.commands import write_all
from torqueaudit_plugins.qr_labels.calc.stock import LabelRefused

_PATIENCE = 60  # seconds for the spooler to take a file


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


def spool(files: Sequence[bytes], printer: str, title: str, options: tuple[str, ...]) -> str:
    """Give PDF files to a printer of the system in their order, and give what `lp` answers. Raises LabelRefused."""
    answers: list[str] = []
    for number, data in enumerate(files, 1):
        part = f" ({number} of {len(files)})" if len(files) > 1 else ""
        try:
            answers.append(_spool(data, printer, title + part, options))
        except LabelRefused as refused:
            if answers:
                raise LabelRefused(
                    f"{refused} Of {len(files)} parts these are printed: {'; '.join(answers)}."
                ) from refused
            raise
    return "; ".join(answers)


def _spool(data: bytes, printer: str, title: str, options: tuple[str, ...]) -> str:
    """Give one PDF to `lp`.

    No shell sees the words: each is one argument, and `lp` reads the labels from its input.
    """
    import subprocess  # few labels go to a printer at once

    words = ["lp", "-d", printer, "-t", title, *(word for option in options for word in ("-o", option))]
    try:
        done = subprocess.run(words, input=data, capture_output=True, timeout=_PATIENCE, check=False)  # noqa: S603
    except FileNotFoundError as error:
        raise LabelRefused(
            "there is no `lp` on this machine, so nothing was printed; install the print spooler's client (on Debian "
            "cups-client), or write a file with --out and print that."
        ) from error
    except (OSError, subprocess.TimeoutExpired) as error:
        raise LabelRefused(f"`lp` did not take the labels ({error}); nothing was printed.") from error
    if done.returncode:
        said = done.stderr.decode(errors="replace").strip() or f"exit code {done.returncode}"
        raise LabelRefused(f"printer {printer} did not take the labels: {said}; `lpstat -p` lists the printers.")
    return done.stdout.decode(errors="replace").strip()
