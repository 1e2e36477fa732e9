"""PDF files handed to a printer of the system by `lp`."""

from collections.abc import Sequence

_PATIENCE = 60  # seconds for the spooler to take a file


class NotPrinted(Exception):  # it reads as what happened, and is no fault of the program
    """Why nothing was printed, or not everything: one sentence that says what to do."""


def spool(files: Sequence[bytes], printer: str, title: str, options: Sequence[str] = ()) -> str:
    """Give PDF files to a printer of the system in their order, and give what `lp` answers. Raises NotPrinted."""
    answers: list[str] = []
    for number, data in enumerate(files, 1):
        part = f" ({number} of {len(files)})" if len(files) > 1 else ""
        try:
            answers.append(_spool(data, printer, title + part, options))
        except NotPrinted as refused:
            if answers:
                raise NotPrinted(
                    f"{refused} Of {len(files)} parts these are printed: {'; '.join(answers)}."
                ) from refused
            raise
    return "; ".join(answers)


def _spool(data: bytes, printer: str, title: str, options: Sequence[str]) -> str:
    """Give one PDF to `lp`.

    No shell sees the words: each is one argument, and `lp` reads the file from its input.
    """
    import subprocess  # few labels go to a printer at once

    words = ["lp", "-d", printer, "-t", title, *(word for option in options for word in ("-o", option))]
    try:
        done = subprocess.run(words, input=data, capture_output=True, timeout=_PATIENCE, check=False)  # noqa: S603
    except FileNotFoundError as error:
        raise NotPrinted(
            "there is no `lp` on this machine, so nothing was printed; install the print spooler's client (on Debian "
            "cups-client), or write a file and print that."
        ) from error
    except (OSError, subprocess.TimeoutExpired) as error:
        raise NotPrinted(f"`lp` did not take the labels ({error}); nothing was printed.") from error
    if done.returncode:
        said = done.stderr.decode(errors="replace").strip() or f"exit code {done.returncode}"
        raise NotPrinted(f"printer {printer} did not take the labels: {said}; `lpstat -p` lists the printers.")
    return done.stdout.decode(errors="replace").strip()
